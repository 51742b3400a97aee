import { standingOf, type KnownKey } from './known-keys.ts';
import type { PublicKey } from './log.ts';
import { sameKey } from './signer.ts';
import type { Countersigned } from './verify.ts';

/**
 * What a countersignature rests on. `name-only`: the name was typed on a device, by whoever held it. `own`: the officer's own key, as it is
 * known here. `others`: a key that is known here as somebody else's, or as a device's.
 */
export type SignedAs =
  | { readonly kind: 'name-only' | 'own' | 'unknown' | 'unlisted' }
  | { readonly kind: 'others'; readonly name: string };

/** What is known of the key that an officer signed with. `known` is undefined where nobody keeps a list; `device` is this device's own. */
export function signedAs(
  { officer, own }: Pick<Countersigned, 'officer' | 'own'>,
  known: readonly KnownKey[] | undefined,
  device?: PublicKey,
): SignedAs {
  if (own === undefined) return { kind: 'name-only' };
  const standing = standingOf(own.key, known, device);
  if (standing.kind === 'own') return { kind: 'others', name: 'this device' };
  if (standing.kind !== 'known') return { kind: standing.kind === 'unlisted' ? 'unlisted' : 'unknown' };
  const isOfficers = known?.some((each) => each.officer === true && sameKey(each.key, own.key));
  const isTheirs = isOfficers === true && standing.name.trim() === officer.trim();
  return isTheirs ? { kind: 'own' } : { kind: 'others', name: standing.name };
}

/** The same in words that follow a name: “(name only)”, “with their own key 12ab …”. */
export function signedWords(signed: Pick<Countersigned, 'officer' | 'own'>, as: SignedAs): string {
  const { own } = signed;
  if (own === undefined) return '(name only)';
  const made = `made ${own.made.slice(0, 10)}`;
  const anew =
    own.replaces === undefined ? made : `${made} in place of ${fours(own.replaces)}, whose PIN was forgotten`;
  switch (as.kind) {
    case 'own':
      return `with their own key ${own.name} (${anew})`;
    case 'others':
      return `with a key that is known here as that of ${as.name} (${own.name}), not as ${signed.officer}’s`;
    case 'unknown':
      return `with a key that is not known here (${own.name}, ${anew})`;
    case 'unlisted':
    case 'name-only':
      return `with a key called their own, not compared (${own.name}, ${anew})`;
  }
}

/** The first 16 digits of a thumbprint, as keys are named. */
function fours(thumbprint: string): string {
  return (
    thumbprint
      .slice(0, 16)
      .match(/.{1,4}/g)
      ?.join(' ') ?? ''
  );
}
