import type uPlot from "uplot";
import { grown, ink } from "./ink.ts";

interface Mark {
  time_s: number;
  height: number;
}

interface Place {
  x: number;
  y: number;
  first: number;
  last: number;
}

/** Numbered dots on the curve; the list below the chart says what each one is. */
export function eventMarks(events: () => Mark[]): uPlot.Plugin {
  return { hooks: { draw: (plot) => drawMarks(plot, events()) } };
}

function drawMarks(plot: uPlot, events: Mark[]): void {
  const { ctx } = plot;
  const ratio = grown(devicePixelRatio);
  const places = events.map((event, number) => ({
    x: plot.valToPos(event.time_s, "x", true),
    y: plot.valToPos(event.height, "y", true),
    first: number + 1,
    last: number + 1,
  }));
  ctx.save();
  ctx.fillStyle = ink("--air");
  for (const { x, y } of places) {
    ctx.beginPath();
    ctx.arc(x, y, 3.5 * ratio, 0, 2 * Math.PI);
    ctx.fill();
  }
  ctx.fillStyle = ink("--ink");
  ctx.font = `600 ${11 * ratio}px system-ui, sans-serif`;
  ctx.textAlign = "left";
  for (const { x, y, first, last } of gathered(places, 16 * ratio)) {
    ctx.fillText(first === last ? String(first) : `${first}–${last}`, x + 6 * ratio, y - 5 * ratio);
  }
  ctx.restore();
}

/** Events too close together to be told apart share one label. */
export function gathered(places: Place[], nearest: number): Place[] {
  const groups: Place[] = [];
  for (const place of places) {
    const before = groups.at(-1);
    if (before && Math.hypot(place.x - before.x, place.y - before.y) < nearest) before.last = place.last;
    else groups.push({ ...place });
  }
  return groups;
}
