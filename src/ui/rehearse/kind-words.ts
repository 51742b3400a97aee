import type { FindingKind } from '../../rehearsal/finding.ts';

/** What a kind of finding is called. */
export const KIND_WORDS: Readonly<Record<FindingKind, string>> = {
  'wrong-reading': 'Called wrongly',
  missing: 'Not called',
  late: 'Called late',
  early: 'Called early',
  'out-of-order': 'Out of order',
  'hold-short': 'Hold cut short',
  'fanned-too-fast': 'Pumped too fast',
  caution: 'Caution skipped',
  'not-done': 'Not done',
  'fault-not-called': 'Fault not called',
  'false-alarm': 'False alarm',
  'wrong-class': 'Class not told rightly',
  'wrong-name': 'Named otherwise',
  'wrong-spot': 'Not pointed at',
};
