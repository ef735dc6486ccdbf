import type { PageThing, Plates, SheetForm } from "../records.ts";

const METRES: Record<string, number> = { mm: 1e-3, cm: 1e-2, m: 1, in: 0.0254, inch: 0.0254, ft: 0.3048 };
/** A drag moves by whole steps of what one measures with. */
const STEP_DIGITS: Record<string, number> = { mm: 0, cm: 1, m: 3, in: 2, inch: 2, ft: 3 };
const PLAIN = /^\s*(-?\d+(?:\.\d+)?)\s*(mm|cm|m|in|inch|ft)\b(.*)$/s;

/** One thing of the sheet that may be moved along the axis. */
export interface Movable {
  name: string;
  kind: "item" | "fin" | "bay" | "button" | "canopy";
  place: string;
  /** What the sheet has at that place. */
  inSheet: string;
  /** Which of a list of stations; -1 moves all of them, or the only one. */
  which: number;
  /** Where it stands now, and how long it is there [m]. */
  station_m: number;
  length_m: number;
  across_m: number;
  /** Off the axis, upwards in the picture [m]. */
  up_m: number;
}

/** Stations written in a text of the sheet [m]; null where one is written in a way of its own, such as from a part. */
export function stationsIn(text: string): number[] | null {
  const found = texts(text).map((one) => PLAIN.exec(one));
  if (found.length === 0 || found.some((one) => one === null)) return null;
  return found.map((one) => Number(one![1]) * METRES[one![2]!]!);
}

/** The same text with its stations moved; tolerance and unit stay as they were written. */
export function movedText(text: string, by_m: number, which = -1): string {
  const moved = texts(text).map((one, number) => (which === -1 || which === number ? shifted(one, by_m) : one));
  return text.trim().startsWith("[") ? `[${moved.map((one) => JSON.stringify(one)).join(", ")}]` : moved[0]!;
}

function texts(text: string): string[] {
  return text.trim().startsWith("[") ? [...text.matchAll(/"([^"]*)"/g)].map((one) => one[1]!) : [text];
}

function shifted(text: string, by_m: number): string {
  const found = PLAIN.exec(text);
  if (!found) return text;
  const [, number, unit, rest] = found as unknown as [string, string, string, string];
  return `${(Number(number) + by_m / METRES[unit]!).toFixed(STEP_DIGITS[unit])} ${unit}${rest}`;
}

/** Everything of the sheet that a hand may move along the axis, where it stands with what is typed. */
export function movables(form: SheetForm, now: Readonly<Record<string, string>>, things: PageThing[], fins: Plates[]): Movable[] {
  return form.tables.flatMap((table) =>
    table.fields.flatMap(({ dotted, text }): Movable[] => {
      const kind = KINDS.find(([pattern]) => pattern.test(dotted))?.[1];
      if (!kind || text === null) return [];
      const stations = stationsIn(now[dotted] ?? text);
      if (!stations) return [];
      const size = sizeOf(kind, table.name, stations, things, fins);
      const common = { kind, place: dotted, inSheet: text, ...size };
      if (kind !== "button") return [{ ...common, name: table.name || kind, which: -1, station_m: stations[0]! }];
      return stations.map((station_m, which) => ({ ...common, name: `button ${which + 1}`, which, station_m }));
    }),
  );
}

const KINDS: [RegExp, Movable["kind"]][] = [
  [/^item\[\d+\]\.station$/, "item"],
  [/^fin\[\d+\]\.station$/, "fin"],
  [/^recovery\.bay\[\d+\]\.stations$/, "bay"],
  [/^recovery\.canopy\[\d+\]\.station$/, "canopy"],
  [/^guide\.buttons$/, "button"],
];

function sizeOf(kind: Movable["kind"], name: string, stations: number[], things: PageThing[], fins: Plates[]) {
  if (kind === "bay") {
    const across_m = things.find((one) => one.name === name)?.across_m ?? 0;
    return { length_m: (stations[1] ?? stations[0]!) - stations[0]!, across_m, up_m: 0 };
  }
  if (kind === "fin") {
    const fin = fins.find((one) => one.name === name);
    const along = fin?.outline_m.map(([at]) => at) ?? [0];
    return { length_m: Math.max(...along), across_m: 0, up_m: fin?.root_radius_m ?? 0 };
  }
  const thing = things.find((one) => one.name === name);
  return { length_m: thing?.length_m ?? 0, across_m: thing?.across_m ?? 0, up_m: thing?.offset_m[0] ?? 0 };
}
