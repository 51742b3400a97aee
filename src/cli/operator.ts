import { operatorCommand } from './operator/operator-command.ts';
import { runDoor } from './shared/run-door.ts';

await runDoor('operator', operatorCommand);
