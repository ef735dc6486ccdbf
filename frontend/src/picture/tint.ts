import { Color, DataTexture, LinearFilter, SRGBColorSpace } from "three";

export interface TintColors {
  hull: string;
  pushed: string;
  pulled: string;
}

const STEPS = 256;

/** A strip of colours along the hull: how hard the wind's sideways push is at each station. */
export function loadStrip(stationsM: number[], share: number[], lengthM: number, colors: TintColors): DataTexture {
  const hull = new Color(colors.hull);
  const pushed = new Color(colors.pushed);
  const pulled = new Color(colors.pulled);
  const pixels = new Uint8Array(STEPS * 4);
  for (let step = 0; step < STEPS; step += 1) {
    const value = at((step / (STEPS - 1)) * lengthM, stationsM, share);
    const shade = hull.clone().lerp(value < 0 ? pulled : pushed, Math.min(Math.abs(value), 1));
    // Colours are stored as the screen shows them; the texture says so.
    pixels.set(shade.convertLinearToSRGB().toArray().map((part) => Math.round(part * 255)), 4 * step);
    pixels[4 * step + 3] = 255;
  }
  const strip = new DataTexture(pixels, STEPS, 1);
  strip.colorSpace = SRGBColorSpace;
  strip.minFilter = LinearFilter;
  strip.magFilter = LinearFilter;
  strip.needsUpdate = true;
  return strip;
}

/** Straight-line value of a rising table, held at its ends. */
export function at(x: number, xs: number[], ys: number[]): number {
  if (xs.length === 0) return 0;
  let upper = xs.findIndex((edge) => edge >= x);
  if (upper === -1) upper = xs.length - 1;
  const lower = Math.max(upper - 1, 0);
  const span = xs[upper]! - xs[lower]!;
  const part = span > 0 ? Math.min(Math.max((x - xs[lower]!) / span, 0), 1) : 0;
  return ys[lower]! + part * (ys[upper]! - ys[lower]!);
}
