import type uPlot from "uplot";

export function ink(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** An axis in the page's own type and colours, labelled with its unit. */
export function axis(label: string): uPlot.Axis {
  return {
    label,
    labelFont: "13px system-ui, sans-serif",
    font: "12px system-ui, sans-serif",
    labelSize: 20,
    stroke: ink("--soft"),
    grid: { stroke: ink("--line"), width: 1 },
    ticks: { stroke: ink("--line"), width: 1 },
  };
}
