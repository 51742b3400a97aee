import { cdp } from 'vitest/browser';

/** One thing of the accessibility tree at which a screen reader stops. */
interface Stop {
  readonly role: string;
  readonly name: string;
  readonly description: string;
}

/** A page as a screen reader finds it. */
export interface Reading {
  /** In the order in which it is read, a line each: the role in words, and the name. */
  readonly lines: readonly string[];
  readonly focused: Stop | undefined;
  /** What stands in each live region, by the node of the region. */
  readonly regions: ReadonlyMap<number, string>;
}

interface AxValue {
  readonly value?: unknown;
}
interface AxNode {
  readonly nodeId: string;
  readonly backendDOMNodeId?: number;
  readonly ignored: boolean;
  readonly role?: AxValue;
  readonly name?: AxValue;
  readonly description?: AxValue;
  readonly childIds?: readonly string[];
  readonly properties?: readonly { readonly name: string; readonly value: AxValue }[];
}
interface Frame {
  readonly frame: { readonly id: string; readonly url: string };
  readonly childFrames?: readonly Frame[];
}

/** Their words are said by what is within them, or by what they are within. */
const WITHOUT_WORDS = new Set([
  'none',
  'generic',
  'paragraph',
  'InlineTextBox',
  'LineBreak',
  'RootWebArea',
  'LabelText',
]);
/** What is said once, with the words of it. */
const NAMED_BY_TEXT = new Set(['heading', 'button', 'link', 'DisclosureTriangle']);

/** By the browser's own accessibility tree. */
export async function readPage(): Promise<Reading> {
  const { frameTree } = (await cdp().send('Page.getFrameTree')) as { frameTree: Frame };
  const frame = frameOf(frameTree, location.href.split('#')[0] ?? '');
  const asked = frame === undefined ? {} : { frameId: frame.frame.id };
  const { nodes } = (await cdp().send('Accessibility.getFullAXTree', asked)) as { nodes: readonly AxNode[] };
  const byId = new Map(nodes.map((node) => [node.nodeId, node]));
  const lines: string[] = [];
  const regions = new Map<number, string>();
  let focused: Stop | undefined;
  const walk = (node: AxNode | undefined, region: number | undefined): void => {
    if (node === undefined) return;
    const { role, name, live, hasFocus } = read(node);
    if (!node.ignored && !WITHOUT_WORDS.has(role) && !(role === 'StaticText' && name === ''))
      lines.push(role === 'StaticText' ? name : `${role} ${name}`.trim());
    if (hasFocus) focused = { role, name, description: text(node.description) };
    const isRegion = !node.ignored && (live === 'polite' || live === 'assertive');
    const within = region ?? (isRegion ? node.backendDOMNodeId : undefined);
    if (within !== undefined) {
      const before = regions.get(within) ?? '';
      regions.set(within, role === 'StaticText' ? `${before} ${name}`.trim() : before);
    }
    if (!NAMED_BY_TEXT.has(role)) for (const id of node.childIds ?? []) walk(byId.get(id), within);
  };
  walk(nodes[0], undefined);
  return { lines, focused, regions };
}

/** What a screen reader says by itself: the text that came into a live region which stood before. */
export function announced(before: Reading, now: Reading): string[] {
  return [...now.regions].flatMap(([region, words]) =>
    before.regions.has(region) && before.regions.get(region) !== words && words !== '' ? [words] : [],
  );
}

function read(node: AxNode): { role: string; name: string; live: unknown; hasFocus: boolean } {
  const property = (name: string): unknown => node.properties?.find((each) => each.name === name)?.value.value;
  return {
    role: text(node.role),
    name: text(node.name),
    live: property('live'),
    hasFocus: property('focused') === true && text(node.role) !== 'RootWebArea',
  };
}

function frameOf(tree: Frame, url: string): Frame | undefined {
  if (tree.frame.url === url) return tree;
  for (const child of tree.childFrames ?? []) {
    const found = frameOf(child, url);
    if (found !== undefined) return found;
  }
  return undefined;
}

function text(value: AxValue | undefined): string {
  return typeof value?.value === 'string' ? value.value.replace(/\s+/g, ' ').trim() : '';
}
