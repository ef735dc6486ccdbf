import assert from "node:assert/strict";
import { test } from "node:test";
import { energyPerKg, energySaid, forceSaid, pinState, places, rodShare, speedSaid, speedWhenLate, turnsTo } from "../src/learn/sense.ts";

test("free fall of 2 s is 19.6 m/s and 192 J for a kilogram, four times that of 1 s", () => {
  assert.ok(Math.abs(speedWhenLate(2) - 19.6133) < 1e-9);
  assert.ok(Math.abs(energyPerKg(2) - 192.34) < 0.01);
  assert.equal(energyPerKg(2) / energyPerKg(1), 4);
});

test("it turns into the wind only where all of the band lies behind the balance point", () => {
  assert.equal(turnsTo(0.5, [0.6, 0.7]), 1);
  assert.equal(turnsTo(0.65, [0.6, 0.7]), 0);
  assert.equal(turnsTo(0.8, [0.6, 0.7]), -1);
});

test("pins have a floor and a ceiling", () => {
  assert.equal(pinState(100, 120, 400), "opens alone");
  assert.equal(pinState(200, 120, 400), "holds, then opens");
  assert.equal(pinState(400, 120, 400), "stays shut");
});

test("a load is shared by stiffness", () => {
  assert.equal(rodShare(3, 1), 0.75);
  assert.equal(rodShare(0, 1), 0);
});

test("a table runs over the slider's own places, both ends among them", () => {
  assert.deepEqual(places(0, 5, 0.5), [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5]);
  // 58 steps of 10 from 20: every sixth, and the last.
  assert.deepEqual(places(20, 600, 10), [20, 80, 140, 200, 260, 320, 380, 440, 500, 560, 600]);
  assert.deepEqual(places(0, 12, 1), [0, 2, 4, 6, 8, 10, 12]);
  assert.deepEqual(places(0.2, 0.3, 0.05), [0.2, 0.25, 0.3]);
});

test("numbers are said in the units that the page is read in", () => {
  // A foot is 0.3048 m, a pound of force 4.44822 N; a foot pound for each pound is a foot of fall.
  assert.deepEqual([speedSaid(20, false), speedSaid(20, true)], ["20 m/s", "66 ft/s"]);
  assert.deepEqual([energySaid(192.34, false), energySaid(192.34, true)], ["192 J for each kilogram", "64 ft lbf for each pound"]);
  assert.deepEqual([forceSaid(250, false), forceSaid(250, true)], ["250 N", "56 lbf"]);
});
