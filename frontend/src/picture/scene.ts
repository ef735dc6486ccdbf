import {
  DirectionalLight,
  Group,
  HemisphereLight,
  Mesh,
  MeshStandardMaterial,
  PerspectiveCamera,
  Scene,
  Vector3,
  WebGLRenderer,
  type DataTexture,
  type Material,
  type Object3D,
} from "three";
import type { MeshData, PictureData, Tint } from "../records.ts";
import { along, levels, marginRule, plumbLine, pressureSleeve, weakRing, type Frame } from "./marks.ts";
import { hullGeometry, hullReach, plateGroup, plateReach } from "./shapes.ts";
import { toneOf } from "../tone.ts";
import { bandStrip, loadStrip } from "./tint.ts";

export interface Spot {
  x: number;
  y: number;
}

/** Where the words beside the marks go, in pixels from the picture's top left. */
export interface Spots {
  balance: Spot;
  pressure: Spot;
  margin: Spot;
  /** Where least is left; absent when nobody knows. */
  weakest: Spot | null;
}

export interface Turn {
  roll: number;
  side: number;
  lift: number;
}

const FIELD_OF_VIEW_DEG = 24;

/** The vehicle lying tip to the left, as in the report, drawn only when something has changed. */
export class PictureScene {
  #renderer: WebGLRenderer;
  #scene = new Scene();
  #camera = new PerspectiveCamera(FIELD_OF_VIEW_DEG, 1, 0.01, 100);
  #body = new Group();
  #marks = new Group();
  #plates = new Group();
  #hull: Mesh | null = null;
  #data: PictureData | null = null;
  #frame: Frame = { halfLength: 1, hull: 1, fins: 1 };
  #hullReach = 0;
  #turn: Turn = { roll: 0, side: 0, lift: 0 };
  #asked = 0;
  #drawn: (spots: Spots) => void;

  constructor(canvas: HTMLCanvasElement, drawn: (spots: Spots) => void) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.#renderer.setPixelRatio(Math.min(window.devicePixelRatio, 2));
    this.#drawn = drawn;
    const key = new DirectionalLight(0xffffff, 2.1);
    key.position.set(-1.5, 3, -4);
    this.#scene.add(new HemisphereLight(0xffffff, 0x8a8577, 1.7), key, this.#body, this.#marks);
    this.#body.add(this.#plates);
  }

  setMesh(mesh: MeshData, data: PictureData, tint: Tint): void {
    this.#hull = new Mesh(hullGeometry(mesh, data.length_m), new MeshStandardMaterial({ flatShading: true, roughness: 0.85 }));
    this.#body.add(this.#hull);
    this.#hullReach = hullReach(mesh);
    this.show(data, tint);
  }

  show(data: PictureData, tint: Tint): void {
    this.#data = data;
    const frame = { halfLength: data.length_m / 2, hull: this.#hullReach, fins: plateReach(data.fins) };
    this.#frame = frame;
    empty(this.#plates);
    const plateMaterial = new MeshStandardMaterial({ color: pageColor("--plate"), flatShading: true, roughness: 0.7 });
    for (const plates of data.fins) this.#plates.add(plateGroup(plates, plateMaterial));
    empty(this.#marks);
    if (tint === "wind") this.#markWind(data, frame);
    else this.#markWeakest(data, frame);
    this.#tintHull(data, tint);
    this.draw();
  }

  turnTo(turn: Turn): void {
    this.#turn = turn;
    this.draw();
  }

  resize(width: number, height: number): void {
    this.#renderer.setSize(width, height, false);
    this.#camera.aspect = width / height;
    this.draw();
  }

  /** Draw once at the next frame, however often it is asked for until then. */
  draw(): void {
    if (!this.#asked) this.#asked = requestAnimationFrame(() => this.#drawNow());
  }

  close(): void {
    cancelAnimationFrame(this.#asked);
    empty(this.#body);
    empty(this.#marks);
    this.#renderer.dispose();
  }

  #drawNow(): void {
    this.#asked = 0;
    if (!this.#data) return;
    const frame = this.#frame;
    this.#body.position.x = frame.halfLength;
    // Roll 0 is drawn upwards, as in the report's side view.
    this.#body.rotation.x = this.#turn.roll;
    this.#placeCamera(frame);
    this.#renderer.render(this.#scene, this.#camera);
    this.#drawn(this.#spots(frame, this.#data));
  }

  #placeCamera(frame: Frame): void {
    const half = Math.tan((FIELD_OF_VIEW_DEG * Math.PI) / 360);
    const toFitWide = (frame.halfLength * 1.12) / (half * this.#camera.aspect);
    const high = Math.max(frame.fins * 1.05, frame.hull * 1.9);
    const distance = Math.max(toFitWide, high / half) + frame.hull;
    const { side, lift } = this.#turn;
    this.#camera.position.set(
      // The eye is on the side of roll 270 degrees: the tip lies to the left.
      -distance * Math.sin(side) * Math.cos(lift),
      distance * Math.sin(lift),
      -distance * Math.cos(side) * Math.cos(lift),
    );
    this.#camera.lookAt(0, 0, 0);
    this.#camera.near = distance / 50;
    this.#camera.far = distance * 4;
    this.#camera.updateProjectionMatrix();
  }

  #markWind(data: PictureData, frame: Frame): void {
    this.#marks.add(
      plumbLine(data.balance_m, frame, pageColor("--ink")),
      pressureSleeve(data.pressure_m, frame, pageColor("--air")),
      marginRule(data.balance_m.value, data.pressure_m.low, frame, pageColor(`--${toneOf(data.labels.verdict)}`)),
    );
  }

  #markWeakest(data: PictureData, frame: Frame): void {
    const [worst] = data.walls.weakest;
    if (worst) this.#marks.add(weakRing(worst.station_m, frame, pageColor("--ink")));
  }

  #tintHull(data: PictureData, tint: Tint): void {
    if (!this.#hull) return;
    const material = this.#hull.material as MeshStandardMaterial;
    material.map?.dispose();
    material.map = tint === "wind" ? windStrip(data) : wallsStrip(data);
    material.needsUpdate = true;
  }

  #spots(frame: Frame, data: PictureData): Spots {
    const { balance_m: balance, pressure_m: band } = data;
    const [worst] = data.walls.weakest;
    return {
      balance: this.#spot(along(balance.value, frame), levels(frame).threadTop),
      pressure: this.#spot(along((band.low + band.high) / 2, frame), frame.hull * 1.1),
      margin: this.#spot(along(balance.value, frame), levels(frame).bob),
      weakest: worst ? this.#spot(along(worst.station_m, frame), frame.hull * 1.1) : null,
    };
  }

  #spot(x: number, y: number): Spot {
    const seen = new Vector3(x, y, 0).project(this.#camera);
    const { width, height } = this.#renderer.domElement.getBoundingClientRect();
    return { x: ((seen.x + 1) / 2) * width, y: ((1 - seen.y) / 2) * height };
  }
}

function windStrip(data: PictureData): DataTexture {
  const colors = { hull: pageColor("--hull"), pushed: pageColor("--hull-pushed"), pulled: pageColor("--hull-pulled") };
  return loadStrip(data.load.stations_m, data.load.share, data.length_m, colors);
}

function wallsStrip(data: PictureData): DataTexture {
  return bandStrip(data.walls.stretches, data.length_m, {
    bands: data.walls.bands.map((_, band) => pageColor(`--left-${band}`)),
    unknown: [pageColor("--left-unknown"), pageColor("--left-unknown-ring")],
  });
}

function pageColor(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

function empty(group: Group): void {
  group.traverse((part: Object3D) => {
    if (!(part instanceof Mesh)) return;
    part.geometry.dispose();
    for (const material of [part.material].flat() as Material[]) material.dispose();
  });
  group.clear();
}
