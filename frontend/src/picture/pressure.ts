import { Color, DataTexture, NearestFilter, SRGBColorSpace, BufferAttribute, BufferGeometry } from "three";
import type { MeshData, PageWind } from "../records.ts";

/** What is drawn of one wind: triangles of the whole shape, with hundredths of the pressure coefficient at each corner. */
export interface Pressed {
  mesh: MeshData;
  hundredths: Int16Array;
  edges: number[];
  bands: string[];
  wind: PageWind;
}

const NOT_KNOWN = -32768;
/** Rings where nobody knows, as many on the whole shape as where the walls are not known. */
const RINGS = 64;
const PIXELS = 1024;
/** The last pixels are of the two colours of the rings. */
const OF_BANDS = PIXELS - 16;
const [LEAST, MOST] = [-2, 1.5];

/** Band of a pressure coefficient, counted from where it pulls hardest. */
export const bandOf = (pressure: number, edges: readonly number[]): number => edges.filter((edge) => pressure >= edge).length;

/** Where in the strip the colour of a triangle's corner stands; one of whose corners nobody knows is a piece of a ring. */
export function placesInStrip(hundredths: Int16Array, along: (face: number) => number): Float32Array {
  const places = new Float32Array(hundredths.length);
  for (let at = 0; at < hundredths.length; at += 3) {
    const known = [0, 1, 2].every((corner) => hundredths[at + corner] !== NOT_KNOWN);
    const ring = (OF_BANDS + 4 + 8 * (Math.floor(along(at / 3) * RINGS) & 1)) / PIXELS;
    for (let corner = at; corner < at + 3; corner += 1) {
      const share = (hundredths[corner]! / 100 - LEAST) / (MOST - LEAST);
      places[corner] = known ? (Math.min(Math.max(share, 0), 0.999) * OF_BANDS) / PIXELS : ring;
    }
  }
  return places;
}

/** Triangles with corners of their own; `uv.x` is the place of their colour in the strip, so that bands end in lines. */
export function pressedGeometry({ mesh, hundredths }: Pressed, lengthM: number): BufferGeometry {
  const places = placesInStrip(hundredths, (face) => -mesh.vertices[9 * face]! / lengthM);
  const uv = new Float32Array(places.length * 2).fill(0.5);
  places.forEach((place, corner) => (uv[2 * corner] = place));
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(mesh.vertices, 3));
  geometry.setAttribute("uv", new BufferAttribute(uv, 2));
  geometry.setIndex(new BufferAttribute(mesh.faces, 1));
  return geometry;
}

/** Colours of the bands side by side, as wide as each, then the two of the rings. */
export function pressureStrip(edges: readonly number[], bands: readonly string[], rings: readonly [string, string]): DataTexture {
  const pixels = new Uint8Array(PIXELS * 4);
  const shades = [...bands, ...rings].map((name) => {
    const { r, g, b } = new Color(name).convertLinearToSRGB();
    return [r, g, b, 1].map((part) => Math.round(255 * part));
  });
  for (let pixel = 0; pixel < PIXELS; pixel += 1) {
    const pressure = LEAST + ((pixel + 0.5) / OF_BANDS) * (MOST - LEAST);
    const shade = pixel < OF_BANDS ? bandOf(pressure, edges) : bands.length + (pixel < OF_BANDS + 8 ? 0 : 1);
    pixels.set(shades[shade]!, 4 * pixel);
  }
  const texture = new DataTexture(pixels, PIXELS, 1);
  texture.colorSpace = SRGBColorSpace;
  [texture.minFilter, texture.magFilter] = [NearestFilter, NearestFilter];
  texture.needsUpdate = true;
  return texture;
}
