import { spawn } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { zipWriter } from '../../src/record/zip-writer.ts';
import { exportCheck } from '../../src/record/export.ts';
import { newHeader, sealedLog } from '../../src/record/chain.ts';
import { clipName } from '../../src/record/export-names.ts';
import { newSigner, packedBy, wholeCheck, APP, WALL } from '../unit/record/logs.ts';
import { zipSync } from 'fflate';

/** `verify` over exports of many checks, and over a few with many sounds: time, and the most memory that it held. */
const LOGS = Number(process.argv[2] ?? 10_000);
const LARGE = 40;
const LARGE_BYTES = 20 * 2 ** 20;

const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'verify-bench-'));
try {
  const signer = await newSigner();
  const zip = zipWriter();
  let last: { number: number; digest: string } | undefined;
  for (let nth = 1; nth <= LOGS; nth += 1) {
    const log = await sealedLog(newHeader(`check-${nth}`, WALL, APP, signer), wholeCheck(), WALL, signer, last);
    last = { number: nth, digest: log.end.head };
    zip.add(`${nth}.zip`, new Uint8Array(await (await exportCheck(log, packedBy(signer))).arrayBuffer()));
  }
  const many = join(folder, 'many.zip');
  writeFileSync(many, new Uint8Array(await zip.end().arrayBuffer()));
  tell(`${LOGS} logs`, await verify(many), LOGS);

  const sound = crypto.getRandomValues(new Uint8Array(65_536));
  const large = Buffer.alloc(LARGE_BYTES, sound);
  const log = await sealedLog(newHeader('large', WALL, APP, signer), wholeCheck(), WALL, signer);
  const files = { 'log.json': Buffer.from(JSON.stringify(log)), [clipName(1)]: large };
  const one = zipSync(files, { level: 0 });
  const paths = Array.from({ length: LARGE }, (_, nth) => join(folder, `large-${nth}.zip`));
  for (const path of paths) writeFileSync(path, one);
  tell(`${LARGE} zips of ${LARGE_BYTES / 2 ** 20} MB`, await verify(...paths), LARGE);
} finally {
  rmSync(folder, { recursive: true });
}

async function verify(
  ...paths: readonly string[]
): Promise<{ ms: number; cpu: number; megabytes: number; lines: number }> {
  const out = openSync(join(folder, 'out'), 'w');
  const began = performance.now();
  const child = spawn(process.execPath, ['--import', 'tsx', 'src/cli/verify.ts', ...paths], {
    cwd: root,
    stdio: ['ignore', out, 'inherit'],
  });
  const pid = String(child.pid);
  let megabytes = 0;
  let cpu = 0;
  const watch = setInterval(() => {
    // Linux alone tells; elsewhere the figures stay 0.
    try {
      const peak = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
      megabytes = Math.max(megabytes, Number(peak ?? 0) / 1024);
      const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
      cpu = (Number(fields[11]) + Number(fields[12])) * 10;
    } catch {
      clearInterval(watch);
    }
  }, 100);
  await new Promise((ended) => child.on('exit', ended));
  clearInterval(watch);
  closeSync(out);
  const lines = readFileSync(join(folder, 'out'), 'utf8').trim().split('\n').length;
  return { ms: performance.now() - began, cpu, megabytes, lines };
}

function tell(what: string, { ms, cpu, megabytes, lines }: Awaited<ReturnType<typeof verify>>, count: number): void {
  console.log(
    `verify: ${what} in ${(ms / 1000).toFixed(1)} s (${(cpu / 1000).toFixed(1)} s of processor), ` +
      `${(count / (cpu / 1000)).toFixed(0)} a second of processor, at most ${megabytes.toFixed(0)} MB, ${lines} lines`,
  );
}
