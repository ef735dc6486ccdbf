import type { Facet } from "./facets.ts";

/** Words beside a mark, in pixels from the picture's top left. */
export interface Words {
  at: readonly [number, number];
  text: string;
  fill: string;
}

export interface Drawing {
  title: string;
  says: string;
  size: readonly [number, number];
  ground: string;
  ink: string;
  words: readonly Words[];
  /** Colours and what each stands for, below the picture. */
  legend?: readonly { fill: string; text: string }[];
}

const ROW = 18;
const KEY_WIDE = 190;

/** Pieces, the farthest first, as a picture of its own; neighbours of one colour are one path. */
export function facetsSvg(facets: readonly Facet[], { title, says, size: [wide, high], ground, ink, words, legend = [] }: Drawing): string {
  const paths: { d: string; fill: string; opacity: number }[] = [];
  for (const { points, fill, opacity } of facets) {
    const d = `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}Z`;
    const last = paths.at(-1);
    if (last && last.fill === fill && last.opacity === opacity && opacity === 1) last.d += d;
    else paths.push({ d, fill, opacity });
  }
  // A thin line of the same colour closes the seams between neighbours.
  const drawn = paths.map(({ d, fill, opacity }) =>
    opacity < 1 ? `<path d="${d}" fill="${fill}" fill-opacity="${opacity}"/>` : `<path d="${d}" fill="${fill}" stroke="${fill}"/>`,
  );
  const told = words.map(({ at: [x, y], text, fill }) => `<text x="${x.toFixed(1)}" y="${y.toFixed(1)}" fill="${fill}">${plain(text)}</text>`);
  const across = Math.max(Math.floor(wide / KEY_WIDE), 1);
  const keys = legend.map(({ fill, text }, number) => {
    const [x, y] = [8 + (number % across) * KEY_WIDE, high + 6 + Math.floor(number / across) * ROW];
    return `<rect x="${x}" y="${y}" width="18" height="11" fill="${fill}"/><text x="${x + 24}" y="${y + 10}">${plain(text)}</text>`;
  });
  const whole = high + (legend.length ? Math.ceil(legend.length / across) * ROW + 10 : 0);
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${wide} ${whole}" width="${wide}" height="${whole}" role="img" font-family="sans-serif" font-size="13">` +
    `<title>${plain(title)}</title><desc>${plain(says)}</desc><rect width="${wide}" height="${whole}" fill="${ground}"/>` +
    `<g stroke-width="0.4" stroke-linejoin="round">${drawn.join("")}</g>` +
    `<g text-anchor="middle" paint-order="stroke" stroke="${ground}" stroke-width="3">${told.join("")}</g><g fill="${ink}" font-size="12">${keys.join("")}</g></svg>\n`
  );
}

const plain = (text: string): string => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
