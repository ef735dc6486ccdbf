import type uPlot from "uplot";
import { ink } from "./ink.ts";

interface Mark {
  time_s: number;
  height: number;
}

/** Numbered dots on the curve; the list below the chart says what each one is. */
export function eventMarks(events: () => Mark[]): uPlot.Plugin {
  return {
    hooks: {
      draw: (plot) => {
        const { ctx } = plot;
        const ratio = devicePixelRatio;
        ctx.save();
        ctx.font = `600 ${11 * ratio}px system-ui, sans-serif`;
        ctx.textAlign = "center";
        events().forEach((event, number) => {
          const x = plot.valToPos(event.time_s, "x", true);
          const y = plot.valToPos(event.height, "y", true);
          ctx.fillStyle = ink("--air");
          ctx.beginPath();
          ctx.arc(x, y, 3.5 * ratio, 0, 2 * Math.PI);
          ctx.fill();
          ctx.fillStyle = ink("--ink");
          ctx.fillText(String(number + 1), x, y - 8 * ratio);
        });
        ctx.restore();
      },
    },
  };
}
