/** What can be wrong with a log. */
type FaultKind =
  | 'header-edited'
  | 'edited'
  | 'dropped'
  | 'duplicated'
  | 'swapped'
  | 'unfinished'
  | 'misplaced'
  | 'signature'
  | 'clip'
  | 'event'
  | 'file'
  | 'cut-short';

export interface Fault {
  readonly kind: FaultKind;
  /** Where: the place in the file, from 0; of a dropped entry, the place it had. Absent when it is no one entry's. */
  readonly entry?: number;
  /** One plain sentence. */
  readonly what: string;
}
