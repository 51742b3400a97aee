/** A string that is followed by a colon is a member's name: in JSON nothing else is. */
const NAMES = /"(?:[^"\\]|\\.)*"(\s*:)?/gs;
const TOKENS = /"(?:[^"\\]|\\.)*"|[{}[\],:]/gs;

/**
 * The name of a member that an object of a JSON text has twice; undefined when there is none. The text has to be JSON. Readers
 * differ in which of two they take, so such a text can say one thing here and another elsewhere.
 */
export function duplicateMember(text: string, parsed: unknown = JSON.parse(text)): string | undefined {
  let named = 0;
  for (const match of text.matchAll(NAMES)) if (match[1] !== undefined) named += 1;
  return named === membersOf(parsed) ? undefined : firstTwice(text);
}

function membersOf(json: unknown): number {
  let count = 0;
  const rest: unknown[] = [json];
  while (rest.length > 0) {
    const value = rest.pop();
    if (Array.isArray(value)) for (const each of value as unknown[]) rest.push(each);
    else if (typeof value === 'object' && value !== null) {
      const values = Object.values(value as Record<string, unknown>);
      count += values.length;
      for (const each of values) rest.push(each);
    }
  }
  return count;
}

function firstTwice(text: string): string | undefined {
  const open: (Set<string> | undefined)[] = [];
  let before: string | undefined;
  for (const [token] of text.matchAll(TOKENS)) {
    if (token === '{') open.push(new Set());
    else if (token === '[') open.push(undefined);
    else if (token === '}' || token === ']') open.pop();
    else if (token === ':' && before !== undefined) {
      const name = JSON.parse(before) as string;
      const names = open.at(-1);
      if (names?.has(name) === true) return name;
      names?.add(name);
    }
    before = token.startsWith('"') ? token : undefined;
  }
  return undefined;
}
