import type { XmlReader } from '../../shelf/xml.ts';

/** Reads XML by the page's own parser, which puts what it finds wrong into the document. */
export const pageXml: XmlReader = (text) => {
  const read = new DOMParser().parseFromString(text, 'text/xml');
  return read.getElementsByTagName('parsererror').length > 0 ? undefined : read;
};
