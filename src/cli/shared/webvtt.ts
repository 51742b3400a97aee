import webvtt from 'webvtt-parser';
import type { TreeNode } from 'webvtt-parser';
import { OPERATOR } from '../../record/transcript.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import type { Ms } from '../../units/time.ts';

export { writeTranscript } from '../../record/transcript.ts';

/** One thing that was said, from a timed transcript. */
interface TranscriptCue {
  /** Who said it, where it was not the operator. */
  readonly voice?: string;
  readonly at: Ms;
  readonly end: Ms;
  readonly text: string;
}

export interface Transcript {
  /** Every cue, by its onset. */
  readonly cues: readonly TranscriptCue[];
  /** How many cues there are of each other voice. */
  readonly others: ReadonlyMap<string, number>;
  /** End of the last cue of any speaker. */
  readonly end: Ms;
}

/** With the semicolon: the parser's own table, without it, leaves the semicolon in the text. */
const ENTITIES = {
  '&amp;': '&',
  '&lt;': '<',
  '&gt;': '>',
  '&lrm;': '\u200e',
  '&rlm;': '\u200f',
  '&nbsp;': '\u00a0',
} as const;

/**
 * Reads a WebVTT transcript. Cues of other voices (`<v radio>`) are named. Anything the W3C parser complains of, two cues of the
 * operator that overlap, and a cue that another voice shares with the operator refuse the file with the line: a wrong time would become
 * a wrong verdict, and words left out a missing one.
 */
export function readTranscript(text: string, file: string): Outcome<Transcript> {
  if (text.trim() === '') return bad('the transcript is empty.', file, 'A WebVTT file starts with the line WEBVTT.');
  const parsed = new webvtt.WebVTTParser(ENTITIES).parse(text, 'metadata');
  const error = parsed.errors[0];
  if (error !== undefined) {
    // The parser gives no column for faults of a whole line.
    const column = error.col > 0 ? `:${error.col}` : '';
    return bad(`not valid WebVTT: ${error.message}`, `${file}:${error.line}${column}`);
  }
  // Without errors the cues are in file order, one for each timing line.
  const lines = timingLines(text);
  const cues: TranscriptCue[] = [];
  const told = new Map<string, number>();
  const more: TranscriptCue[] = [];
  for (const [index, cue] of parsed.cues.entries()) {
    const where = `${file}:${lines[index] ?? '?'}`;
    const at = Math.round(cue.startTime * 1000);
    const end = Math.round(cue.endTime * 1000);
    const spans = spansOf(cue.tree.children);
    const others = spans.filter(({ voice }) => voice.toLowerCase() !== OPERATOR);
    for (const voice of new Set(others.map((each) => each.voice))) {
      told.set(voice, (told.get(voice) ?? 0) + 1);
      const text = textOf(others.filter((each) => each.voice === voice));
      if (text !== '') more.push({ voice, at, end, text });
    }
    const said = textOf(spans.filter((span) => !others.includes(span)));
    if (said === '') continue;
    if (others.length > 0) {
      return bad(
        `this cue is of the operator and of ${others.map(({ voice }) => voice).join(', ')}, so it does not tell when the operator spoke.`,
        where,
        'Give each speaker a cue of their own, with its times.',
      );
    }
    const before = cues.at(-1);
    if (before !== undefined && at < before.end) {
      return bad(
        `this cue starts at ${seconds(at)} s, before the operator's cue before it ends (${seconds(before.end)} s).`,
        where,
        'One person says one thing at a time: mend the times, or name the other speaker with <v …>.',
      );
    }
    cues.push({ at, end, text: said });
  }
  if (cues.length === 0) {
    const found = told.size === 0 ? '' : ` The voices found are ${[...told.keys()].join(', ')}.`;
    return bad(
      `no cue of the operator.${found}`,
      file,
      `Leave the operator's cues without a voice, or name it <v ${OPERATOR}>.`,
    );
  }
  const all = [...cues, ...more].toSorted((one, other) => one.at - other.at);
  return good({ cues: all, others: told, end: Math.round(Math.max(...parsed.cues.map((cue) => cue.endTime)) * 1000) });
}

function timingLines(text: string): number[] {
  return text.split(/\r\n|\r|\n/).flatMap((line, index) => (line.includes('-->') ? [index + 1] : []));
}

interface Span {
  readonly voice: string;
  readonly text: string;
}

/** What each voice says in a cue, in order; the operator's where no voice is named. A voice that is not closed goes on to the next. */
function spansOf(nodes: readonly TreeNode[], voice = OPERATOR): readonly Span[] {
  return nodes
    .flatMap((node): readonly Span[] => {
      if (node.type === 'text') return [{ voice, text: node.value }];
      if (node.type !== 'object') return [{ voice, text: ' ' }];
      return spansOf(node.children as TreeNode[], node.name === 'v' ? node.value.trim() : voice);
    })
    .filter(({ text }) => text !== '');
}

function textOf(spans: readonly Span[]): string {
  return spans
    .map(({ text }) => text)
    .join('')
    .replace(/\s+/g, ' ')
    .trim();
}

function seconds(ms: Ms): string {
  return (ms / 1000).toFixed(3);
}
