import assert from "node:assert/strict";
import { test } from "node:test";
import { back, begun, forth, rested, stepped } from "../src/draft/steps.ts";

test("letters typed into one place are one step, until it is left", () => {
  let steps = stepped(stepped(begun("a"), "ab", "name"), "abc", "name");
  assert.deepEqual(back(steps).now, "a");
  steps = stepped(rested(steps), "abcd", "name");
  assert.deepEqual(back(steps).now, "abc");
});

test("what was undone comes back, and a new step drops it", () => {
  const steps = stepped(stepped(begun("a"), "b"), "c");
  assert.equal(forth(back(steps)).now, "c");
  assert.equal(forth(forth(steps)).now, "c");
  assert.equal(back(back(back(steps))).now, "a");
  assert.deepEqual(stepped(back(steps), "d").future, []);
});

test("a text that says the same is no step", () => {
  const steps = begun("a");
  assert.equal(stepped(steps, "a"), steps);
});
