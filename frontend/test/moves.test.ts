import assert from "node:assert/strict";
import { test } from "node:test";
import { movables, movedText, stationsIn } from "../src/inside/moves.ts";
import type { SheetForm } from "../src/records.ts";

test("stations are read in any unit, and left alone where they hang on a part", () => {
  assert.deepEqual(stationsIn("105 mm +- 1 mm"), [0.105]);
  assert.deepEqual(stationsIn('["10 in", "1 ft"]'), [0.254, 0.3048]);
  assert.equal(stationsIn("dome + 20 mm"), null);
  assert.equal(stationsIn('["10 mm", "tower end"]'), null);
});

test("what is moved keeps its unit, its tolerance and the others of its list", () => {
  assert.equal(movedText("105 mm +- 1 mm", 0.0124), "117 mm +- 1 mm");
  assert.equal(movedText("10 in", 0.0254), "11.00 in");
  assert.equal(movedText('["335 mm", "780 mm"]', -0.01), '["325 mm", "770 mm"]');
  assert.equal(movedText('["660 mm", "1152 mm"]', 0.02, 1), '["660 mm", "1172 mm"]');
});

test("items, fins, bays and each button of the sheet may be moved, where they stand with what is typed", () => {
  const field = (dotted: string, text: string) => ({ dotted, path: dotted, text });
  const form = {
    tables: [
      { dotted: "item[1]", name: "ballast", fields: [field("item[1].station", "100 mm"), field("item[1].mass", "1 kg")] },
      { dotted: "guide", name: "", fields: [field("guide.buttons", '["660 mm", "1152 mm"]')] },
      { dotted: "item[2]", name: "sled", fields: [field("item[2].station", "tower + 5 mm")] },
    ],
  } as unknown as SheetForm;
  const found = movables(form, { "item[1].station": "120 mm" }, [], []);
  assert.deepEqual(found.map((one) => [one.name, Number(one.station_m.toFixed(6))]), [["ballast", 0.12], ["button 1", 0.66], ["button 2", 1.152]]);
});
