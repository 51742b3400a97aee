/** The screens that the address names, in the order of the bar. A running check lies over all of them. */
export const PLACES = [
  { name: 'check', title: 'Check', href: '#' },
  { name: 'logs', title: 'Logs', href: '#logs' },
  { name: 'rigs', title: 'Rigs', href: '#rigs' },
] as const;

/** A screen, and what it shows: the id of a check, or nothing. */
export interface Place {
  readonly name: (typeof PLACES)[number]['name'];
  readonly id: string;
}

/** `#logs/ID` -> that check on the Logs screen; what is not known leads to the start. */
export function placeOf(hash: string): Place {
  const [name, id = ''] = hash.replace(/^#\/?/, '').split('/');
  const place = PLACES.find((candidate) => candidate.name === name);
  return place === undefined ? { name: 'check', id: '' } : { name: place.name, id: decoded(id) };
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
