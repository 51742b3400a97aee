import type { Web } from './http.ts';
import type { Place } from './place.ts';
import { s3Place } from './s3-place.ts';
import type { ShelfFile } from './shelf-file.ts';
import { webdavPlace } from './webdav-place.ts';

/** The place that a shelf file names. */
export function openPlace({ place, name }: ShelfFile, web: Web): Place {
  return place.kind === 's3' ? s3Place(place, web, name) : webdavPlace(place, web, name);
}
