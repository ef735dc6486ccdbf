/** What the server sends; every shown value is already in the builder's units. */

import type { Typed } from "./edits.ts";

export type Verdict = "go" | "caution" | "not known" | "no-go";

export interface Spread {
  value: number;
  low: number;
  high: number;
}

export interface NumberRow {
  key: string;
  name: string;
  value: string;
  interval: string;
  known_by: string;
}

export interface NumberGroup {
  title: string;
  rows: NumberRow[];
}

export interface Finding {
  subject: string;
  name: string;
  verdict: Verdict;
  value: string;
  interval: string;
  limit: string;
  margin: string;
  why: string;
  fix: string;
  /** The first of its remedies as a change of the sheet, where it is one. */
  change: Typed | null;
  source: string;
  safety: boolean;
}

/** A finding, and those that follow from the same cause. */
export interface FindingCard extends Finding {
  followers: Finding[];
}

export interface GuessRow {
  what: string;
  interval: string;
  effect: string;
  advice: string;
}

/** A set of equal plates, SI units: along and outward from the root. */
export interface Plates {
  outline_m: [number, number][];
  station_m: number;
  root_radius_m: number;
  offset_m: [number, number];
  count: number;
  first_at_rad: number;
  thickness_m: number;
  cant_rad: number;
}

/** Part of the hull with reserves in one band, counted from the weakest; null where nobody knows. */
export interface Stretch {
  from_m: number;
  to_m: number;
  band: number | null;
}

export interface WeakPlace {
  station_m: number;
  where: string;
  what: string;
  case: string;
  reserve: string;
}

/** What walls, rods and joints have left along the hull. */
export interface Walls {
  bands: string[];
  stretches: Stretch[];
  weakest: WeakPlace[];
  unknown: string;
  sentence: string;
}

/** What the hull is tinted by. */
export type Tint = "wind" | "walls";

export interface PictureData {
  length_m: number;
  across_m: number;
  balance_m: Spread;
  pressure_m: Spread;
  fins: Plates[];
  load: { stations_m: number[]; share: number[] };
  walls: Walls;
  labels: { balance: string; pressure: string; margin: string; verdict: Verdict };
  sentence: string;
}

export interface MarginChart {
  unit: string;
  angles_deg: number[];
  low: number[];
  middle: number[];
  high: number[];
  bare_low: number[];
  sentence: string;
}

export interface HeightChart {
  unit: string;
  times_s: number[];
  heights: number[];
  events: { name: string; time_s: number; height: number; text: string }[];
  sentence: string;
}

export interface Answer {
  verdict: Verdict;
  headline: string;
  detail: string;
  key_numbers: NumberRow[];
  groups: NumberGroup[];
  findings: FindingCard[];
  guesses: GuessRow[];
  picture: PictureData;
  margin_chart: MarginChart;
  height_chart: HeightChart;
}

export interface BallastControl {
  name: string;
  mass_kg: number;
  min_kg: number;
  max_kg: number;
  step_kg: number;
  unit: string;
  unit_kg: number;
  decimals: number;
}

export interface FinControl {
  span_m: number;
  min_scale: number;
  max_scale: number;
  step_scale: number;
  unit: string;
  unit_m: number;
  decimals: number;
}

/** A section through the vehicle, served as a picture; what it shows in words. */
export interface InsideData {
  says: string;
}

export interface Vehicle {
  name: string;
  note: string;
  sheet: string;
  caution: string;
  ballast: BallastControl[];
  fins: FinControl | null;
  inside: InsideData | null;
  answer: Answer;
}

export interface Question {
  ballast: Record<string, number>;
  fin_span_scale: number;
  /** What was typed into the sheet, by place. */
  sheet: Typed;
}

/** What may stand at a key, from the sheet's own schema. */
export interface SheetKey {
  path: string;
  meaning: string;
  required: boolean;
  default: unknown;
  example: unknown;
  kind: "quantity" | "whole number" | "text" | "choice" | "yes or no" | "list" | "table";
  units: string[] | null;
  choices: string[] | null;
}

export interface SheetField {
  dotted: string;
  path: string;
  /** As it stands in the sheet; null where the sheet does not have it. */
  text: string | null;
}

export interface SheetTable {
  dotted: string;
  name: string;
  fields: SheetField[];
}

export interface SheetForm {
  revision: string;
  keys: Record<string, SheetKey>;
  tables: SheetTable[];
}

export interface MeshData {
  vertices: Float32Array;
  faces: Uint32Array;
}
