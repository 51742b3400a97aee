import type { Circuit } from '../units/circuit.ts';

export const CIRCUIT_WORDS: Readonly<Record<Circuit, string>> = { primary: 'Primary', secondary: 'Secondary' };
