import { afterEach, describe, expect, it } from 'vitest';
import type { Plan } from '../../src/check/plan.ts';
import front from '../../src/items/lists/front.json';
import { LONGEST, shrinkPhoto } from '../../src/ui/check/shrink-photo.ts';
import { Bench, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

async function jpeg(width: number, height: number): Promise<Uint8Array<ArrayBuffer>> {
  const canvas = Object.assign(document.createElement('canvas'), { width, height });
  canvas.getContext('2d')!.fillRect(0, 0, width / 2, height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg'));
  return new Uint8Array(await blob!.arrayBuffer());
}

/** Markers of a JPEG up to its scan: after SOI each is FFxx and, big-endian, the length of its segment (ITU T.81, B.1.1). */
function markers(bytes: Uint8Array): number[] {
  const found: number[] = [];
  for (let at = 2; at + 4 <= bytes.length && found.at(-1) !== 0xda;) {
    expect(bytes[at]).toBe(0xff);
    found.push(bytes[at + 1]!);
    at += 2 + bytes[at + 2]! * 256 + bytes[at + 3]!;
  }
  return found;
}

/**
 * With an APP1 segment after SOI, as cameras put it there (Exif 2.32, 4.5.4 and 4.7.2): `Exif`, two zeros, a TIFF header, and a directory whose only
 * entry, 8825, points to the directory of the GPS.
 */
function withPlace(plain: Uint8Array): Uint8Array<ArrayBuffer> {
  const text = (words: string): number[] => Array.from(words, (sign) => sign.charCodeAt(0));
  const directory = [0, 1, 0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 26, 0, 0, 0, 0];
  const gps = [0, 1, 0, 1, 0, 2, 0, 0, 0, 2, ...text('N\0'), 0, 0, 0, 0, 0, 0];
  const body = [...text('Exif'), 0, 0, ...text('MM'), 0, 42, 0, 0, 0, 8, ...directory, ...gps];
  return Uint8Array.from([...plain.slice(0, 2), 0xff, 0xe1, 0, body.length + 2, ...body, ...plain.slice(2)]);
}

describe('a photo from a camera', () => {
  it('is kept as a smaller JPEG without what the camera wrote beside it', async () => {
    const camera = withPlace(await jpeg(2000, 1000));
    expect(markers(camera)).toContain(0xe1);
    const kept = await shrinkPhoto(new Blob([camera]));
    if (!kept.ok) throw new Error(kept.problem.what);
    const bytes = new Uint8Array(await kept.value.arrayBuffer());
    // APP0 is the header of JFIF. All other application segments, FFE1 to FFEF, and comments, FFFE, could tell something: only APP2 with the colours
    // of the browser's own canvas (ICC.1, B.4) may be there.
    const found = markers(bytes).filter((marker) => (marker > 0xe0 && marker <= 0xef) || marker === 0xfe);
    expect(found.filter((marker) => marker !== 0xe2)).toEqual([]);
    const text = new TextDecoder('latin1').decode(bytes);
    expect([text.includes('ICC_PROFILE'), text.includes('Exif')]).toEqual([found.length > 0, false]);
    const { width, height } = await createImageBitmap(kept.value);
    expect([width, height]).toEqual([LONGEST, LONGEST / 2]);
  });

  it('is refused in one line where it has 40 MB, is no picture, or cannot be read', async () => {
    const line = async (file: Blob): Promise<string> => {
      const kept = await shrinkPhoto(file);
      return kept.ok ? '' : kept.problem.what;
    };
    expect(await line(new Blob([new Uint8Array(40e6)]))).toBe('The file has 40 MB, and at most 25 MB are taken.');
    expect(await line(new Blob(['a letter, not a picture']))).toBe('This file is no picture.');
    expect(await line(new Blob([(await jpeg(20, 20)).slice(0, 40)]))).toBe(
      'This browser cannot read this JPEG picture.',
    );
    expect(await line(new Blob([Uint8Array.from([0, 0, 0, 24]), 'ftypheic', new Uint8Array(30)]))).toMatch(/HEIF/);
  });
});

it('a bad item takes a photo by touch, says why one is refused, and gives one back with the keyboard still in place', async () => {
  const plan = { format: 'two-needles-plan', version: 1, id: 'front', title: 'Front', steps: [front] };
  const parts = await new Bench().parts({ plans: [plan as unknown as Plan] });
  await mount(parts);
  await press('Start the check');
  await until(() => find('tn-items-panel'), 'the list of items');
  expect(find('tn-item-photos')).toBeUndefined();
  (await until(() => find<HTMLElement>('button[data-item="tow-eyes"]'), 'the row')).click();
  await press(/^loose/);
  const input = await until(() => find<HTMLInputElement>('input[type=file]'), 'the choice of a photo');
  expect(input.getAttribute('capture')).toBe('environment');
  const choose = async (file: Blob): Promise<void> => {
    const chosen = new DataTransfer();
    chosen.items.add(new File([file], 'photo'));
    input.files = chosen.files;
    input.dispatchEvent(new Event('change'));
    await settle();
  };
  await choose(new Blob(['no picture']));
  await until(() => find('p', /This file is no picture/), 'why it is refused');
  await choose(new Blob([await jpeg(60, 40)]));
  await until(() => find<HTMLImageElement>('img')?.naturalWidth === 60, 'the photo');
  expect(find('p', /no picture/)).toBeUndefined();
  const [head] = await parts.store.heads();
  await press('Take back');
  await until(() => find('tn-photo') === undefined, 'that it is gone');
  const root = input.getRootNode() as ShadowRoot;
  expect(root.activeElement).toBe(input);
  const kept = (await parts.store.events(head!.id)).filter(({ type }) => type.startsWith('photo'));
  expect(kept).toMatchObject([
    { type: 'photo', item: 'tow-eyes', clipDigest: expect.stringMatching(/^[0-9a-f]{64}$/) as string },
    { type: 'photo-back' },
  ]);
});
