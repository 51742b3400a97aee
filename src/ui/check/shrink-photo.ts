import { bad, good, type Outcome } from '../../units/outcome.ts';
import { KIND_BYTES, pictureKind } from './picture-kind.ts';

/** A larger file is not opened: unpacked it could take more memory than a phone has. */
const MOST_BYTES = 25e6;
/** Longest side that is kept, in pixels: the thread of a bolt can be made out at arm's length, in some 300 KB. */
export const LONGEST = 1600;
const QUALITY = 0.8;

/**
 * The picture of a file as it is kept: a JPEG, upright, at most `LONGEST` on its longer side. It is drawn anew, so that nothing else of the
 * file is left: neither its place (GPS), nor its time, nor the camera's name. A `Problem` where the file is too large, is no picture, or is one
 * that this browser cannot read.
 */
export async function shrinkPhoto(file: Blob): Promise<Outcome<Blob>> {
  if (file.size > MOST_BYTES)
    return bad(`The file has ${Math.ceil(file.size / 1e6)} MB, and at most 25 MB are taken.`, undefined, AGAIN);
  const start = await file
    .slice(0, KIND_BYTES)
    .arrayBuffer()
    .catch(() => undefined);
  if (start === undefined) return bad('The file cannot be read.', undefined, AGAIN);
  const kind = pictureKind(new Uint8Array(start));
  if (kind === undefined) return bad('This file is no picture.', undefined, AGAIN);
  const picture = await drawn(file).catch(() => undefined);
  return picture === undefined
    ? bad(`This browser cannot read this ${kind} picture.`, undefined, 'Take it with the camera, or choose a JPEG.')
    : good(picture);
}

const AGAIN = 'Take the photo with the camera, or choose another file.';

async function drawn(file: Blob): Promise<Blob | undefined> {
  const bitmap = await createImageBitmap(file);
  try {
    const scale = Math.min(1, LONGEST / Math.max(bitmap.width, bitmap.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(bitmap.width * scale));
    canvas.height = Math.max(1, Math.round(bitmap.height * scale));
    const pen = canvas.getContext('2d');
    if (pen === null) return undefined;
    // A JPEG has no clear parts: they would turn black.
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/jpeg', QUALITY));
    return blob?.type === 'image/jpeg' ? blob : undefined;
  } finally {
    bitmap.close();
  }
}
