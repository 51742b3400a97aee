/** From here on tenths of an uncertainty say nothing: two digits are enough (JCGM 100:2008, 7.2.6). */
const WHOLE_FROM = 10;

/** `4 ± 0.8`, `59 ± 48`: no digit that the uncertainty makes meaningless; without the uncertainty when it is 0. */
export function measuredText(value: number, uncertainty: number): string {
  if (uncertainty <= 0) return rounded(value, 10);
  const steps = uncertainty >= WHOLE_FROM ? 1 : 10;
  return `${rounded(value, steps)} ± ${rounded(uncertainty, steps)}`;
}

function rounded(value: number, steps: number): string {
  return String(Math.round(value * steps) / steps);
}
