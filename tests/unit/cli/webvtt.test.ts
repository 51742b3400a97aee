import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readTranscript, writeTranscript } from '../../../src/cli/shared/webvtt.ts';
import { problemLine } from '../../../src/units/outcome.ts';

function refusal(text: string): string {
  const outcome = readTranscript(text, 'cab.vtt');
  if (outcome.ok) throw new Error('was read');
  return problemLine(outcome.problem);
}

function cuesOf(text: string): unknown {
  const outcome = readTranscript(text, 'cab.vtt');
  if (!outcome.ok) throw new Error(problemLine(outcome.problem));
  return outcome.value.cues;
}

describe('reading a timed transcript', () => {
  it('keeps the operator’s cues, and names other voices, overlapping or not', () => {
    const text = [
      'WEBVTT',
      '',
      'NOTE made by hand',
      '',
      '1',
      '00:00.500 --> 00:02.000',
      'Cut out, primary one two five',
      '',
      '00:01.000 --> 00:04.000',
      '<v Dispatch>Engine 31, report',
      '',
      '01:00:03.000 --> 01:00:04.250',
      '<v Operator>cut <i>in</i>',
      '',
    ].join('\n');
    expect(cuesOf(text)).toEqual([
      { at: 500, end: 2000, text: 'Cut out, primary one two five' },
      { voice: 'Dispatch', at: 1000, end: 4000, text: 'Engine 31, report' },
      { at: 3_603_000, end: 3_604_250, text: 'cut in' },
    ]);
  });

  it('parts a cue that two other voices share', () => {
    const text =
      'WEBVTT\n\n00:01.000 --> 00:02.000\n<v radio>Engine</v> <v crew>yes</v>\n\n00:03.000 --> 00:04.000\nbuzzer\n';
    expect(cuesOf(text)).toEqual([
      { voice: 'radio', at: 1000, end: 2000, text: 'Engine' },
      { voice: 'crew', at: 1000, end: 2000, text: 'yes' },
      { at: 3000, end: 4000, text: 'buzzer' },
    ]);
  });

  it('reads DOS line ends and a byte order mark', () => {
    expect(cuesOf('\ufeffWEBVTT\r\n\r\n00:01.000 --> 00:02.000\r\nbuzzer\r\n')).toEqual([
      { at: 1000, end: 2000, text: 'buzzer' },
    ]);
  });

  it.each([
    ['an empty file', '', /cab\.vtt: the transcript is empty/],
    ['no signature', '00:01.000 --> 00:02.000\nbuzzer\n', /cab\.vtt:1.*WEBVTT/],
    ['a time with too few digits', 'WEBVTT\n\n00:01.00 --> 00:02.000\nbuzzer\n', /cab\.vtt:3:\d+.*three digits/],
    ['a cue that ends before it starts', 'WEBVTT\n\n00:03.000 --> 00:02.000\nbuzzer\n', /cab\.vtt:3/],
    [
      'cues out of order',
      'WEBVTT\n\n00:03.000 --> 00:04.000\nbuzzer\n\n00:01.000 --> 00:02.000\nready\n',
      /cab\.vtt:6/,
    ],
    [
      'overlapping cues',
      'WEBVTT\n\n00:01.000 --> 00:03.000\nbuzzer\n\n00:02.500 --> 00:04.000\nready\n',
      /cab\.vtt:6: .*2\.500 s.*3\.000 s/,
    ],
    [
      'a cue that another voice begins',
      'WEBVTT\n\n00:01.000 --> 00:03.000\n<v radio>Engine 31</v> <v Operator>buzzer</v>\n',
      /cab\.vtt:3: .*operator and of radio.*cue of their own/,
    ],
    [
      'a cue in which no voice is closed',
      'WEBVTT\n\n00:01.000 --> 00:03.000\n<v operator>buzzer\n<v radio>Engine 31\n',
      /cab\.vtt:3: .*radio/,
    ],
    ['only other voices', 'WEBVTT\n\n00:01.000 --> 00:03.000\n<v radio>hello\n', /no cue of the operator.*radio/],
  ])('refuses %s in one line that says where', (_case, text, pattern) => {
    const line = refusal(text);
    expect(line).toMatch(pattern);
    expect(line).not.toContain('\n');
  });

  it('reads back what it writes', () => {
    const said = fc
      .array(fc.constantFrom('primary', 'one', 'a < b', 'R&D', 'two five'), { minLength: 1 })
      .map((words) => words.join(' '));
    const gaps = fc.array(fc.record({ gap: fc.nat(400_000), length: fc.integer({ min: 1, max: 9000 }), text: said }), {
      minLength: 1,
    });
    fc.assert(
      fc.property(gaps, (parts) => {
        let clock = 0;
        const cues = parts.map(({ gap, length, text }) => {
          const at = clock + gap;
          clock = at + length;
          return { at, end: clock, text };
        });
        expect(cuesOf(writeTranscript(cues))).toEqual(cues);
      }),
    );
  });
});
