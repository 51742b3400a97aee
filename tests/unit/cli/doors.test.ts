import { execFileSync, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { collectCommand } from '../../../src/cli/collect/collect-command.ts';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import { modelCommand } from '../../../src/cli/model/model-command.ts';
import { operatorCommand } from '../../../src/cli/operator/operator-command.ts';
import type { Printer } from '../../../src/cli/shared/printer.ts';
import { rehearseCommand } from '../../../src/cli/rehearse/rehearse-command.ts';
import { verifyCommand } from '../../../src/cli/verify/verify-command.ts';
import { logOfCheck, newSigner, wholeCheck } from '../record/logs.ts';

const folder = mkdtempSync(join(tmpdir(), 'doors-'));
const at = (name: string): string => join(folder, name);
afterAll(() => rmSync(folder, { recursive: true }));

type Door = (argv: readonly string[], printer: Printer) => Promise<number>;
const DOORS: Readonly<Record<string, Door>> = {
  hear: hearCommand,
  verify: verifyCommand,
  collect: (argv, printer) => collectCommand(argv, printer),
  rehearse: rehearseCommand,
  operator: operatorCommand,
  model: (argv, printer) =>
    modelCommand(argv, { served: at('served'), incoming: at('incoming') }, { ...printer, progress: () => undefined }),
};

/** Contents that are no plan, limits, rig, scenario, list of keys, key, log, recording, transcript or model. */
const CONTENTS: Readonly<Record<string, string | Uint8Array>> = {
  empty: '',
  brace: '{',
  list: '[]',
  nothing: 'null',
  number: '5',
  text: '"x"',
  object: '{}',
  'marked-object': '\ufeff{}',
  latin: new Uint8Array([0x7b, 0x22, 0xe9, 0x22, 0x7d]),
  utf16: new Uint8Array([0xff, 0xfe, 0x7b, 0, 0x7d, 0]),
  deep: `${'['.repeat(5000)}${']'.repeat(5000)}`,
  steering: '{"format": "\u001b[2J\u0007", "version": 1, "id": "\u202e", "name": "a\\nb"}',
  zeros: new Uint8Array(3000),
  zip: new Uint8Array([0x50, 0x4b, 3, 4, 0, 0]),
  riff: 'RIFF\u0000\u0000\u0000\u0000WAVEfmt ',
};
/** Paths that are no file: what is wrong with them is told before anything is read. */
const PATHS = ['gone', 'a-folder', 'gone/deeper', 'a-file/deeper', 'a-pipe', 'a-loop', 'nul\u0000', 'x'.repeat(300)];
const VTT = `WEBVTT\n\n00:00:01.000 --> 00:00:02.000\n<v operator>chocks set\n`;

beforeAll(() => {
  for (const [name, content] of Object.entries(CONTENTS))
    for (const ending of ['json', 'vtt', 'wav']) writeFileSync(at(`${name}.${ending}`), content);
  writeFileSync(at('good.vtt'), VTT);
  writeFileSync(at('a-file'), 'x');
  mkdirSync(at('a-folder'));
  writeFileSync(at('a-folder/mine.txt'), 'mine');
  symlinkSync(at('a-loop'), at('a-loop'));
  symlinkSync(at('a-folder'), at('a-link'));
  execFileSync('mkfifo', [at('a-pipe')]);
});

/** Every option and place that takes a file, and what stands before and after it on the command line. */
const FILE_PLACES: readonly (readonly [door: string, ...argv: readonly string[]])[] = [
  ['hear', '@vtt'],
  ['hear', '@wav'],
  ['hear', 'good.vtt', '--plan', '@json'],
  ['hear', 'good.vtt', '--profile', '@json'],
  ['hear', 'good.vtt', '--rig', '@json'],
  ['hear', 'good.vtt', '--out', 'new', '--key', '@json'],
  ['rehearse', '@json'],
  ['verify', '@json'],
  ['verify', 'good.vtt', '--keys', '@json'],
  ['collect', '@json', '--since', '2026-05-01', '--out', 'new'],
  ['model', '@json'],
];

const OPTIONS: readonly (readonly [door: string, ...argv: readonly string[]])[] = [
  ...['hear', 'verify', 'rehearse', 'collect', 'model'].map((door): [string] => [door]),
  ...Object.keys(DOORS).flatMap((door): [string, ...string[]][] => [
    [door, '--nonsense'],
    [door, '--nonsense=\u001b[2J'],
    [door, '-x'],
    [door, 'a', '--help=yes'],
  ]),
  ['hear', 'good.vtt', 'good.vtt'],
  ['hear', ''],
  ['hear', 'a-file'],
  ...['plan', 'profile', 'rig', 'model', 'out', 'key', 'listen', 'engine'].flatMap((name): [string, ...string[]][] => [
    ['hear', 'good.vtt', `--${name}=`],
    ['hear', 'good.vtt', `--${name}`],
  ]),
  ['hear', 'good.vtt', '--plan', 'no-such-plan'],
  ['hear', 'good.vtt', '--profile', 'no\u0007such'],
  ['hear', 'good.vtt', '--engine', 'ears'],
  ['hear', 'good.vtt', '--listen', 'nothing'],
  ['hear', 'good.vtt', '--listen', 'constructor'],
  ['hear', 'good.vtt', '--force'],
  ['hear', 'good.vtt', '--key', 'a-file'],
  ['hear', 'good.vtt', '--out', 'new', '--listen', 'readings'],
  ['hear', 'good.vtt', '--out', 'a-folder'],
  ['hear', 'good.vtt', '--out', 'a-folder', '--force'],
  ['hear', 'good.vtt', '--out', 'a-link'],
  ['hear', 'good.vtt', '--out', 'a-link/'],
  ['hear', 'good.vtt', '--out', 'a-file'],
  ['hear', 'good.vtt', '--out', 'a-file/deeper'],
  ['hear', 'good.vtt', '--out', 'a-pipe'],
  ['hear', 'good.vtt', '--out', 'a-loop'],
  ['hear', 'good.vtt', '--out', 'nul\u0000'],
  ['hear', 'good.vtt', '--out', 'x'.repeat(300)],
  ['hear', 'good.vtt', '--out', '/proc/x'],
  ['hear', 'good.vtt', '--out', '/dev/null'],
  ['hear', 'good.vtt', '--out', '/'],
  ['hear', '/dev/zero'],
  ['verify', ''],
  ['verify', '/dev/zero'],
  ['verify', '/proc/self/mem'],
  ['verify', 'a-folder'],
  ['verify', '--keys=', 'good.vtt'],
  ['verify', '--oddities'],
  ['verify', '--oddities=yes', 'good.vtt'],
  ['verify', '--oddities', 'good.vtt'],
  ['verify', '--oddities', '--new-key', 'new.json', '--name', 'Desk'],
  ['verify', '--new-key='],
  ['verify', '--new-key', 'new.json'],
  ['verify', '--new-key', 'new.json', '--name='],
  ['verify', '--new-key', 'new.json', '--name', '\u001b[2J'],
  ['verify', '--new-key', 'new.json', '--name', 'x'.repeat(61)],
  ['verify', '--new-key', 'new.json', '--name', 'Desk', 'good.vtt'],
  ['verify', '--new-key', 'a-file', '--name', 'Desk'],
  ['verify', '--new-key', 'a-folder', '--name', 'Desk'],
  ['verify', '--new-key', 'a-link', '--name', 'Desk'],
  ['verify', '--new-key', '/proc/x', '--name', 'Desk'],
  ['verify', '--name', 'Desk', 'good.vtt'],
  ['collect', 'a-file', '--since', '2026-13-01', '--out', 'new'],
  ['collect', 'a-file', '--since', '2026-05-01'],
  ['collect', 'a-file', '--older-than', 'long'],
  ['collect', 'a-file', '--older-than', '730', '--delete'],
  ['collect', 'a-file', '--older-than', '730', '--out', 'new'],
  ['collect', 'a-file', 'a-file', '--since', '2026-05-01', '--out', 'new'],
  ['collect', '/dev/zero', '--since', '2026-05-01', '--out', 'new'],
  ['rehearse', 'object.json', 'object.json'],
  ...[
    '--seed=',
    '--seed=-1',
    '--seed=1.5',
    '--seed=1e3',
    '--seed=4294967296',
    '--seed=0x10',
    '--seed= 7',
    '--level=',
    '--omit=what',
  ].map((option): [string, string, string] => ['rehearse', 'object.json', option]),
  ['operator'],
  ['operator', 'stray', '--out', 'new'],
  ...['', '-1', '0', '901', 'x', 'Infinity', 'NaN', '1e9'].flatMap((value): [string, ...string[]][] => [
    ['operator', '--out', 'new', `--hold=${value}`],
    ['operator', '--out', 'new', `--floor=${value === '-1' || value === '0' ? '1' : value}`],
    ['operator', '--out', 'new', `--diesel=${value === '-1' || value === '0' || value === '901' ? '-61' : value}`],
  ]),
  ['operator', '--out='],
  ['operator', '--out', 'new', '--scenario', 'toString'],
  ['operator', '--out', 'new', '--voice', 'x\u0007'],
  ['operator', '--out', 'new', '--pace', 'slow'],
  ['operator', '--out', 'a-file'],
  ['operator', '--out', 'a-file/deeper'],
  ['operator', '--out', 'a-pipe'],
  ['operator', '--out', 'a-loop'],
  ['operator', '--out', 'nul\u0000'],
  ['operator', '--out', 'x'.repeat(300)],
  ['operator', '--out', '/proc/x'],
  ['model', 'gone', 'gone'],
  ['model', ''],
  ['model', '/dev/zero'],
  ['model', 'http://'],
  ['model', 'https://[::1'],
  ['model', 'zip.json', '--to='],
  ['model', 'zip.json', '--to', 'a-file'],
  ['model', 'zip.json', '--to', '/proc/x'],
  ['model', 'zip.json', '--sha256', 'short'],
  ['model', 'zip.json', '--sha256='],
];

const TABLE = [
  ...FILE_PLACES.flatMap(([door, ...argv]) => {
    const place = argv.find((each) => each.startsWith('@'))!;
    const names = [...Object.keys(CONTENTS).map((name) => `${name}.${place.slice(1)}`), ...PATHS];
    return names.map((name) => [door, ...argv.map((each) => (each === place ? name : each))]);
  }),
  ...OPTIONS,
] as readonly (readonly string[])[];

/** Names of this table's files are taken in its folder. */
function inFolder(argument: string): string {
  if (argument.startsWith('-') || argument.startsWith('/') || argument === '') return argument;
  const known = [...PATHS, 'new', 'new.json', 'a-link', 'a-link/', 'a-file', 'good.vtt', 'stray'];
  return known.includes(argument) || /\.(json|vtt|wav)$/.test(argument) ? at(argument) : argument;
}

async function tried([door = '', ...argv]: readonly string[]) {
  const out: string[] = [];
  const err: string[] = [];
  const printer = { out: (line: string) => out.push(line), err: (line: string) => err.push(line) };
  const status = await DOORS[door]!(argv.map(inFolder), printer);
  return { status, out, err };
}

describe('what no door can use', { timeout: 600_000 }, () => {
  it('is at least two hundred inputs', () => {
    expect(TABLE.length).toBeGreaterThanOrEqual(200);
  });

  it.each(TABLE.map((argv) => ({ argv, shown: JSON.stringify(argv).slice(0, 90) })))(
    'is told in one clear line, and nothing is left: $shown',
    async ({ argv }) => {
      const before = readdirSync(folder, { recursive: true }).sort();
      const { status, out, err } = await tried(argv);
      expect({ status, out, lines: err.length }, err.join('\n')).toEqual({ status: 2, out: [], lines: 1 });
      expect(err[0]).not.toMatch(/\n|\bat \S+:\d+|\bE[A-Z]{4,}\b|Error:|node:|undefined|\[object/);
      expect(err[0]!.length).toBeGreaterThan(15);
      expect(
        readdirSync(folder, { recursive: true })
          .sort()
          .filter((name) => name !== 'incoming'),
      ).toEqual(before.filter((name) => name !== 'incoming'));
    },
  );
});

describe('a door as a program', { timeout: 600_000 }, () => {
  const root = fileURLToPath(new URL('../../../', import.meta.url));
  const door = (name: string, ...argv: string[]): string[] => [
    '--import',
    'tsx',
    join(root, `src/cli/${name}.ts`),
    ...argv,
  ];

  it('lets no name steer the terminal', () => {
    const { stderr, status } = spawnSync(process.execPath, door('verify', '\u001b[2J\u0007\u202e\n.json'), {
      cwd: root,
      encoding: 'utf8',
    });
    expect(status).toBe(2);
    expect(stderr).toBe('verify: \\u001b[2J\\u0007\\u202e\\u000a.json: there is no such file.\n');
  });

  it('gives its own status, and no trace, to a reader that has seen enough, and to a full disk', async () => {
    writeFileSync(at('a.json'), JSON.stringify(await logOfCheck(wholeCheck(), await newSigner())));
    const many = Array.from({ length: 50 }, () => at('a.json'));
    const child = spawn(process.execPath, door('verify', ...many), { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    let told = '';
    child.stderr.on('data', (data) => (told += String(data)));
    child.stdout.destroy();
    const status = await new Promise((ended) => child.on('exit', ended));
    expect({ status, told }).toEqual({ status: 0, told: '' });
    const full = spawnSync(
      'sh',
      ['-c', 'exec "$0" "$@" > /dev/full', process.execPath, ...door('verify', at('a.json'))],
      { cwd: root, encoding: 'utf8' },
    );
    expect({ status: full.status, told: full.stderr }).toEqual({
      status: 2,
      told: 'verify: the output could not be written: the disk is full.\n',
    });
  });
});
