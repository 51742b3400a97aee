import { afterEach, describe, expect, it } from 'vitest';
import { encode } from 'uqr';
import { exportCheck } from '../../src/record/export.ts';
import { keyWords } from '../../src/record/key-words.ts';
import { keyQuery } from '../../src/record/known-keys.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import { logOfCheck, newSigner, packedBy, wholeCheck } from '../unit/record/logs.ts';
import { Bench, chained, deep, find, mount, settle, until } from './support/parts.ts';

const TABLET = 'Engine 31 tablet';

let store: ChainedStore;
async function open(hash: string): Promise<void> {
  location.hash = hash;
  store = await chained(memoryStore());
  await mount(await new Bench().parts({ store }));
}

/** Files that the page offers to save, as they are offered. */
const saved: { readonly name: string; readonly file: Promise<Blob> }[] = [];
HTMLAnchorElement.prototype.click = function (this: HTMLAnchorElement): void {
  if (this.download === '') HTMLElement.prototype.click.call(this);
  else saved.push({ name: this.download, file: fetch(this.href).then((answer) => answer.blob()) });
};

async function choose(accept: string, file: File): Promise<void> {
  const input = await until(() => find<HTMLInputElement>(`input[type=file][accept*="${accept}"]`), 'the picker');
  const data = new DataTransfer();
  data.items.add(file);
  input.files = data.files;
  input.dispatchEvent(new Event('change'));
}

async function pressed(words: RegExp): Promise<void> {
  const button = await until(() => find<HTMLButtonElement>('button:not([disabled])', words), String(words));
  button.click();
  await settle();
}

async function name(text: string): Promise<void> {
  const input = await until(() => find<HTMLInputElement>('tn-keys input[name=name], input[name=name]'), 'the name');
  input.value = text;
  input.form?.requestSubmit();
  await settle();
}

const known = (): string[] =>
  [...deep(document.body)]
    .filter((each) => each.matches('section[aria-label="Known keys"] li b'))
    .map((each) => each.textContent);
const status = (words: RegExp): Promise<Element> => until(() => find('[role=status]', words), String(words));

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
  saved.length = 0;
});

describe('the keys of a station', () => {
  it('are named, given by QR code, taken by comparing words, exported, forgotten and imported', async () => {
    await open('#logs/keys');
    const own = (await store.packing()).signer.publicKey;
    const words = await keyWords(own);
    await until(() => find('.words', words), 'its own words');
    await name('Station 3 desk');
    await status(/The name is kept/);

    const square = await until(
      () => find<SVGElement>('svg[aria-label="QR code of the key of Station 3 desk"]'),
      'the code',
    );
    const address = `${location.href.split('#')[0] ?? ''}#logs/keys?${keyQuery({ name: 'Station 3 desk', key: own })}`;
    // As many dark squares as a code of that address has, and white around them.
    const { data } = encode(address, { border: 0 });
    expect(square.querySelector('path')?.getAttribute('d')?.match(/M/g)).toHaveLength(
      data.flat().filter(Boolean).length,
    );
    expect(square.getAttribute('viewBox')).toBe(`0 0 ${data.length + 8} ${data.length + 8}`);

    const tablet = await newSigner();
    location.hash = `#logs/keys?${keyQuery({ name: TABLET, key: tablet.publicKey })}`;
    await until(() => find('h2', `Is this the key of “${TABLET}”?`), 'the offer');
    expect(find('.offer .words', await keyWords(tablet.publicKey))).toBeDefined();
    expect(known()).toEqual([]);
    await pressed(/The words are the same: take it/);
    await until(() => known().includes(TABLET), 'the key among those known');

    await pressed(/Export the list of keys/);
    expect(saved.map((each) => each.name)).toEqual(['keys.json']);
    const list = await saved[0]!.file;
    await pressed(new RegExp(`Forget ${TABLET}`));
    await until(() => known().length === 0, 'the key forgotten');
    await choose('.json', new File([list], 'keys.json'));
    await until(() => known().includes(TABLET), 'the key known again');
    expect((await store.packing()).known).toEqual([{ name: TABLET, key: tablet.publicKey }]);

    await choose('.json', new File(['{"format":"two-needles-keys"'], 'broken.json'));
    await status(/broken\.json: The list of keys is cut short/);
    expect(known()).toEqual([TABLET]);
  });

  it('leaves a key whose words are not the same, and knows it no better', async () => {
    await open(`#logs/keys?${keyQuery({ name: TABLET, key: (await newSigner()).publicKey })}`);
    const leave = await until(() => find<HTMLAnchorElement>('.offer a.button'), 'the way out');
    leave.click();
    await until(() => find('.offer') === undefined, 'the offer to go');
    expect(known()).toEqual([]);
  });
});

describe('a log by a key that is not known', () => {
  it('says so first: when it comes in, in the list and on its page, until the key is known', async () => {
    const tablet = await newSigner();
    const log = await logOfCheck(wholeCheck(), tablet, 'from-the-tablet');
    await open('#logs');
    await choose('zip', new File([await exportCheck(log, packedBy(tablet))], 'tablet.zip'));
    const result = await until(() => find('tn-log-import')?.shadowRoot?.querySelector('[role=status] p'), 'the result');
    expect(result.textContent.replace(/\s+/g, ' ').trim()).toMatch(
      /^Unknown key: 1 of 1 log was sealed with a key that this device does not know\. Who made them is not known/,
    );
    const row = await until(() => find<HTMLAnchorElement>('a[href="#logs/from-the-tablet"] .quiet'), 'its row');
    expect(row.textContent.replace(/\s+/g, ' ').trim()).toBe('unknown key, A. Okafor');
    location.hash = '#logs/from-the-tablet';
    const first = await until(() => find('tn-log-detail')?.shadowRoot?.querySelector('main > :not(a)'), 'its page');
    await until(() => (first.textContent.includes('Unknown key.') ? first : undefined), 'the warning');

    await store.keys?.keep([{ name: TABLET, key: tablet.publicKey }]);
    location.hash = '#logs';
    await until(() => find('a[href="#logs/from-the-tablet"] .quiet', 'A. Okafor'), 'the row without the warning');
  });
});
