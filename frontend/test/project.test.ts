import assert from "node:assert/strict";
import { test } from "node:test";
import { around, cord, roundLength, seen } from "../src/moving/project.ts";

const close = (found: readonly number[], wanted: readonly number[]): void =>
  found.forEach((one, number) => assert.ok(Math.abs(one - wanted[number]!) < 1e-9, `${found} for ${wanted}`));

test("from the south east lies to the right and up is up; from above north is up", () => {
  close(seen([1, 0, 0], { turn: 0, lift: 0 }), [1, 0]);
  close(seen([0, 0, 1], { turn: 0, lift: 0 }), [0, -1]);
  close(seen([0, 1, 0], { turn: 0, lift: Math.PI / 2 }), [0, -1]);
  close(seen([0, 0, 1], { turn: 0, lift: Math.PI / 2 }), [0, 0]);
  // Turned by a right angle the eye looks to the west: north lies to the right.
  close(seen([0, 1, 0], { turn: Math.PI / 2, lift: 0 }), [1, 0]);
});

test("a box holds all points and a margin of its longer side", () => {
  assert.deepEqual(around([[0, 0], [10, 4]], 0.1), { left: -1, top: -1, wide: 12, high: 6 });
});

test("bars are round lengths", () => {
  assert.deepEqual([7, 4.9, 1, 0.03].map(roundLength), [5, 2, 1, 0.02]);
});

test("a taut cord is straight, a slack one hangs", () => {
  const middle = (path: string): number => Number(path.split("Q")[1]!.trim().split(" ")[1]);
  assert.equal(middle(cord([0, 0], [4, 0], 0)), 0);
  assert.ok(middle(cord([0, 0], [4, 0], 4.2)) > 0);
});
