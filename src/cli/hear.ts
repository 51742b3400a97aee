import { hearCommand } from './hear-command.ts';
import { runDoor } from './run-door.ts';

await runDoor('hear', hearCommand);
