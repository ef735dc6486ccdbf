import assert from "node:assert/strict";
import { test } from "node:test";
import { stationAt, stationPlace } from "../src/along/station.ts";

test("a station is found again at its own place, to a tenth of a millimetre", () => {
  assert.equal(stationPlace(0.24996), "station-250");
  assert.equal(stationPlace(0.2503), "station-250.3");
  assert.equal(stationAt(stationPlace(1.2345)), 1.2345);
  // As the server writes them, without a fraction.
  assert.equal(stationAt("station-512"), 0.512);
  assert.equal(stationAt("stations"), null);
  assert.equal(stationAt("station-"), null);
});
