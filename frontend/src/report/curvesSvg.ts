type Column = readonly (number | null | undefined)[];

export interface Curves {
  title: string;
  /** What the upright axis counts in; empty for a ratio. */
  unit: string;
  columns: readonly Column[];
}

const WIDE = 640;
const HIGH = 120;
const LEFT = 70;
const GAP = 34;
const INKS = ["#0b5c94", "#b8480a", "#1a1a1a", "#8a8a8a"];
const DASHES = ["", "6 3", "2 2", "8 3 2 3"];

/** Curves over one axis as a picture of its own, one graph below the other; a gap stays a gap. */
export function curvesSvg(title: string, says: string, axis: string, at: Column, plots: readonly Curves[]): string {
  const [low, high] = ends([at]);
  const x = (value: number): number => LEFT + ((value - low) / (high - low || 1)) * (WIDE - LEFT - 10);
  const tall = plots.length * (HIGH + GAP) + 30;
  const drawn = plots.map((plot, number) => graph(plot, at, x, 22 + number * (HIGH + GAP)));
  const foot = tall - 8;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDE} ${tall}" width="${WIDE}" height="${tall}" role="img" font-family="sans-serif" font-size="11">` +
    `<title>${plain(title)}</title><desc>${plain(says)}</desc><rect width="${WIDE}" height="${tall}" fill="#ffffff"/>${drawn.join("")}` +
    `<text x="${LEFT}" y="${foot}">${short(low)}</text><text x="${WIDE - 10}" y="${foot}" text-anchor="end">${short(high)}</text>` +
    `<text x="${(LEFT + WIDE) / 2}" y="${foot}" text-anchor="middle">${plain(axis)}</text></svg>\n`
  );
}

function graph({ title, unit, columns }: Curves, at: Column, x: (value: number) => number, top: number): string {
  const [low, high] = ends(columns);
  const y = (value: number): number => top + HIGH - ((value - low) / (high - low || 1)) * HIGH;
  const lines = columns.flatMap((column, number) =>
    pieces(at, column).map((piece) => {
      const points = piece.map(([across, value]) => `${x(across).toFixed(1)},${y(value).toFixed(1)}`).join(" ");
      return `<polyline points="${points}" fill="none" stroke="${INKS[number % INKS.length]}" stroke-width="1.4" stroke-dasharray="${DASHES[number % DASHES.length]}"/>`;
    }),
  );
  const named = unit ? `${title}, ${unit}` : title;
  return (
    `<rect x="${LEFT}" y="${top}" width="${WIDE - LEFT - 10}" height="${HIGH}" fill="none" stroke="#8a8a8a"/><text x="${LEFT}" y="${top - 5}">${plain(named)}</text>` +
    `<text x="${LEFT - 5}" y="${top + 9}" text-anchor="end">${short(high)}</text><text x="${LEFT - 5}" y="${top + HIGH}" text-anchor="end">${short(low)}</text>${lines.join("")}`
  );
}

/** Runs of a curve between its gaps. */
function pieces(at: Column, column: Column): [number, number][][] {
  const found: [number, number][][] = [[]];
  column.forEach((value, number) => {
    const across = at[number];
    if (typeof value === "number" && typeof across === "number") found.at(-1)!.push([across, value]);
    else if (found.at(-1)!.length) found.push([]);
  });
  return found.filter((piece) => piece.length > 0);
}

function ends(columns: readonly Column[]): [number, number] {
  const known = columns.flatMap((column) => column.filter((one): one is number => typeof one === "number"));
  return known.length ? [Math.min(...known), Math.max(...known)] : [0, 1];
}

const short = (value: number): string => String(Number(value.toPrecision(4)));
const plain = (text: string): string => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
