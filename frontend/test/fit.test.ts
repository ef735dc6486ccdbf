import assert from "node:assert/strict";
import { test } from "node:test";
import { fitted, rimsOf } from "../src/picture/fit.ts";
import { lookFrom, newCamera } from "../src/picture/studio.ts";

const FRAME = { halfLength: 0.6, hull: 0.08, fins: 0.26 };
const FINS = [{ outline_m: [[0, 0], [0.1, 0.18], [0.3, 0.18], [0.3, 0]] as [number, number][], station_m: 0.9 }];

test("fins that stand towards the eye are in the picture from every side", () => {
  const camera = newCamera();
  camera.aspect = 2.7;
  const rims = rimsOf(FRAME, FINS as Parameters<typeof rimsOf>[1]);
  for (const turn of [{ side: 0, lift: 0 }, { side: 0.28, lift: 0.2 }, { side: -1.2, lift: 0.9 }, { side: 1.4, lift: -1.2 }]) {
    const { distance, look } = fitted(camera, turn, 1, rims);
    lookFrom(camera, turn, distance, look);
    camera.updateMatrixWorld();
    for (const point of rims) {
      const seen = point.clone().project(camera);
      assert.ok(Math.abs(seen.x) < 1 && Math.abs(seen.y) < 1, `${JSON.stringify(turn)}: ${seen.x}, ${seen.y}`);
    }
  }
});

test("it is never nearer than the least distance, and what is even stands in the middle", () => {
  const camera = newCamera();
  camera.aspect = 2;
  const even = rimsOf(FRAME, []);
  const { distance, look } = fitted(camera, { side: 0, lift: 0 }, 50, even);
  assert.equal(distance, 50);
  assert.ok(Math.abs(look) < 1e-6);
});
