import assert from "node:assert/strict";
import { test } from "node:test";
import { nearest, readingAt, told } from "../src/flights/cursor.ts";

const LINES = {
  times_s: [-1.0, 0.0, 1.0, 3.0],
  log: { height: [0, 0, 40, 90], climb: [null, 0, 50, 10], push: [1, 1, 6, null] },
  predicted: { height: [0, 0, 45, 99], climb: [null, 0, 55, 12], push: [1, 1, 6.5, 0] },
  corrected: { height: [0, 0, 41, 91], climb: [null, 0, 51, 11], push: [1, 1, 6.1, 0] },
  marks: [],
};

test("the nearest time is found, also beyond both ends", () => {
  const times = LINES.times_s;
  assert.deepEqual([-9, -0.6, -0.4, 0.9, 1.9, 2.1, 50].map((one) => nearest(times, one)), [0, 0, 1, 2, 2, 3, 3]);
});

test("all three curves are read at one time", () => {
  assert.deepEqual(readingAt(LINES, "height", 1.2), { time_s: 1, log: 40, predicted: 45, corrected: 41 });
  assert.equal(readingAt(LINES, "push", 3).log, null);
});

test("what is not known is said", () => {
  assert.equal(told(null, "m"), "not known");
  assert.equal(told(40.25, "m"), "40.3 m");
  assert.equal(told(410.4, "ft"), "410 ft");
});
