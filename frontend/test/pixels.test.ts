import assert from "node:assert/strict";
import { test } from "node:test";
import { moved, pixelAt } from "../src/draft/pixels.ts";

const SIZE = [4000, 3000] as const;

test("an arrow moves a mark by a pixel, with Shift by ten, and never out of the photo", () => {
  assert.deepEqual(moved([100, 200], "ArrowUp", false, SIZE), [100, 199]);
  assert.deepEqual(moved([100, 200], "ArrowRight", true, SIZE), [110, 200]);
  assert.deepEqual(moved([3995, 0], "ArrowRight", true, SIZE), [4000, 0]);
  assert.deepEqual(moved([3995, 0], "ArrowUp", false, SIZE), [3995, 0]);
  assert.equal(moved([1, 1], "Enter", false, SIZE), null);
});

test("the pixel under a pointer is of the photo, however large it is shown", () => {
  const box = { left: 20, top: 10, width: 800, height: 600 };
  assert.deepEqual(pixelAt([20, 10], box, SIZE), [0, 0]);
  assert.deepEqual(pixelAt([420, 310], box, SIZE), [2000, 1500]);
  assert.deepEqual(pixelAt([5000, -5], box, SIZE), [4000, 0]);
});
