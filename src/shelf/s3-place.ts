import { AwsV4Signer } from 'aws4fetch';
import { sha256 } from '../units/sha256.ts';
import { ask, bytesOf, getAnswer, putAnswer, refusedBy, type Asking, type Web } from './http.ts';
import type { ListAnswer, Place, Refused } from './place.ts';
import type { S3Address } from './shelf-file.ts';
import { elements, textOf } from './xml.ts';

/** Largest object that is fetched, in bytes: a log or a sound. */
const MOST = 64 * 2 ** 20;
/** A page of a list has at most 1000 names. */
const MOST_LIST = 4 * 2 ** 20;
const EMPTY = 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855';

/**
 * A bucket by the S3 protocol, addressed by path. Requests are signed with Signature Version 4 over the body; where the device's clock is
 * refused, the shelf's own time is signed from then on, and the request is tried once more.
 */
export function s3Place(to: S3Address, web: Web, where: string): Place {
  const base = to.address.replace(/\/+$/, '');
  const keys = { accessKeyId: to.accessKeyId, secretAccessKey: to.secretAccessKey, region: to.region, service: 's3' };
  const cache = new Map<string, ArrayBuffer>();
  /** Ms that the store is ahead of this device. */
  let ahead = 0;

  async function send(asking: Asking, digest: string): Promise<Response | Refused> {
    const datetime = new Date(Date.parse(web.wall()) + ahead).toISOString().replace(/[:-]|\.\d{3}/g, '');
    const { method, url } = asking;
    const headers = new Headers(asking.headers);
    headers.set('x-amz-content-sha256', digest);
    const signer = new AwsV4Signer({ ...keys, cache, datetime, method, url, headers });
    const signed = await signer.sign();
    return ask(web, { ...asking, url: signed.url.href, headers: signed.headers }, where);
  }

  /** The answer where it is one that `takes` knows what to do with; else why not, after a second try with the store's own time. */
  async function answer(
    asking: Asking,
    digest: string,
    takes: (status: number) => boolean,
  ): Promise<Response | Refused> {
    const first = await send(asking, digest);
    if ('kind' in first || takes(first.status)) return first;
    const refused = await refusedBy(web, first, where);
    if (refused.why !== 'clock' || refused.theirs === undefined) return refused;
    ahead = Date.parse(refused.theirs) - Date.parse(web.wall());
    const second = await send(asking, digest);
    return 'kind' in second || takes(second.status) ? second : refusedBy(web, second, where);
  }

  const urlOf = (name: string): string => `${base}/${name}`;
  const what = 'The list that the store gives is not what was asked for, or has no end.';
  const falseList: Refused = { kind: 'refused', why: 'address', problem: { what, where } };

  async function page(folder: string, token: string | undefined): Promise<ListAnswer & { next?: string }> {
    const query = new URLSearchParams({ 'list-type': '2', delimiter: '/', prefix: folder });
    if (token !== undefined) query.set('continuation-token', token);
    const response = await answer({ method: 'GET', url: `${base}?${query}`, headers: {} }, EMPTY, isGood);
    if ('kind' in response) return response;
    const bytes = await bytesOf(web, response, MOST_LIST);
    const list = bytes === undefined || bytes === 'large' ? undefined : web.xml(new TextDecoder().decode(bytes));
    if (list === undefined || elements(list, 'ListBucketResult').length === 0)
      return {
        kind: 'refused',
        why: 'address',
        problem: { what: 'What answers at this address is no bucket.', where },
      };
    const part = (of: string): string => of.slice(folder.length);
    const keys = elements(list, 'Contents').map((each) => textOf(each, 'Key') ?? '');
    const groups = elements(list, 'CommonPrefixes').map((each) => textOf(each, 'Prefix') ?? '');
    const isMore = textOf(list, 'IsTruncated') === 'true';
    const next = isMore ? textOf(list, 'NextContinuationToken') : undefined;
    // Half a list must not pass for a whole one.
    if ((isMore && (next ?? '') === '') || ![...keys, ...groups].every((name) => name.startsWith(folder)))
      return falseList;
    const files = keys.map(part);
    const folders = groups.map((group) => part(group).replace(/\/$/, ''));
    return { kind: 'listed', files, folders, ...(next === undefined ? {} : { next }) };
  }

  return {
    async put(name, bytes, how) {
      const digest = await sha256(bytes);
      const headers = {
        'content-type': 'application/octet-stream',
        // Binds the object where the store keeps digests, which a bucket with object lock asks for.
        'x-amz-checksum-sha256': base64(digest),
        ...(how === 'once' ? { 'if-none-match': '*' } : {}),
      };
      const asking = { method: 'PUT', url: urlOf(name), headers, body: bytes };
      const response = await answer(asking, digest, (status) => isGood(status) || status === 412);
      return 'kind' in response ? response : putAnswer(web, response, where);
    },
    async get(name) {
      const asking = { method: 'GET', url: urlOf(name), headers: {} };
      const response = await answer(asking, EMPTY, (status) => isGood(status) || status === 404);
      return 'kind' in response ? response : getAnswer(web, response, where, MOST);
    },
    async list(folder) {
      const files: string[] = [];
      const folders: string[] = [];
      const tokens = new Set<string | undefined>();
      let next: string | undefined;
      do {
        if (tokens.has(next)) return falseList;
        tokens.add(next);
        const listed = await page(folder === '' ? '' : `${folder}/`, next);
        if (listed.kind === 'refused') return listed;
        files.push(...listed.files.filter((name) => name !== ''));
        folders.push(...listed.folders);
        next = listed.next;
      } while (next !== undefined);
      return { kind: 'listed', files, folders };
    },
    async remove(name) {
      const asking = { method: 'DELETE', url: urlOf(name), headers: {} };
      const response = await answer(asking, EMPTY, (status) => isGood(status) || status === 404);
      if ('kind' in response) return response;
      return { kind: response.status === 404 ? 'none' : 'removed' };
    },
  };
}

function isGood(status: number): boolean {
  return status >= 200 && status < 300;
}

function base64(hex: string): string {
  const bytes = hex.match(/../g) ?? [];
  return btoa(bytes.map((byte) => String.fromCharCode(Number.parseInt(byte, 16))).join(''));
}
