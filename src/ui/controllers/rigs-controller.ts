import type { ReactiveControllerHost } from 'lit';
import type { RigSettings } from '../../judging/result.ts';
import type { SmallStore } from '../../running/settings.ts';
import { readRigs } from '../start/rigs.ts';

/** The rigs of this device. */
export class RigsController {
  readonly #host: ReactiveControllerHost;
  #small: SmallStore | undefined;
  #all: readonly RigSettings[] = [];

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
  }

  get all(): readonly RigSettings[] {
    return this.#all;
  }

  read(small: SmallStore): void {
    this.#small = small;
    this.#all = readRigs(small.get('rigs'));
    this.#host.requestUpdate();
  }

  /** No longer offered; what was checked of it stays in the record. */
  remove(rig: string): void {
    this.#set(this.#all.filter(({ id }) => id !== rig));
  }

  /** In the place of the one with its id, or as one more. */
  keep(rig: RigSettings): void {
    const known = this.#all.some(({ id }) => id === rig.id);
    this.#set(known ? this.#all.map((each) => (each.id === rig.id ? rig : each)) : [...this.#all, rig]);
  }

  #set(rigs: readonly RigSettings[]): void {
    this.#all = rigs;
    this.#small?.set('rigs', this.#all);
    this.#host.requestUpdate();
  }
}
