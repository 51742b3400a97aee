/** Where the hosts that the user has confirmed are kept, as a list of origins. The page's policy is made from it at each visit. */
export const HOSTS_KEY = 'two-needles-hosts';

/** An origin as the policy takes it: a scheme, a name or an address, a port. */
export const ORIGIN = /^https?:\/\/[a-z0-9.-]+(:\d{1,5})?$/;

type Kept = Pick<Storage, 'getItem' | 'setItem'>;

/** The hosts beside the page's own that it may talk to. */
export function confirmedHosts(kept: Kept): readonly string[] {
  try {
    const hosts: unknown = JSON.parse(kept.getItem(HOSTS_KEY) ?? '[]');
    return Array.isArray(hosts)
      ? hosts.filter((host): host is string => typeof host === 'string' && ORIGIN.test(host))
      : [];
  } catch {
    return [];
  }
}

/** The origin of an address that has to be confirmed first; undefined when it is confirmed, the page's own, or no address. */
export function unconfirmedHost(address: string, own: string, kept: Kept): string | undefined {
  if (!URL.canParse(address)) return undefined;
  const { origin } = new URL(address);
  return origin === own || !ORIGIN.test(origin) || confirmedHosts(kept).includes(origin) ? undefined : origin;
}

/** Keeps a host that the user has confirmed; it can be talked to from the next load of the page on. */
export function confirmHost(origin: string, kept: Kept): void {
  kept.setItem(HOSTS_KEY, JSON.stringify([...new Set([...confirmedHosts(kept), origin])]));
}

/** Takes a host back; from the next load of the page on nothing can be sent there. */
export function withdrawHost(origin: string, kept: Kept): void {
  kept.setItem(HOSTS_KEY, JSON.stringify(confirmedHosts(kept).filter((host) => host !== origin)));
}
