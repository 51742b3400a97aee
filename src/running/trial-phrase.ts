/** What the operator is asked to say at the sound check; every ruleset with readings has it. */
export const TRIAL_PHRASE = 'primary one two zero, secondary one one eight';
/** The needles of it, in psi. */
export const TRIAL_READING = { primary: 120, secondary: 118 };
