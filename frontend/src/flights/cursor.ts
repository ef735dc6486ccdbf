import type { FlownLines } from "../records.ts";

/** What the three curves say at one time. */
export interface Reading {
  time_s: number;
  log: number | null;
  predicted: number | null;
  corrected: number | null;
}

export type Quantity = "height" | "climb" | "push";

/** Place of the time that lies nearest. */
export function nearest(times: number[], wanted: number): number {
  let low = 0;
  let high = times.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= wanted) low = middle;
    else high = middle;
  }
  return wanted - times[low]! <= times[high]! - wanted ? low : high;
}

/** Read all three curves at a time. */
export function readingAt(lines: FlownLines, quantity: Quantity, wanted: number): Reading {
  const place = nearest(lines.times_s, wanted);
  return {
    time_s: lines.times_s[place]!,
    log: lines.log[quantity][place]!,
    predicted: lines.predicted[quantity][place]!,
    corrected: lines.corrected[quantity][place]!,
  };
}

/** A number as the page writes it, or that it is not known. */
export function told(value: number | null, unit: string): string {
  return value === null ? "not known" : `${value.toFixed(Math.abs(value) < 100 ? 1 : 0)} ${unit}`;
}
