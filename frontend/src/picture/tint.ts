import { Color, DataTexture, LinearFilter, NearestFilter, SRGBColorSpace, type MagnificationTextureFilter } from "three";
import type { Stretch } from "../records.ts";
import { bandPixels, type Shade } from "./bands.ts";

export interface TintColors {
  hull: string;
  pushed: string;
  pulled: string;
}

export interface BandColors {
  /** From the weakest band on. */
  bands: string[];
  /** The two colours of the rings where nobody knows. */
  unknown: [string, string];
}

const STEPS = 256;
const BAND_STEPS = 1024;

/** A strip of colours along the hull: how hard the wind's sideways push is at each station. */
export function loadStrip(stationsM: number[], share: number[], lengthM: number, colors: TintColors): DataTexture {
  const hull = new Color(colors.hull);
  const pushed = new Color(colors.pushed);
  const pulled = new Color(colors.pulled);
  const pixels = new Uint8Array(STEPS * 4);
  for (let step = 0; step < STEPS; step += 1) {
    const value = at((step / (STEPS - 1)) * lengthM, stationsM, share);
    const shade = hull.clone().lerp(value < 0 ? pulled : pushed, Math.min(Math.abs(value), 1));
    pixels.set(shadeOf(shade), 4 * step);
    pixels[4 * step + 3] = 255;
  }
  return strip(pixels, LinearFilter);
}

/** A strip with one colour for each band of reserves, with sharp edges, and rings where nobody knows. */
export function bandStrip(stretches: Stretch[], lengthM: number, colors: BandColors): DataTexture {
  const shade = (color: string) => shadeOf(new Color(color));
  const shades = { bands: colors.bands.map(shade), unknown: colors.unknown.map(shade) as [Shade, Shade] };
  return strip(bandPixels(stretches, lengthM, BAND_STEPS, shades), NearestFilter);
}

function shadeOf(color: Color): Shade {
  // Colours are stored as the screen shows them; the texture says so.
  const { r: red, g: green, b: blue } = color.clone().convertLinearToSRGB();
  return [Math.round(red * 255), Math.round(green * 255), Math.round(blue * 255)];
}

function strip(pixels: Uint8Array, filter: MagnificationTextureFilter): DataTexture {
  const texture = new DataTexture(pixels, pixels.length / 4, 1);
  texture.colorSpace = SRGBColorSpace;
  texture.minFilter = filter;
  texture.magFilter = filter;
  texture.needsUpdate = true;
  return texture;
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
