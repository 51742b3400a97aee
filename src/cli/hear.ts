import { hearCommand } from './hear-command.ts';

process.exitCode = await hearCommand(process.argv.slice(2), {
  out: (text) => process.stdout.write(`${text}\n`),
  err: (text) => process.stderr.write(`${text}\n`),
});
