import type { Action } from '../../running/check-model.ts';

/** Carries an `Action` from any part of the screen to the live check. */
export class ActionEvent extends CustomEvent<Action> {
  readonly source: 'touch' | 'key';

  constructor(action: Action, source: 'touch' | 'key' = 'touch') {
    super('act', { detail: action, bubbles: true, composed: true });
    this.source = source;
  }
}
