import pronunciations from '../../grammars/pronunciations.json' with { type: 'json' };

/**
 * How words sound that the engines' dictionaries lack or get wrong ("psi" there sounds like "sigh"): ARPAbet phones of
 * the CMU dictionary without stress, the commonest way first. An engine with its own dictionary must be given these.
 */
export const PRONUNCIATIONS: Readonly<Record<string, readonly string[]>> = pronunciations;
