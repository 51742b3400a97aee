import { collectCommand } from './collect/collect-command.ts';
import { runDoor } from './shared/run-door.ts';

await runDoor('collect', collectCommand);
