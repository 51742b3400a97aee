import { fileURLToPath } from 'node:url';
import { modelCommand } from './model-command.ts';

const stop = new AbortController();
process.once('SIGINT', () => stop.abort());

const onTerminal = process.stderr.isTTY;
process.exitCode = await modelCommand(
  process.argv.slice(2),
  {
    served: fileURLToPath(new URL('../../public/models', import.meta.url)),
    incoming: fileURLToPath(new URL('../../node_modules/.cache/two-needles/models', import.meta.url)),
  },
  {
    out: (text) => process.stdout.write(`${text}\n`),
    err: (text) => process.stderr.write(`${onTerminal ? '\r\x1b[K' : ''}${text}\n`),
    progress: (text) => {
      if (onTerminal) process.stderr.write(`\r\x1b[K${text}`);
    },
  },
  stop.signal,
);
