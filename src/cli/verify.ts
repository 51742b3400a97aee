import { runDoor } from './shared/run-door.ts';
import { verifyCommand } from './verify/verify-command.ts';

await runDoor('verify', verifyCommand);
