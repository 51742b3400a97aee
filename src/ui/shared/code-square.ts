import { svg } from 'lit';
import { encode } from 'uqr';

/** Modules of white around a QR code, which readers need (ISO/IEC 18004). */
const QUIET = 4;

/** A text as a QR code, dark on white whatever the page's colours. */
export function codeSquare(text: string, label: string) {
  const { data } = encode(text, { border: 0 });
  const side = data.length + 2 * QUIET;
  const dark = data.flatMap((row, y) => row.flatMap((on, x) => (on ? `M${x + QUIET} ${y + QUIET}h1v1h-1z` : [])));
  return svg`<svg class="square" role="img" aria-label=${label} viewBox="0 0 ${side} ${side}" shape-rendering="crispEdges">
    <rect width=${side} height=${side} fill="#fff" /><path d=${dark.join('')} fill="#000" />
  </svg>`;
}
