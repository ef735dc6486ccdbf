import { Vector3, type PerspectiveCamera } from "three";
import type { Plates } from "../records.ts";
import type { Frame } from "./marks.ts";
import { HALF_SEEN, lookFrom } from "./studio.ts";

const ROUND = 16;
/** Share of the picture that is filled at most. */
const FILLED = 0.96;
const PASSES = 4;

/** Points round the vehicle that it lies within, however it is rolled: both ends of the hull and of its fins. */
export function rimsOf(frame: Frame, fins: readonly Plates[]): Vector3[] {
  const ends = fins.flatMap((set) => {
    const along = set.outline_m.map(([station]) => frame.halfLength - set.station_m - station);
    return [Math.min(...along), Math.max(...along)].map((at) => [at, frame.fins] as const);
  });
  const rims = [[-frame.halfLength, frame.hull] as const, [frame.halfLength, frame.hull] as const, ...ends];
  const turns = Array.from({ length: ROUND }, (_, step) => (2 * Math.PI * step) / ROUND);
  return rims.flatMap(([at, reach]) => turns.map((turn) => new Vector3(at, reach * Math.cos(turn), reach * Math.sin(turn))));
}

/**
 * How far away the eye is, and at which place of the axis it looks, so that all points are in the picture.
 *
 * What is nearer to the eye looks larger: it is looked and corrected in turn. No nearer than the least distance.
 */
export function fitted(
  camera: PerspectiveCamera,
  turn: { side: number; lift: number },
  least: number,
  points: readonly Vector3[],
): { distance: number; look: number } {
  let [distance, look] = [least, 0];
  for (let pass = 0; pass < PASSES; pass += 1) {
    lookFrom(camera, turn, distance, look);
    camera.updateMatrixWorld();
    const seen = points.map((point) => point.clone().project(camera));
    const [left, right] = [Math.min(...seen.map((one) => one.x)), Math.max(...seen.map((one) => one.x))];
    const high = Math.max(...seen.map((one) => Math.abs(one.y)));
    // The tip lies to the left: what lies too far to the right is looked at from nearer to the tail.
    look -= ((left + right) / 2) * distance * HALF_SEEN * camera.aspect * Math.cos(turn.side);
    distance = Math.max(least, (distance * Math.max((right - left) / 2, high)) / FILLED);
  }
  return { distance, look };
}
