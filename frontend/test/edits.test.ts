import assert from "node:assert/strict";
import { test } from "node:test";
import { dropped, left, NOTHING_TYPED, redone, tried, typed, undone } from "../src/edits.ts";

const MASS = "item[1].mass";

test("letters typed into one field are one step", () => {
  let edits = typed(NOTHING_TYPED, MASS, "1", "2 kg");
  edits = typed(edits, MASS, "1 kg", "2 kg");
  assert.deepEqual(edits.now, { [MASS]: "1 kg" });
  assert.deepEqual(undone(edits).now, {});
});

test("after leaving a field its next letter is a step of its own", () => {
  const first = left(typed(NOTHING_TYPED, MASS, "1 kg", "2 kg"));
  const second = typed(first, MASS, "3 kg", "2 kg");
  assert.deepEqual(undone(second).now, { [MASS]: "1 kg" });
});

test("what the sheet says already is no change", () => {
  const edits = typed(typed(NOTHING_TYPED, MASS, "1 kg", "2 kg"), MASS, "2 kg", "2 kg");
  assert.deepEqual(edits.now, {});
  assert.deepEqual(typed(NOTHING_TYPED, "note", "", null).now, {});
});

test("undo and redo go to both ends and no farther", () => {
  const one = left(typed(NOTHING_TYPED, MASS, "1 kg", "2 kg"));
  const two = tried(one, { "fin[1].thickness": "5 mm" });
  assert.deepEqual(redone(undone(two)), two);
  assert.deepEqual(undone(undone(undone(two))).now, {});
  assert.deepEqual(redone(redone(redone(undone(undone(two))))).now, two.now);
});

test("a new step forgets what was taken back", () => {
  const back = undone(tried(NOTHING_TYPED, { [MASS]: "1 kg" }));
  assert.deepEqual(redone(typed(back, "note", "x", "")).now, { note: "x" });
});

test("throwing everything away can be undone", () => {
  const full = tried(NOTHING_TYPED, { [MASS]: "1 kg", note: "x" });
  assert.deepEqual(dropped(full).now, {});
  assert.deepEqual(undone(dropped(full)).now, full.now);
});
