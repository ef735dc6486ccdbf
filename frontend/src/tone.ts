import type { Verdict } from "./records.ts";

/** The class that carries a verdict's colours. */
export function toneOf(verdict: Verdict): string {
  return verdict.replace(" ", "-");
}
