import assert from "node:assert/strict";
import { test } from "node:test";
import { bandAt, bandPixels, type BandShades } from "../src/picture/bands.ts";

const STRETCHES = [
  { from_m: 0.0, to_m: 0.25, band: 1 },
  { from_m: 0.25, to_m: 0.5, band: null },
  { from_m: 0.5, to_m: 1.0, band: 0 },
];
const SHADES: BandShades = { bands: [[10, 0, 0], [20, 0, 0]], unknown: [[1, 1, 1], [9, 9, 9]] };

function reds(): number[] {
  const pixels = bandPixels(STRETCHES, 1.0, 256, SHADES);
  return Array.from({ length: 256 }, (_, step) => pixels[4 * step]!);
}

test("each stretch has the colour of its band", () => {
  const row = reds();
  assert.deepEqual(new Set(row.slice(0, 64)), new Set([20]));
  assert.deepEqual(new Set(row.slice(128)), new Set([10]));
});

test("where nobody knows there are rings of two colours", () => {
  const row = reds().slice(64, 128);
  assert.deepEqual(new Set(row), new Set([1, 9]));
  const changes = row.filter((red, step) => step > 0 && red !== row[step - 1]).length;
  assert.equal(changes, 15);
});

test("a station outside every stretch is not known", () => {
  assert.equal(bandAt(1.0, STRETCHES), null);
  assert.equal(bandAt(0.3, STRETCHES), null);
  assert.equal(bandAt(0.5, STRETCHES), 0);
});
