import type { PagePart, PageThing } from "../records.ts";

/** What is picked in the 3-D picture. */
export interface Picked {
  name: string;
  says: string;
  /** Number of the solid inside; -1 for a part of the hull, or nothing. */
  thing: number;
  span_m: [number, number] | null;
  /** Where a section tells more; null where nothing is picked. */
  station_m: number | null;
}

export interface Able {
  parts: Picked[];
  things: Picked[];
}

export const NOTHING_PICKED: Picked = { name: "", says: "", thing: -1, span_m: null, station_m: null };

/** Everything that can be picked; of equal names each is numbered. */
export function choices(parts: PagePart[], things: PageThing[]): Able {
  return {
    parts: parts.map((part) => ({ name: part.name, says: part.says, thing: -1, span_m: [part.fore_m, part.aft_m], station_m: (part.fore_m + part.aft_m) / 2 })),
    things: things.map((thing, number) => ({ name: numbered(things, number), says: thing.says, thing: number, span_m: null, station_m: thing.middle_m })),
  };
}

function numbered(things: PageThing[], number: number): string {
  const { name } = things[number]!;
  const same = things.filter((one) => one.name === name).length;
  const before = things.slice(0, number).filter((one) => one.name === name).length;
  return same > 1 ? `${name}, ${before + 1} of ${same}` : name;
}

/** The part of the hull at a station: of several the shortest, such as what slides into another. */
export function inHull(parts: Picked[], station_m: number): Picked {
  const there = parts.filter(({ span_m }) => span_m && span_m[0] <= station_m && station_m <= span_m[1]);
  const [part] = there.sort((one, other) => long(one) - long(other));
  return part ? { ...part, station_m } : NOTHING_PICKED;
}

const long = ({ span_m }: Picked): number => (span_m ? span_m[1] - span_m[0] : 0);
