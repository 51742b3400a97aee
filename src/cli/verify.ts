import { runDoor } from './run-door.ts';
import { verifyCommand } from './verify-command.ts';

await runDoor('verify', verifyCommand);
