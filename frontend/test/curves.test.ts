import assert from "node:assert/strict";
import { test } from "node:test";
import { curvesSvg } from "../src/report/curvesSvg.ts";

test("a curve keeps its gaps, its ends are told, and no text of a sheet becomes markup", () => {
  const svg = curvesSvg("a <b>", "says", "station, mm", [0, 1, 2, 3], [{ title: "shear", unit: "N", columns: [[5, -5, null, 10]] }]);
  assert.equal(svg.match(/<polyline/g)?.length, 2);
  assert.ok(svg.includes("<title>a &lt;b></title>"));
  // Ends of the upright axis, and of the one along the foot.
  for (const told of [">-5<", ">10<", ">0<", ">3<", ">shear, N<", ">station, mm<"]) assert.ok(svg.includes(told), told);
  // The first piece falls from the middle-upper to the foot: 15 N over 120 px, from 5 to -5 N.
  assert.ok(svg.includes('points="70.0,62.0 256.7,142.0"'));
});
