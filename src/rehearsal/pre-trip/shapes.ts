/** How a shape is drawn; the screen has a pen for each. Nothing is told by colour alone: every look differs in its lines. */
export type Pen = 'line' | 'thin' | 'thick' | 'dash' | 'part' | 'solid' | 'wet' | 'glow';

/** One shape of a drawing: a path of SVG, or words on a plate or gauge. Units of a sheet of `SHEET`. */
export type Shape =
  | { readonly d: string; readonly pen: Pen }
  | { readonly x: number; readonly y: number; readonly words: string };

/** The sheet that every drawing is made on. */
export const SHEET = { width: 320, height: 200 } as const;

export function path(d: string, pen: Pen = 'line'): Shape {
  return { d, pen };
}

export function line(x1: number, y1: number, x2: number, y2: number, pen: Pen = 'line'): Shape {
  return { d: `M${x1} ${y1}L${x2} ${y2}`, pen };
}

export function rect(x: number, y: number, width: number, height: number, pen: Pen = 'part'): Shape {
  return { d: `M${x} ${y}h${width}v${height}h${-width}z`, pen };
}

export function circle(x: number, y: number, r: number, pen: Pen = 'part'): Shape {
  return { d: `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`, pen };
}

export function words(x: number, y: number, text: string): Shape {
  return { x, y, words: text };
}

/** Drops of `r`, each with its point upwards. */
export function drops(r: number, ...at: readonly (readonly [x: number, y: number])[]): readonly Shape[] {
  return at.map(([x, y]) => ({
    d: `M${x} ${y - 2 * r}Q${x + r} ${y - r / 2} ${x + r} ${y}a${r} ${r} 0 1 1 ${-2 * r} 0Q${x - r} ${y - r / 2} ${x} ${y - 2 * r}z`,
    pen: 'wet' as const,
  }));
}

/** Soap bubbles, as air makes them. */
export function bubbles(x: number, y: number): readonly Shape[] {
  return [
    circle(x, y, 9, 'thin'),
    circle(x + 14, y - 5, 6, 'thin'),
    circle(x - 12, y - 8, 5, 'thin'),
    circle(x + 4, y - 16, 7, 'thin'),
  ];
}

/** Threads that stand off an edge at (x, y). */
export function threads(x: number, y: number): readonly Shape[] {
  return [0, 9, 18, 27, 36].map((step) =>
    path(`M${x + step} ${y}q${step % 2 === 0 ? 3 : -4} -9 ${step % 2 === 0 ? 8 : 2} -17`, 'thin'),
  );
}

/** Lines that stand for light or sound that comes from (x, y). */
export function rays(x: number, y: number, r: number): readonly Shape[] {
  return [0, 45, 90, 135, 180, 225, 270, 315].map((degrees) => {
    const [dx, dy] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
    const at = (of: number, by: number): number => Math.round(of + by);
    return line(at(x, dx * (r + 4)), at(y, dy * (r + 4)), at(x, dx * (r + 13)), at(y, dy * (r + 13)), 'line');
  });
}
