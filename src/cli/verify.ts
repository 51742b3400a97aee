import { verifyCommand } from './verify-command.ts';

process.exitCode = await verifyCommand(process.argv.slice(2), {
  out: (text) => process.stdout.write(`${text}\n`),
  err: (text) => process.stderr.write(`${text}\n`),
});
