/** The two service air circuits, and their gauges. */
export const CIRCUITS = ['primary', 'secondary'] as const;

export type Circuit = (typeof CIRCUITS)[number];
