import {
  DoubleSide,
  FrontSide,
  Group,
  LineSegments,
  Mesh,
  MeshStandardMaterial,
  Plane,
  Raycaster,
  Scene,
  Vector2,
  Vector3,
  type DataTexture,
  type Material,
  type Object3D,
  type WebGLRenderer,
} from "three";
import type { MeshData, PageThing, PictureData, Tint } from "../records.ts";
import { facetsOf, LONGEST_SHARE, type Facet } from "./facets.ts";
import { along, levels, marginRule, plumbLine, pressureSleeve, shownThrough, weakRing, windArrow, type Frame } from "./marks.ts";
import { pressedGeometry, pressureStrip, type Pressed } from "./pressure.ts";
import { hullGeometry, hullReach, plateGroup, plateReach, thingMesh } from "./shapes.ts";
import { fitted, rimsOf } from "./fit.ts";
import { HALF_SEEN, lights, lookFrom, newCamera, pageColor, rendererOn } from "./studio.ts";
import { toneOf } from "../tone.ts";
import { bandStrip, loadStrip } from "./tint.ts";

/** It rests so long after its last turn, and longer where pictures come slowly: a drag is no row of rests. */
const REST_MS = 180;
const ONE_MOVE_MS = 1000;

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

export interface Hit {
  /** Number of the solid inside; -1 for the hull or a fin. */
  thing: number;
  station_m: number;
}

export interface Turn {
  roll: number;
  side: number;
  lift: number;
  /** How much nearer than where all of it is seen. */
  zoom: number;
  /** Where the eye looks along the axis: -1 at the tail, 1 at the tip. */
  along: number;
}

/** The vehicle lying tip to the left, as in the report, drawn only when something has changed. */
export class PictureScene {
  #renderer: WebGLRenderer;
  #scene = new Scene();
  #camera = newCamera();
  #body = new Group();
  #marks = new Group();
  #plates = new Group();
  #hull: Mesh | null = null;
  /** The hull with few triangles: while it turns, any machine draws it as fast as the eye sees. */
  #coarse: Mesh | null = null;
  #pressed = new Group();
  #turning = 0;
  #turnedAt = -ONE_MOVE_MS;
  #data: PictureData | null = null;
  #frame: Frame = { halfLength: 1, hull: 1, fins: 1 };
  #hullReach = 0;
  #turn: Turn = { roll: 0, side: 0, lift: 0, zoom: 1, along: 0 };
  #cut = 0;
  #things = new Group();
  #picked = new Group();
  #planes: Plane[] = [];
  #asked = 0;
  #drawn: (spots: Spots) => void;

  constructor(canvas: HTMLCanvasElement, drawn: (spots: Spots) => void) {
    this.#renderer = rendererOn(canvas);
    this.#drawn = drawn;
    this.#scene.add(...lights(), this.#body, this.#marks, this.#picked);
    this.#body.add(this.#plates, this.#things, this.#pressed);
    this.#renderer.localClippingEnabled = true;
  }

  /** Solids inside: seen where the hull is cut away. */
  setThings(things: PageThing[]): void {
    empty(this.#things);
    for (const [number, thing] of things.entries()) {
      const color = pageColor(number % 2 ? "--hull-pulled" : "--hull-pushed");
      this.#things.add(thingMesh(thing, new MeshStandardMaterial({ color, roughness: 0.6 })));
    }
    this.cutTo(this.#cut);
  }

  /** Cut away what is nearer to the eye than a plane: a share of the way through. */
  cutTo(share: number): void {
    this.#cut = share;
    const reach = Math.max(this.#frame.hull, this.#frame.fins);
    // The eye is on the side of negative z: what lies behind the plane stays.
    this.#planes = share > 0 ? [new Plane(new Vector3(0, 0, 1), reach * (1 - 2 * share))] : [];
    this.#things.visible = share > 0;
    for (const part of [this.#hull, this.#pressed.children[0], ...this.#plates.children]) {
      part?.traverse((one) => {
        if (!(one instanceof Mesh)) return;
        const material = one.material as MeshStandardMaterial;
        material.clippingPlanes = this.#planes;
        material.side = share > 0 ? DoubleSide : FrontSide;
        material.needsUpdate = true;
      });
    }
    this.draw();
  }

  /** What is seen at a place of the picture: a solid inside by its number, or the hull or a fin at a station. */
  hit(x: number, y: number): Hit | null {
    const { width, height } = this.#renderer.domElement.getBoundingClientRect();
    const ray = new Raycaster();
    ray.setFromCamera(new Vector2((2 * x) / width - 1, 1 - (2 * y) / height), this.#camera);
    const outside = this.#pressed.visible ? [this.#pressed.children[0]!] : [this.#hull, this.#plates];
    const solids = [...outside, ...(this.#things.visible ? [this.#things] : [])].filter((one) => one !== null);
    for (const seen of ray.intersectObjects(solids, true)) {
      const thing = this.#things.children.indexOf(seen.object);
      // A ray knows nothing of what is cut away.
      if (thing < 0 && this.#planes.some((plane) => plane.distanceToPoint(seen.point) < 0)) continue;
      return { thing, station_m: this.#frame.halfLength - seen.point.x };
    }
    return null;
  }

  /** Mark what was picked, through whatever hides it: a solid as a whole, a stretch of the hull by two rings. */
  mark(thing: number, span: [number, number] | null): void {
    empty(this.#picked);
    const solid = this.#things.children[thing];
    if (solid instanceof Mesh) this.#picked.add(shownThrough(solid, this.#frame, pageColor("--ink")));
    else if (span) this.#picked.add(...span.map((station) => weakRing(station, this.#frame, pageColor("--ink"))));
    this.draw();
  }

  /** A hull in place of the one before, which goes with its coarse one. */
  setMesh(mesh: MeshData, data: PictureData, tint: Tint): void {
    for (const old of [this.#hull, this.#coarse]) {
      if (!old) continue;
      this.#body.remove(old);
      old.geometry.dispose();
    }
    (this.#hull?.material as Material | undefined)?.dispose();
    this.#coarse = null;
    this.#hull = new Mesh(hullGeometry(mesh, data.length_m), new MeshStandardMaterial({ flatShading: true, roughness: 0.85 }));
    this.#body.add(this.#hull);
    this.#hullReach = hullReach(mesh);
    this.show(data, tint);
  }

  /** A hull to draw while the view turns. */
  setCoarse(mesh: MeshData): void {
    if (!this.#hull || !this.#data) return;
    this.#coarse = new Mesh(hullGeometry(mesh, this.#data.length_m), this.#hull.material);
    this.#coarse.visible = false;
    this.#body.add(this.#coarse);
  }

  /** Pressures of one wind in place of hull and fins; none, and these are seen again. */
  press(pressed: Pressed | null): void {
    empty(this.#pressed);
    if (pressed && this.#data) {
      const material = new MeshStandardMaterial({ flatShading: true, roughness: 0.85, map: pageStrip(pressed) });
      this.#pressed.add(new Mesh(pressedGeometry(pressed, this.#data.length_m), material));
      const arrow = windArrow(pressed.wind.towards, this.#frame, pageColor("--ink"));
      this.#pressed.add(arrow);
    }
    this.#lookAtOne();
    this.cutTo(this.#cut);
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
    else if (tint === "walls") this.#markWeakest(data, frame);
    this.#tintHull(data, tint);
    this.#lookAtOne();
    this.cutTo(this.#cut);
  }

  turnTo(turn: Turn): void {
    this.#turn = turn;
    clearTimeout(this.#turning);
    const gap = performance.now() - this.#turnedAt;
    this.#turnedAt += gap;
    this.#turning = window.setTimeout(() => this.#rest(), gap < ONE_MOVE_MS ? Math.max(REST_MS, 3 * gap) : REST_MS);
    this.#lookAtOne();
    this.draw();
  }

  #rest(): void {
    this.#turning = 0;
    this.#lookAtOne();
    if (this.#coarse) this.draw();
  }

  /** The hull whole or with few triangles, or pressures in its place. */
  #lookAtOne(): void {
    const pressed = this.#pressed.children.length > 0;
    const turning = this.#turning !== 0 && this.#coarse !== null;
    this.#pressed.visible = pressed;
    this.#plates.visible = !pressed;
    if (this.#hull) this.#hull.visible = !pressed && !turning;
    if (this.#coarse) this.#coarse.visible = !pressed && turning;
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

  /** The picture as a file, drawn for it: what was drawn before may be gone from the card's memory. */
  snapshot(taken: (file: Blob) => void): void {
    this.#drawNow();
    this.#renderer.domElement.toBlob((file) => file && taken(file), "image/png");
  }

  /** The picture as flat pieces, the farthest first; of a coarser hull where one is given. */
  facets(coarse: MeshData | null): Facet[] {
    this.#drawNow();
    const { width, height } = this.#renderer.domElement.getBoundingClientRect();
    this.#rest();
    const hull = this.#pressed.visible ? null : this.#hull;
    const other = coarse && hull && this.#data ? new Mesh(hullGeometry(coarse, this.#data.length_m), hull.material) : null;
    if (other) this.#body.add(other);
    if (other && hull) hull.visible = false;
    const found = facetsOf(this.#scene, this.#camera, [width, height], (2 * this.#frame.halfLength) / LONGEST_SHARE);
    if (hull) hull.visible = true;
    if (other) this.#body.remove(other);
    other?.geometry.dispose();
    return found;
  }

  close(): void {
    cancelAnimationFrame(this.#asked);
    clearTimeout(this.#turning);
    empty(this.#body);
    empty(this.#marks);
    empty(this.#picked);
    this.#renderer.dispose();
  }

  #drawNow(): void {
    this.#asked = 0;
    if (!this.#data) return;
    const frame = this.#frame;
    this.#body.position.x = frame.halfLength;
    // Roll 0 is drawn upwards, as in the report's side view.
    this.#body.rotation.x = this.#turn.roll;
    this.#picked.rotation.x = this.#turn.roll;
    this.#placeCamera(frame);
    this.#renderer.render(this.#scene, this.#camera);
    this.#drawn(this.#spots(frame, this.#data));
  }

  #placeCamera(frame: Frame): void {
    const toFitWide = (frame.halfLength * 1.12) / (HALF_SEEN * this.#camera.aspect);
    const high = Math.max(frame.fins * 1.05, frame.hull * 1.9);
    const least = Math.max(toFitWide, high / HALF_SEEN) + frame.hull;
    const { distance, look } = fitted(this.#camera, this.#turn, least, rimsOf(frame, this.#data?.fins ?? []));
    lookFrom(this.#camera, this.#turn, distance / this.#turn.zoom, look + this.#turn.along * frame.halfLength);
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

function pageStrip({ edges, bands }: Pressed): DataTexture {
  const colors = bands.map((_, band) => pageColor(`--cp-${band}`));
  return pressureStrip(edges, colors, [pageColor("--left-unknown"), pageColor("--left-unknown-ring")]);
}

function empty(group: Group): void {
  group.traverse((part: Object3D) => {
    if (!(part instanceof Mesh || part instanceof LineSegments)) return;
    part.geometry.dispose();
    for (const material of [part.material].flat() as Material[]) material.dispose();
  });
  group.clear();
}
