/** What was typed into the sheet and not yet written, with every step back and forth. */

/** By the place's dotted name; only what differs from the sheet. */
export type Typed = Readonly<Record<string, string>>;

export interface Edits {
  readonly past: readonly Typed[];
  readonly now: Typed;
  readonly future: readonly Typed[];
  /** The place that was typed into last: its next letter is the same step. */
  readonly at: string;
}

export const NOTHING_TYPED: Edits = { past: [], now: {}, future: [], at: "" };

/** Type into one place; what stands in the sheet already is no change. */
export function typed(edits: Edits, place: string, text: string, inSheet: string | null): Edits {
  const { [place]: _, ...others } = edits.now;
  const now = text === (inSheet ?? "") ? others : { ...others, [place]: text };
  const past = edits.at === place ? edits.past : [...edits.past, edits.now];
  return { past, now, future: [], at: place };
}

/** Try several changes as one step. */
export function tried(edits: Edits, changes: Typed): Edits {
  return { past: [...edits.past, edits.now], now: { ...edits.now, ...changes }, future: [], at: "" };
}

export function undone(edits: Edits): Edits {
  const back = edits.past.at(-1);
  if (!back) return edits;
  return { past: edits.past.slice(0, -1), now: back, future: [edits.now, ...edits.future], at: "" };
}

export function redone(edits: Edits): Edits {
  const [next, ...future] = edits.future;
  if (!next) return edits;
  return { past: [...edits.past, edits.now], now: next, future, at: "" };
}

/** Leave the field: letters typed there later are a step of their own. */
export function left(edits: Edits): Edits {
  return edits.at ? { ...edits, at: "" } : edits;
}

/** Take everything back, as one step that can be undone. */
export function dropped(edits: Edits): Edits {
  return { past: [...edits.past, edits.now], now: {}, future: [], at: "" };
}
