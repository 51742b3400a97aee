import { bad } from '../../units/outcome.ts';

/** What is wrong with the options of a command, of what Node's reader of them has thrown. */
export function optionProblem(error: unknown): ReturnType<typeof bad> {
  // Node's message is one sentence that names the option, sometimes followed by advice on `--`.
  const message = error instanceof Error ? error.message : String(error);
  return bad(`${message.split(/\. |\n/)[0] ?? message}.`.replace(/\.\.$/, '.'), undefined, 'Try --help.');
}
