import { fileURLToPath } from 'node:url';
import { modelCommand } from './model/model-command.ts';
import { runDoor } from './shared/run-door.ts';

const stop = new AbortController();
process.once('SIGINT', () => stop.abort());

const onTerminal = process.stderr.isTTY;
const clearLine = (): void => {
  if (onTerminal) process.stderr.write('\r\x1b[K');
};
await runDoor('model', (argv, printer) =>
  modelCommand(
    argv,
    {
      served: fileURLToPath(new URL('../../public/models', import.meta.url)),
      incoming: fileURLToPath(new URL('../../node_modules/.cache/two-needles/models', import.meta.url)),
    },
    {
      out: (text) => printer.out(text),
      err(text) {
        clearLine();
        printer.err(text);
      },
      progress(text) {
        clearLine();
        if (onTerminal) process.stderr.write(text);
      },
    },
    stop.signal,
  ),
);
