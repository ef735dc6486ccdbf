import assert from "node:assert/strict";
import { test } from "node:test";
import { Newest } from "../src/newest.ts";

/** An asker whose answers are given by hand, one at a time. */
function byHand() {
  const asked: number[] = [];
  const replies: Array<(fault?: Error) => Promise<void>> = [];
  const ask = (question: number) =>
    new Promise<number>((resolve, reject) => {
      asked.push(question);
      replies.push(async (fault) => {
        if (fault) reject(fault);
        else resolve(question);
        await new Promise(setImmediate);
      });
    });
  return { asked, replies, ask };
}

test("only the newest of the waiting questions is asked", async () => {
  const { asked, replies, ask } = byHand();
  const answers: number[] = [];
  const newest = new Newest<number, number>(ask, (answer) => answers.push(answer), assert.fail);
  for (const question of [1, 2, 3, 4]) newest.send(question);
  assert.deepEqual(asked, [1]);
  await replies[0]!();
  assert.deepEqual(asked, [1, 4]);
  await replies[1]!();
  assert.deepEqual(answers, [1, 4]);
  assert.equal(asked.length, 2);
});

test("a failure is reported and the next question still goes out", async () => {
  const { asked, replies, ask } = byHand();
  const faults: unknown[] = [];
  const answers: number[] = [];
  const newest = new Newest<number, number>(ask, (answer) => answers.push(answer), (fault) => faults.push(fault));
  newest.send(1);
  newest.send(2);
  await replies[0]!(new Error("refused"));
  await replies[1]!();
  assert.equal(faults.length, 1);
  assert.deepEqual(answers, [2]);
  newest.send(3);
  assert.deepEqual(asked, [1, 2, 3]);
});
