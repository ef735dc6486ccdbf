import { DirectionalLight, HemisphereLight, PerspectiveCamera, WebGLRenderer, type Light } from "three";

/** How every picture of a vehicle is lit and looked at, whatever stands in it. */
const FIELD_OF_VIEW_DEG = 24;

/** Half of what is seen upright, at a distance of one. */
export const HALF_SEEN = Math.tan((FIELD_OF_VIEW_DEG * Math.PI) / 360);

export const newCamera = (): PerspectiveCamera => new PerspectiveCamera(FIELD_OF_VIEW_DEG, 1, 0.01, 100);

export function rendererOn(canvas: HTMLCanvasElement): WebGLRenderer {
  const renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
  renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
  return renderer;
}

/** Light from all around, between sky and ground, and one from a side. */
export const LIT_BY = { sky: 0xffffff, ground: 0x8a8577, all: 1.7, key: 2.1, from: [-1.5, 3, -4] } as const;

export function lights(): Light[] {
  const key = new DirectionalLight(0xffffff, LIT_BY.key);
  key.position.set(...LIT_BY.from);
  return [new HemisphereLight(LIT_BY.sky, LIT_BY.ground, LIT_BY.all), key];
}

/** Look at a place of the axis, from the side of roll 270 degrees: the tip lies to the left. */
export function lookFrom(camera: PerspectiveCamera, { side, lift }: { side: number; lift: number }, distance: number, look = 0): void {
  camera.position.set(
    look - distance * Math.sin(side) * Math.cos(lift),
    distance * Math.sin(lift),
    -distance * Math.cos(side) * Math.cos(lift),
  );
  camera.lookAt(look, 0, 0);
  camera.near = distance / 50;
  camera.far = distance * 4;
  camera.updateProjectionMatrix();
}

/** A colour of the page's own, by the name that page.css gives it. */
export function pageColor(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}
