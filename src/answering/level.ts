/** How much the tool says: `tones` where a tone can stand for it, `short`, or `full`. */
export type TalkLevel = 'tones' | 'short' | 'full';

export const TALK_LEVELS: readonly TalkLevel[] = ['tones', 'short', 'full'];
