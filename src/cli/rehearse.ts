import { rehearseCommand } from './rehearse/rehearse-command.ts';
import { runDoor } from './shared/run-door.ts';

await runDoor('rehearse', rehearseCommand);
