import { operatorCommand } from './operator-command.ts';
import { runDoor } from './run-door.ts';

await runDoor('operator', operatorCommand);
