export const CIRCUITS = ['primary', 'secondary'] as const;
export type Circuit = (typeof CIRCUITS)[number];

export const CIRCUIT_WORDS: Readonly<Record<Circuit, string>> = { primary: 'Primary', secondary: 'Secondary' };
