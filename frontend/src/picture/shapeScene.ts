import { Group, Mesh, MeshStandardMaterial, Scene, type WebGLRenderer } from "three";
import type { MeshData } from "../records.ts";
import { facetsOf, LONGEST_SHARE, type Facet } from "./facets.ts";
import { hullGeometry, hullReach } from "./shapes.ts";
import { HALF_SEEN, lights, lookFrom, newCamera, pageColor, rendererOn } from "./studio.ts";

/** A shape alone, its tip to the left: what is known of a sheet that is only begun. */
export class ShapeScene {
  #renderer: WebGLRenderer;
  #scene = new Scene();
  #camera = newCamera();
  #body = new Group();
  #half = 1;
  #reach = 1;
  #side = 0.35;
  #lift = 0.25;
  #asked = 0;

  constructor(canvas: HTMLCanvasElement) {
    this.#renderer = rendererOn(canvas);
    this.#scene.add(...lights(), this.#body);
  }

  /** Draw a shape in place of the one before. */
  setMesh(mesh: MeshData, length_m: number): void {
    this.#clear();
    const color = pageColor("--hull");
    [this.#half, this.#reach] = [length_m / 2, hullReach(mesh)];
    this.#body.add(new Mesh(hullGeometry(mesh, length_m), new MeshStandardMaterial({ color, flatShading: true, roughness: 0.85 })));
    this.#body.position.x = this.#half;
    this.#draw();
  }

  turn(side: number, lift: number): void {
    this.#side += side;
    this.#lift = Math.min(Math.max(this.#lift + lift, -1.3), 1.3);
    this.#draw();
  }

  resize(width: number, height: number): void {
    this.#renderer.setSize(width, height, false);
    this.#camera.aspect = width / Math.max(height, 1);
    this.#draw();
  }

  /** The shape as flat pieces, the farthest first; of a coarser mesh where one is given. */
  facets(coarse: MeshData | null): Facet[] {
    this.#drawNow();
    const { width, height } = this.#renderer.domElement.getBoundingClientRect();
    const scene = this.#scene.clone();
    const [hull] = scene.children.at(-1)!.children;
    if (coarse && hull instanceof Mesh) hull.geometry = hullGeometry(coarse, 2 * this.#half);
    return facetsOf(scene, this.#camera, [width, height], (2 * this.#half) / LONGEST_SHARE);
  }

  close(): void {
    cancelAnimationFrame(this.#asked);
    this.#clear();
    this.#renderer.dispose();
  }

  #clear(): void {
    this.#body.traverse((part) => {
      if (part instanceof Mesh) part.geometry.dispose();
    });
    this.#body.clear();
  }

  #draw(): void {
    if (!this.#asked) this.#asked = requestAnimationFrame(() => this.#drawNow());
  }

  #drawNow(): void {
    this.#asked = 0;
    const distance = Math.max((this.#half * 1.12) / (HALF_SEEN * this.#camera.aspect), (this.#reach * 1.5) / HALF_SEEN) + this.#reach;
    lookFrom(this.#camera, { side: this.#side, lift: this.#lift }, distance);
    this.#renderer.render(this.#scene, this.#camera);
  }
}
