import { hearCommand } from './hear/hear-command.ts';
import { runDoor } from './shared/run-door.ts';

await runDoor('hear', hearCommand);
