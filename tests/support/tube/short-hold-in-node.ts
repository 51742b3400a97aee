import process from 'node:process';
import { SHORT_HOLD } from './bench-rigs.ts';
import { nodeHost } from './host-node.ts';
import { runTube } from './tube.ts';
import { tellOf } from './tell.ts';

/** Prints what comes of the short hold in Node; see `node-command.ts`. */
const run = await runTube(await nodeHost(), SHORT_HOLD);
process.stdout.write(tellOf(run), () => process.exit());
