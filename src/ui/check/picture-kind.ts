/**
 * What kind of picture the first bytes of a file say that it is; undefined for what is no picture. JPEG: start of image and the next marker
 * (ITU T.81, B.1.1.3); PNG: its signature (ISO/IEC 15948, 5.2); GIF: `GIF8` (GIF89a, 17); WebP: `RIFF…WEBP` (RFC 9649, 2.4); HEIF and AVIF:
 * a file type box of their brands (ISO/IEC 23008-12, 10; AVIF 1.1, 6).
 */
export function pictureKind(start: Uint8Array): 'JPEG' | 'PNG' | 'GIF' | 'WebP' | 'HEIF' | 'AVIF' | undefined {
  const text = (from: number, to: number): string => String.fromCharCode(...start.subarray(from, to));
  if (text(0, 3) === '\u00ff\u00d8\u00ff') return 'JPEG';
  if (text(0, 8) === '\u0089PNG\r\n\u001a\n') return 'PNG';
  if (text(0, 4) === 'GIF8') return 'GIF';
  if (text(0, 4) === 'RIFF' && text(8, 12) === 'WEBP') return 'WebP';
  if (text(4, 8) !== 'ftyp') return undefined;
  if (/avi[fs]/.test(text(8, 12))) return 'AVIF';
  return /hei[cxms]|hev[cxms]|mif1|msf1/.test(text(8, 12)) ? 'HEIF' : undefined;
}

/** As many bytes as `pictureKind` looks at. */
export const KIND_BYTES = 12;
