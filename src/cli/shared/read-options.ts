import { parseArgs, type ParseArgsConfig } from 'node:util';
import { bad, good, type Outcome } from '../../units/outcome.ts';

/** The option that every command has. */
const HELP = { help: { type: 'boolean', short: 'h', default: false } } as const;

type Options = NonNullable<ParseArgsConfig['options']>;
type Read<O extends Options> = ReturnType<
  typeof parseArgs<{ readonly allowPositionals: true; readonly options: O & typeof HELP }>
>;

/** The options of a command and what stands beside them; `--help` besides those given. An unknown or incomplete option is refused by name. */
export function readOptions<const O extends Options>(argv: readonly string[], options: O): Outcome<Read<O>> {
  try {
    return good(parseArgs({ args: [...argv], allowPositionals: true, options: { ...options, ...HELP } }));
  } catch (error) {
    // Node's message is one sentence that names the option, sometimes followed by advice on `--`.
    const message = error instanceof Error ? error.message : String(error);
    return bad(`${message.split(/\. |\n/)[0] ?? message}.`.replace(/\.\.$/, '.'), undefined, 'Try --help.');
  }
}
