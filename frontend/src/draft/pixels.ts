/** Places in a photo, whole pixels from its upper left corner. */

export type Place = readonly [number, number];

const STEPS: Record<string, Place> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const FAR = 10;

/** Where a key moves a mark: a pixel an arrow, ten with Shift; null where the key moves nothing. */
export function moved(at: Place, key: string, far: boolean, size: Place): Place | null {
  const step = STEPS[key];
  if (!step) return null;
  const long = far ? FAR : 1;
  return within([at[0] + long * step[0], at[1] + long * step[1]], size);
}

/** The pixel under a pointer, where the photo is shown in a box. */
export function pixelAt(pointer: Place, box: { left: number; top: number; width: number; height: number }, size: Place): Place {
  return within([((pointer[0] - box.left) / box.width) * size[0], ((pointer[1] - box.top) / box.height) * size[1]], size);
}

export function within([x, y]: Place, [wide, high]: Place): Place {
  return [Math.min(Math.max(Math.round(x), 0), wide), Math.min(Math.max(Math.round(y), 0), high)];
}
