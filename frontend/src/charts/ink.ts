import type uPlot from "uplot";

export function ink(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** Pixels of what is drawn on a canvas, on screens so large that all type grows. */
export function grown(pixels: number): number {
  return (pixels * parseFloat(getComputedStyle(document.documentElement).fontSize)) / 16;
}

/** An axis in the page's own type and colours, labelled with its unit. */
export function axis(label: string): uPlot.Axis {
  return {
    label,
    labelFont: `${grown(13)}px system-ui, sans-serif`,
    font: `${grown(12)}px system-ui, sans-serif`,
    labelSize: grown(20),
    size: grown(50),
    gap: grown(5),
    stroke: ink("--soft"),
    grid: { stroke: ink("--line"), width: 1 },
    ticks: { stroke: ink("--line"), width: 1 },
  };
}
