/** Two taps within this, at one place, are one press of a gloved thumb; from memory of touch guidelines, no source. In ms. */
export const BOUNCE_MS = 400;
