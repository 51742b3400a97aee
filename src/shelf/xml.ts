/** As much of a document as is read: a page's own `Document` is one, and so is that of a parser elsewhere. */
export interface XmlNode {
  readonly textContent: string | null;
  getElementsByTagNameNS(namespace: string, name: string): ArrayLike<XmlNode>;
}

/** Reads XML; undefined for what is none. */
export type XmlReader = (text: string) => XmlNode | undefined;

/** The elements of a name in any namespace, in order. */
export function elements(of: XmlNode, name: string): readonly XmlNode[] {
  return Array.from(of.getElementsByTagNameNS('*', name));
}

/** The text of the first element of a name; undefined when there is none. */
export function textOf(of: XmlNode, name: string): string | undefined {
  return elements(of, name)[0]?.textContent?.trim();
}
