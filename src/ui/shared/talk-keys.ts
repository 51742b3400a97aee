/** What a key is called in the settings: its place on the keyboard, or its name where a foot switch gives no place. */
export function keyName(event: Pick<KeyboardEvent, 'code' | 'key'>): string {
  return event.code === '' ? event.key : event.code;
}

/** What holds the microphone open: the pad, a key by its name, or the button of a headset from one press to the next. */
export type TalkHold = 'pad' | 'headset' | `key ${string}`;

/** The microphone is open from the first hold to the end of the last one; `talk` is told when it opens and closes. */
export class TalkHolds {
  readonly #held = new Set<TalkHold>();
  readonly #talk: (down: boolean, source: 'touch' | 'key') => void;

  constructor(talk: (down: boolean, source: 'touch' | 'key') => void) {
    this.#talk = talk;
  }

  has(hold: TalkHold): boolean {
    return this.#held.has(hold);
  }

  begin(hold: TalkHold): void {
    this.#held.add(hold);
    if (this.#held.size === 1) this.#talk(true, sourceOf(hold));
  }

  end(hold: TalkHold): void {
    if (this.#held.delete(hold) && this.#held.size === 0) this.#talk(false, sourceOf(hold));
  }

  /** Nothing more will be seen of keys and pointers. */
  endAll(): void {
    for (const hold of [...this.#held]) this.end(hold);
  }
}

function sourceOf(hold: TalkHold): 'touch' | 'key' {
  return hold === 'pad' ? 'touch' : 'key';
}
