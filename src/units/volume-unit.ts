export const VOLUME_UNITS = ['L', 'gal', 'in³'] as const;
/** Litres, US gallons, cubic inches. */
export type VolumeUnit = (typeof VOLUME_UNITS)[number];
