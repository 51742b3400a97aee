import { html } from 'lit';

/** What a seal proves and what not, one tap away from wherever a seal is spoken of. As in FORMAT.md. */
export function sealWords() {
  return html`<details>
    <summary>What a seal proves, and what not</summary>
    <p>
      <b>It shows</b> any change to a log after its seal, by whoever does not have the key: words, times, order, files,
      sounds.
    </p>
    <ul>
      <li><b>Not the time.</b> The clock is the device’s, and nobody else’s.</li>
      <li><b>Not the person.</b> Whoever holds the device can do a check on it, and seal it.</li>
      <li>
        <b>Not that a check was done on the rig.</b> The log holds what was said to the device, not what the needles
        showed.
      </li>
      <li>
        <b>A whole check can vanish.</b> The checks of a device are numbered, so one that is missing between two others
        shows; the newest, and a check that was never ended, do not.
      </li>
      <li><b>Not whose key it is.</b> Only a key that you have compared yourself, by its six words, is known.</li>
    </ul>
  </details>`;
}
