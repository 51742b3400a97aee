/** The screens that the address names, in the order of the bar. A running check lies over all of them. */
export const PLACES = [
  { name: 'check', title: 'Check', href: '#' },
  { name: 'rehearse', title: 'Rehearse', href: '#rehearse' },
  { name: 'logs', title: 'Logs', href: '#logs' },
  { name: 'rigs', title: 'Rigs', href: '#rigs' },
] as const;

/** A screen, and what it shows. */
export interface Place {
  readonly name: (typeof PLACES)[number]['name'];
  /** Id of a check, or empty. */
  readonly id: string;
  /** What follows a question mark, or empty. */
  readonly query: string;
}

/** `#logs/ID` -> that check on the Logs screen; `#logs?rig=ID` -> the list, filtered. What is not known leads to the start. */
export function placeOf(hash: string): Place {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split('?', 2);
  const [name, id = ''] = path.split('/');
  const place = PLACES.find((candidate) => candidate.name === name);
  return place === undefined ? { name: 'check', id: '', query: '' } : { name: place.name, id: decoded(id), query };
}

export function checkHref(id: string): string {
  return `#logs/${encodeURIComponent(id)}`;
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
