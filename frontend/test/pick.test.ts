import assert from "node:assert/strict";
import { test } from "node:test";
import { choices, inHull } from "../src/picture/pick.ts";
import type { PagePart, PageThing } from "../src/records.ts";

const part = (name: string, fore_m: number, aft_m: number): PagePart => ({ name, fore_m, aft_m, says: "" });
const thing = (name: string): PageThing => ({
  name, middle_m: 0.5, length_m: 0.1, across_m: 0.01, depth_m: 0, bore_m: 0, offset_m: [0, 0], tilt_rad: 0, toward_rad: 0, roll_rad: 0, says: "",
});

test("of parts that overlap the shortest is picked, at the station that was clicked", () => {
  const { parts } = choices([part("tower", 0, 1), part("shoulder", 0.4, 0.5)], []);
  assert.equal(inHull(parts, 0.45).name, "shoulder");
  assert.equal(inHull(parts, 0.45).station_m, 0.45);
  assert.equal(inHull(parts, 0.6).name, "tower");
  assert.equal(inHull(parts, 1.2).name, "");
});

test("things of one name are told apart", () => {
  const { things } = choices([], [thing("rod"), thing("motor"), thing("rod")]);
  assert.deepEqual(things.map((one) => one.name), ["rod, 1 of 2", "motor", "rod, 2 of 2"]);
  assert.deepEqual(things.map((one) => one.thing), [0, 1, 2]);
});
