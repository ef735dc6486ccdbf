import type { Stretch } from "../records.ts";

/** Red, green and blue, 0 to 255. */
export type Shade = [number, number, number];

export interface BandShades {
  bands: Shade[];
  unknown: [Shade, Shade];
}

/** How many pairs of rings the whole hull would carry if nothing were known. */
const RINGS = 32;

/** A row of pixels from tip to tail: the band's colour where a reserve is known, rings of two colours elsewhere. */
export function bandPixels(stretches: Stretch[], lengthM: number, steps: number, shades: BandShades): Uint8Array {
  const pixels = new Uint8Array(steps * 4);
  for (let step = 0; step < steps; step += 1) {
    const part = (step + 0.5) / steps;
    const band = bandAt(part * lengthM, stretches);
    const ring = Math.floor(part * RINGS * 2) % 2;
    const shade = (band === null ? null : shades.bands[band]) ?? shades.unknown[ring]!;
    pixels.set([...shade, 255], 4 * step);
  }
  return pixels;
}

/** Band at a station; null where no stretch says one. */
export function bandAt(stationM: number, stretches: Stretch[]): number | null {
  return stretches.find((one) => one.from_m <= stationM && stationM < one.to_m)?.band ?? null;
}
