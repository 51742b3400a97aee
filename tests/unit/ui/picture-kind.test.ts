import { expect, it } from 'vitest';
import { pictureKind } from '../../../src/ui/check/picture-kind.ts';

const bytes = (...parts: readonly (number | string)[]): Uint8Array =>
  Uint8Array.from(
    parts.flatMap((part) => (typeof part === 'number' ? [part] : Array.from(part, (sign) => sign.charCodeAt(0)))),
  );

// First bytes as the documents have them: JPEG, SOI FFD8 and a marker FFxx (ITU T.81, table B.1); PNG, 137 80 78 71 13 10 26 10 (W3C PNG, 5.2);
// GIF89a, 17; WebP, `RIFF` size `WEBP` (RFC 9649, 2.4); HEIF and AVIF, a box `ftyp` with its brand (ISO/IEC 14496-12, 4.3, from memory).
it.each([
  ['JPEG', bytes(0xff, 0xd8, 0xff, 0xe1, 0x1c, 0x45, 'Exif', 0, 0)],
  ['PNG', bytes(137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13)],
  ['GIF', bytes('GIF89a', 1, 0, 1, 0, 0, 0)],
  ['WebP', bytes('RIFF', 26, 0, 0, 0, 'WEBP')],
  ['HEIF', bytes(0, 0, 0, 24, 'ftypheic')],
  ['AVIF', bytes(0, 0, 0, 32, 'ftypavif')],
  [undefined, bytes('%PDF-1.7', 10, 37, 226)],
  [undefined, bytes(0, 0, 0, 32, 'ftypisom')],
  [undefined, bytes('RIFF', 36, 0, 0, 0, 'WAVE')],
  [undefined, bytes(0xff, 0xd8)],
  [undefined, bytes()],
])('the first bytes tell a picture: %s', (kind, start) => expect(pictureKind(start)).toBe(kind));
