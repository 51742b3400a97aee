/**
 * How loud a microphone is taken: by so many dB more than the device gives, or as the device itself turns it up and down. More is louder,
 * with its noise, and not clearer.
 */
export const GAINS = ['0', '6', '12', '20', 'auto'] as const;
export type Gain = (typeof GAINS)[number];
