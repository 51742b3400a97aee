import { DOMParser } from '@xmldom/xmldom';
import type { XmlReader } from '../../shelf/xml.ts';

/** Reads XML where there is no page to do it. */
export const nodeXml: XmlReader = (text) => {
  try {
    const parser = new DOMParser({ onError: () => undefined });
    return parser.parseFromString(text, 'text/xml');
  } catch {
    return undefined;
  }
};
