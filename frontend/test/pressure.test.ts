import assert from "node:assert/strict";
import test from "node:test";
import { bandOf, placesInStrip, pressureStrip } from "../src/picture/pressure.ts";

const EDGES = [-0.5, 0, 0.5];
const COLORS = ["#000001", "#000002", "#000003", "#000004"];

/** Blue of the pixel at a place. */
function blueAt(place: number): number {
  const { data, width } = pressureStrip(EDGES, COLORS, ["#000005", "#000006"]).image as { data: Uint8Array; width: number };
  return data[4 * Math.floor(place * width) + 2]!;
}

test("a band begins at its lower edge", () => {
  assert.deepEqual([-0.51, -0.5, -0.01, 0, 0.49, 0.5].map((pressure) => bandOf(pressure, EDGES)), [0, 1, 1, 2, 2, 3]);
});

test("each corner finds the colour of its own pressure", () => {
  const places = placesInStrip(Int16Array.of(-900, -52, -48, -2, 2, 900), () => 0);
  assert.deepEqual([...places].map(blueAt), [1, 1, 2, 2, 3, 4]);
});

test("a triangle with a corner that nobody knows is a piece of a ring, by where it lies", () => {
  const places = placesInStrip(Int16Array.of(10, -32768, 10, -32768, -32768, -32768), (face) => face / 64 + 0.001);
  assert.deepEqual([...places].map(blueAt), [5, 5, 5, 6, 6, 6]);
});
