/** A draft's text with every step back and forth. */

export interface Steps {
  readonly past: readonly string[];
  readonly now: string;
  readonly future: readonly string[];
  /** What the last step was of: its next letter is the same step. */
  readonly of: string;
}

export const begun = (text: string): Steps => ({ past: [], now: text, future: [], of: "" });

/** Go on to another text; one that says the same is no step. */
export function stepped(steps: Steps, text: string, of = ""): Steps {
  if (text === steps.now) return steps;
  const same = of !== "" && of === steps.of;
  return { past: same ? steps.past : [...steps.past, steps.now], now: text, future: [], of };
}

export function back(steps: Steps): Steps {
  const text = steps.past.at(-1);
  if (text === undefined) return steps;
  return { past: steps.past.slice(0, -1), now: text, future: [steps.now, ...steps.future], of: "" };
}

export function forth(steps: Steps): Steps {
  const [text, ...future] = steps.future;
  if (text === undefined) return steps;
  return { past: [...steps.past, steps.now], now: text, future, of: "" };
}

/** Leave the field: what is typed there later is a step of its own. */
export const rested = (steps: Steps): Steps => (steps.of ? { ...steps, of: "" } : steps);
