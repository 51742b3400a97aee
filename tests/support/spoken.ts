import { readFileSync } from 'node:fs';
import type { TalkLevel } from '../../src/answering/level.ts';
import { converse, SILENCE, type Happening } from '../../src/answering/turn-taking.ts';
import { readVoicePack, VOICE_FILES, type VoicePack } from '../../src/answering/voice-pack.ts';
import { textOf } from '../../src/answering/wording.ts';
import { dueNow } from '../../src/check/due.ts';
import type { StartEvent } from '../../src/check/event.ts';
import { beginRun, passTime, take } from '../../src/running/check-run.ts';
import type { Language } from '../../src/running/language.ts';
import type { ScriptLine } from '../../src/rehearsal/synthetic-operator.ts';
import type { Ms } from '../../src/units/time.ts';

const VOICE = new URL('../../public/voice/', import.meta.url);

/** The clips of the embedded voice, as the app has them. */
export function voicePack(): VoicePack {
  const index: unknown = JSON.parse(readFileSync(new URL(VOICE_FILES.index, VOICE), 'utf8'));
  const pack = readVoicePack(index, readFileSync(new URL(VOICE_FILES.clips, VOICE)));
  if (!pack.ok) throw new Error(pack.problem.what);
  const decoded = new Map<string, ReturnType<VoicePack['clip']>>();
  return {
    clip(phrase) {
      if (!decoded.has(phrase)) decoded.set(phrase, pack.value.clip(phrase));
      return decoded.get(phrase);
    },
  };
}

/** One thing that the tool says in a check. */
export interface Spoken {
  readonly at: Ms;
  readonly ms: Ms;
  readonly words: string;
  readonly weight: string;
}

const TICK: Ms = 200;
/** From the end of a callout to its answer, and how long an operator who waits leaves after the tool's last sound. */
const ANSWERED: Ms = 300;
const LEAVES: Ms = 700;

/** What the tool says in a check of this script, done by an operator who waits for the end of all of it; no sound is made. */
export function spokenIn(
  start: StartEvent,
  language: Language,
  script: readonly ScriptLine[],
  level: TalkLevel,
  lengthOf: (phrases: readonly string[]) => Ms,
): readonly Spoken[] {
  const spoken: Spoken[] = [];
  const marked = new Map<string, { readonly onset: Ms; readonly end: Ms }>();
  // One ruleset for all of it: to compile one for each moment would take most of the time.
  const heard = { parse: (_rules: readonly string[], text: string) => language.parse(['anything'], text, 'psi') };
  let talk = SILENCE;
  let run = beginRun(start);
  let now = 0;
  let saidAt = Infinity;
  let quietAt = 0;
  const happens = (happening: Happening): void => {
    const turn = converse(talk, happening, now);
    talk = turn.talk;
    if (turn.say === undefined) return;
    const ms = lengthOf(turn.say.phrases);
    spoken.push({
      at: now,
      ms,
      words: textOf(turn.say.phrases) || turn.say.phrases.join(' '),
      weight: turn.say.weight,
    });
    saidAt = now + ms;
  };
  let due: ReturnType<typeof dueNow>;
  const tick = (): void => {
    now += TICK;
    const before = run;
    run = passTime({ ...run, answers: [] }, now);
    if (run.answers.length > 0) happens({ is: 'answers', answers: run.answers, level });
    if (talk.saying !== undefined && now >= saidAt) {
      quietAt = now;
      happens({ is: 'said' });
    }
    if (run.state !== before.state) {
      const next = dueNow(run.state);
      if (JSON.stringify(next) !== JSON.stringify(due)) due = next;
    }
    happens({ is: 'time', due: due === undefined ? undefined : { answer: due, level } });
  };
  happens({ is: 'answers', answers: run.answers, level });
  let free = 0;
  for (const { text, pause = 1500, notBefore, mark } of script) {
    const after = notBefore === undefined ? 0 : (marked.get(notBefore.mark)?.[notBefore.edge] ?? 0) + notBefore.ms;
    while (now < Math.max(free + pause, after) || talk.saying !== undefined || now < quietAt + LEAVES) tick();
    const at = now;
    happens({ is: 'operator', speaks: true });
    for (const end = now + text.length * 70; now < end;) tick();
    const end = now;
    if (mark !== undefined) marked.set(mark, { onset: at, end });
    happens({ is: 'operator', speaks: false });
    for (const until = now + ANSWERED; now < until;) tick();
    run = take(run, { start: at, end, text, confidence: 1, source: 'voice' }, heard);
    happens({ is: 'answers', answers: run.answers, level });
    free = now;
  }
  for (const until = now + 10_000; now < until;) tick();
  if (run.state.phase !== 'done') throw new Error(`the check was not done: it is at ${String(run.state.index)}`);
  return spoken;
}
