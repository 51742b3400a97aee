import { ask, bytesOf, getAnswer, putAnswer, refusedBy, type Web } from './http.ts';
import type { Place, Refused } from './place.ts';
import type { WebdavAddress } from './shelf-file.ts';
import { elements, textOf } from './xml.ts';

/** Largest object that is fetched, in bytes: a log or a sound. */
const MOST = 64 * 2 ** 20;
/** The list of a folder: a name takes some 600 bytes. */
const MOST_LIST = 128 * 2 ** 20;
const WHAT = '<?xml version="1.0" encoding="utf-8"?><propfind xmlns="DAV:"><prop><resourcetype/></prop></propfind>';

/** A folder by WebDAV (RFC 4918), with the name and the password of Basic authentication (RFC 7617). */
export function webdavPlace(to: WebdavAddress, web: Web, where: string): Place {
  const base = to.address.replace(/\/+$/, '');
  const authorization = `Basic ${btoa(utf8(`${to.user}:${to.password}`))}`;
  const urlOf = (name: string): string => `${base}/${name}`;
  /** Folders that are there; asked for once. */
  const made = new Set<string>();

  const send = (
    method: string,
    url: string,
    headers: Readonly<Record<string, string>> = {},
    body?: Uint8Array<ArrayBuffer> | string,
  ): Promise<Response | Refused> =>
    ask(web, { method, url, headers: { authorization, ...headers }, ...(body === undefined ? {} : { body }) }, where);

  /** Makes the folders of a name, from the outermost. Undefined when they are there. */
  async function makeFolders(name: string): Promise<Refused | undefined> {
    const parts = name.split('/').slice(0, -1);
    for (const [at] of parts.entries()) {
      const folder = parts.slice(0, at + 1).join('/');
      if (made.has(folder)) continue;
      const response = await send('MKCOL', `${urlOf(folder)}/`);
      if ('kind' in response) return response;
      // 405: it is there already, or another device has just made it.
      if (!response.ok && response.status !== 405) return refusedBy(web, response, where);
      await response.body?.cancel();
      made.add(folder);
    }
    return undefined;
  }

  return {
    async put(name, bytes, how) {
      const headers = {
        'content-type': 'application/octet-stream',
        ...(how === 'once' ? { 'if-none-match': '*' } : {}),
      };
      const first = await send('PUT', urlOf(name), headers, bytes);
      if ('kind' in first) return first;
      // 409: the folder is not there (RFC 4918, section 9.7.1); some say 404, or 403.
      if (![403, 404, 409].includes(first.status)) return putAnswer(web, first, where);
      made.clear();
      const trouble = await makeFolders(name);
      if (trouble !== undefined) return first.status === 409 ? trouble : putAnswer(web, first, where);
      await first.body?.cancel();
      const second = await send('PUT', urlOf(name), headers, bytes);
      return 'kind' in second ? second : putAnswer(web, second, where);
    },
    async get(name) {
      const response = await send('GET', urlOf(name));
      return 'kind' in response ? response : getAnswer(web, response, where, MOST);
    },
    async list(folder) {
      const url = folder === '' ? `${base}/` : `${urlOf(folder)}/`;
      const response = await send('PROPFIND', url, { depth: '1', 'content-type': 'application/xml' }, WHAT);
      if ('kind' in response) return response;
      if (response.status === 404 && folder !== '') return { kind: 'listed', files: [], folders: [] };
      if (!response.ok) return refusedBy(web, response, where);
      const bytes = await bytesOf(web, response, MOST_LIST);
      const list = bytes === undefined || bytes === 'large' ? undefined : web.xml(new TextDecoder().decode(bytes));
      if (list === undefined || elements(list, 'multistatus').length === 0)
        return {
          kind: 'refused',
          why: 'address',
          problem: { what: 'What answers at this address is no WebDAV folder.', where },
        };
      const files: string[] = [];
      const folders: string[] = [];
      const own = pathOf(url, url);
      for (const each of elements(list, 'response')) {
        const path = pathOf(textOf(each, 'href') ?? '', url);
        const name = path?.slice(own?.length ?? 0).replace(/\/$/, '') ?? '';
        if (path === undefined || own === undefined || !path.startsWith(own) || name === '' || name.includes('/'))
          continue;
        (elements(each, 'collection').length > 0 ? folders : files).push(name);
      }
      return { kind: 'listed', files: files.sort(), folders: folders.sort() };
    },
    async remove(name) {
      const response = await send('DELETE', urlOf(name));
      if ('kind' in response) return response;
      if (response.status === 404) return { kind: 'none' };
      return response.ok ? { kind: 'removed' } : refusedBy(web, response, where);
    },
  };
}

/** The path of an address, plain; undefined for what is none. */
function pathOf(address: string, base: string): string | undefined {
  try {
    return decodeURIComponent(new URL(address, base).pathname);
  } catch {
    return undefined;
  }
}

/** Text whose signs are the bytes of its UTF-8. */
function utf8(text: string): string {
  return Array.from(new TextEncoder().encode(text), (byte) => String.fromCharCode(byte)).join('');
}
