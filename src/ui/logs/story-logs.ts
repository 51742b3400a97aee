import { chainNext, headerDigest, newHeader, sealNext, signedNext } from '../../record/chain.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import { importChecks, type ImportReport } from '../../record/import.ts';
import { logFile, type Entry, type LogFile } from '../../record/log.ts';
import { breather, type Work } from '../../record/pace.ts';
import { throwawaySigner, type Signer } from '../../record/signer.ts';
import { demoStory, STORY_ID, type StoryCheck, type StoryParts } from '../../rehearsal/demo-story.ts';

/** The name of the program in made-up logs; not that of real ones. */
const APP = 'Two Needles demo story';

/** The log of a check of the story: chained, sealed, with what the officer added. */
async function storyLog({ id, events, ended, officer }: StoryCheck, signer: Signer): Promise<LogFile> {
  const start = events[0];
  const header = newHeader(id, start?.type === 'start' ? start.wall : ended, APP, signer);
  const first = await headerDigest(header);
  const entries: Entry[] = [];
  const head = (): string => entries.at(-1)?.digest ?? first;
  for (const event of events) entries.push(await chainNext(head(), entries.length, event));
  entries.push(await sealNext(head(), entries.length, ended, signer));
  if (officer !== undefined) {
    const by = { officer: officer.name, wall: officer.wall, key: signer.publicKey };
    const { repair } = officer;
    const added =
      repair === undefined
        ? ({ type: 'countersigned', ...by } as const)
        : ({ type: 'remark', text: repair.text, repair: repair.step, ...by } as const);
    entries.push(await signedNext(head(), entries.length, added, signer));
  }
  return logFile(header, entries, first);
}

/**
 * Tells the story, seals it with a key that is thrown away afterwards, and takes it in as logs from files are: verified, and
 * marked as from elsewhere. What is here already is not kept twice.
 */
export async function loadStory(store: ChainedStore, parts: StoryParts, work: Work = {}): Promise<ImportReport> {
  const signer = await throwawaySigner();
  const breathe = breather(work);
  const files: { name: string; file: Blob }[] = [];
  for (const check of demoStory(parts)) {
    await breathe();
    const log = await storyLog(check, signer);
    files.push({ name: check.id, file: new Blob([JSON.stringify(log)]) });
  }
  return importChecks(files, store, work);
}

/** Takes every check of the story out again; real checks stay. */
export async function removeStory(store: ChainedStore): Promise<void> {
  for (const { id } of await store.heads()) if (id.startsWith(STORY_ID)) await store.remove(id);
}
