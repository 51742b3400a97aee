import { html } from 'lit';

/** Everything that leaves the device while the shelf is switched on, and what does not. */
export function whatLeaves() {
  return html`<h3>What leaves this device</h3>
    <ul>
      <li>
        Each check once it is over, as its log: rig, operator’s name, plan and limits, everything that was said as it
        was heard, with its time, corrections, notes and figures. Checks that are on this device already, too.
      </li>
      <li>Its head: number among this device’s checks, time, digest, and this device’s public key.</li>
      <li>Remarks and countersignatures that are signed on this device, with the officer’s name.</li>
      <li>Sounds of the callouts, only if that is chosen below.</li>
      <li>With each request: this device’s network address, and the name and secret of the shelf file.</li>
    </ul>
    <p>
      Nothing else: no photo of a defect, no rehearsal, no demo, no rigs list, no setting, nothing while a check runs,
      and nothing to any other host.
    </p>`;
}
