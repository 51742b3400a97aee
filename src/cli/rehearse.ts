import { rehearseCommand } from './rehearse-command.ts';
import { runDoor } from './run-door.ts';

await runDoor('rehearse', rehearseCommand);
