export type Point = [number, number, number];

/** From where a picture in space is looked at: turned about the vertical, and lifted above the ground. */
export interface Eye {
  turn: number;
  lift: number;
}

/** Where a point (east, north, up) is seen, to the right and down, by parallel light: lengths keep their scale. */
export function seen([east, north, up]: Point, { turn, lift }: Eye): [number, number] {
  const right = east * Math.cos(turn) + north * Math.sin(turn);
  const away = -east * Math.sin(turn) + north * Math.cos(turn);
  return [right, -(up * Math.cos(lift) + away * Math.sin(lift))];
}

/** The box round all that is drawn, with a margin that is a share of its longer side. */
export function around(points: readonly [number, number][], share: number): { left: number; top: number; wide: number; high: number } {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [left, right, top, foot] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const margin = share * Math.max(right - left, foot - top, 1e-9);
  return { left: left - margin, top: top - margin, wide: right - left + 2 * margin, high: foot - top + 2 * margin };
}

/** Points of a line as SVG wants them. */
export const line = (points: readonly [number, number][]): string => points.map(([x, y]) => `${round(x)},${round(y)}`).join(" ");

export const round = (value: number): number => Number(value.toFixed(4));

/** A round length of 1, 2 or 5 times a power of ten, at most so long. */
export function roundLength(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most));
  return [5, 2, 1].map((step) => step * power).find((length) => length <= most) ?? power;
}

/** A slack cord between two points hangs through; a taut one is straight. */
export function cord(from: [number, number], to: [number, number], length: number): string {
  const straight = Math.hypot(to[0] - from[0], to[1] - from[1]);
  // The sag of a flat arc of that length, 3/8 of what it has to spare over its chord.
  const sag = Math.sqrt(Math.max(0, 0.375 * straight * (length - straight)));
  const [x, y] = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2 + 2 * Math.min(sag, length / 2)];
  return `M${round(from[0])} ${round(from[1])} Q${round(x)} ${round(y)} ${round(to[0])} ${round(to[1])}`;
}

/** How much larger words are than usual: on the largest screens the page grows, and words in pictures with it. */
export const larger = (): number => parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
