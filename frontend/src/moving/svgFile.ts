import { fileName, handOver } from "../report/csv.ts";

const KEPT = ["fill", "fill-opacity", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "opacity", "font", "text-anchor", "vector-effect"];

/** Hand over a picture as it is seen now: a file of its own, its colours with it. */
export function handOverSvg(drawn: SVGSVGElement, title: string): void {
  const copy = drawn.cloneNode(true) as SVGSVGElement;
  const all = [drawn, ...drawn.querySelectorAll("*")];
  [copy, ...copy.querySelectorAll<SVGElement>("*")].forEach((element, number) => {
    const style = getComputedStyle(all[number]!);
    // One by one: the page's policy allows no style that is written as text.
    for (const name of KEPT) element.style.setProperty(name, style.getPropertyValue(name));
  });
  const { width, height } = drawn.getBoundingClientRect();
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  copy.setAttribute("width", String(width));
  copy.setAttribute("height", String(height));
  copy.style.background = getComputedStyle(document.body).backgroundColor;
  const words = document.createElementNS("http://www.w3.org/2000/svg", "title");
  words.textContent = drawn.getAttribute("aria-label") ?? title;
  copy.prepend(words);
  handOver(fileName(title, "svg"), new XMLSerializer().serializeToString(copy), "image/svg+xml");
}
