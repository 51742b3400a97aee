import { copyFile, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { publishedFile } from '../../../src/cli/assets/published-model.ts';

const FOLDER = fileURLToPath(new URL('../../../src/hearing/embedded/model/', import.meta.url));
const NAME = 'noisedict.txt';
let copy = '';

beforeAll(async () => {
  copy = await mkdtemp(join(tmpdir(), 'published-'));
});
afterAll(() => rm(copy, { recursive: true }));

it('gives a file of the acoustic model as it was published', async () => {
  await copyFile(join(FOLDER, NAME), join(copy, NAME));
  const read = await publishedFile(NAME, copy);
  expect(read.ok && new TextDecoder().decode(read.value)).toContain('<sil> SIL\n');
});

it('refuses one whose ends of lines were changed on the way, and one that is not there', async () => {
  const text = await readFile(join(FOLDER, NAME), 'utf8');
  await writeFile(join(copy, NAME), text.replaceAll('\n', '\r\n'));
  expect(await publishedFile(NAME, copy)).toMatchObject({
    problem: { what: 'A file of the acoustic model is not as it was published.', where: join(copy, NAME) },
  });
  expect(await publishedFile('mdef', copy)).toMatchObject({
    problem: { what: 'A file of the acoustic model is missing.', repair: 'Check out the repository again, as it is.' },
  });
});
