import type { RecordNotice } from '../../record/keeping-store.ts';

/** What the operator is told when the record cannot be kept as it should. */
export const RECORD_NOTICES: Record<Exclude<RecordNotice, 'disk-back'>, string> = {
  'not-kept':
    'This browser keeps nothing here (private window, or site data is blocked). The check runs, but its record is lost when the page closes.',
  'clips-given-up':
    'Storage is full: the sound of callouts is given up, oldest first. What was heard and judged is still kept.',
  'disk-lost':
    'Storage does not take the record. The check goes on and is kept in memory while this page stays open; storage is tried again at every callout.',
  'newer-build':
    'A newer build of this app, in another tab, has taken over the storage. What was called before is kept; what is called from now on is kept only while this page stays open. Close the other tab and reload this page: the check goes on where it was.',
  'other-tab': 'This check is open in another tab, which keeps its record. Close this one.',
};

/** Said to the tab that is asked to write a check that another tab writes. */
export const CLAIMED_ELSEWHERE =
  'That check is running in another tab or window of this browser. Go on with it there; here it stays as it is.';
