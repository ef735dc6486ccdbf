import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  ExtrudeGeometry,
  Group,
  LatheGeometry,
  Mesh,
  Quaternion,
  Shape,
  Vector2,
  Vector3,
  type Material,
} from "three";
import type { MeshData, PageThing, Plates } from "../records.ts";

/** The hull, in body axes; `uv.x` is the station over the length, so a strip of colours can tint it. */
export function hullGeometry(mesh: MeshData, lengthM: number): BufferGeometry {
  const corners = mesh.vertices.length / 3;
  const along = new Float32Array(corners * 2);
  for (let corner = 0; corner < corners; corner += 1) {
    along[2 * corner] = -mesh.vertices[3 * corner]! / lengthM;
    along[2 * corner + 1] = 0.5;
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new BufferAttribute(mesh.vertices, 3));
  geometry.setAttribute("uv", new BufferAttribute(along, 2));
  geometry.setIndex(new BufferAttribute(mesh.faces, 1));
  return geometry;
}

/** All plates of one set, in body axes: x forward, roll angle from y towards z. */
export function plateGroup(plates: Plates, material: Material): Group {
  const geometry = plateGeometry(plates);
  const group = new Group();
  for (let number = 0; number < plates.count; number += 1) {
    const roll = new Group();
    roll.position.set(0, ...plates.offset_m);
    roll.rotation.x = plates.first_at_rad + (2 * Math.PI * number) / plates.count;
    const plate = new Mesh(geometry, material);
    plate.position.set(-plates.station_m, plates.root_radius_m, 0);
    // A canted plate turns about the line that runs outward from its root.
    plate.rotation.y = plates.cant_rad;
    roll.add(plate);
    group.add(roll);
  }
  return group;
}

function plateGeometry(plates: Plates): BufferGeometry {
  const outline = new Shape();
  plates.outline_m.forEach(([along, outward], corner) => {
    if (corner === 0) outline.moveTo(-along, outward);
    else outline.lineTo(-along, outward);
  });
  outline.closePath();
  const geometry = new ExtrudeGeometry(outline, { depth: plates.thickness_m, bevelEnabled: false });
  geometry.translate(0, 0, -plates.thickness_m / 2);
  return geometry;
}

/** A solid inside, in body axes: a cylinder, a tube where it has a bore, or a box. */
export function thingMesh(thing: PageThing, material: Material): Mesh {
  const mesh = new Mesh(thingGeometry(thing), material);
  mesh.position.set(-thing.middle_m, ...thing.offset_m);
  const lean = Math.sin(thing.tilt_rad);
  const axis = new Vector3(Math.cos(thing.tilt_rad), lean * Math.cos(thing.toward_rad), lean * Math.sin(thing.toward_rad));
  const forward = new Vector3(1, 0, 0);
  mesh.quaternion.setFromUnitVectors(forward, axis).multiply(new Quaternion().setFromAxisAngle(forward, thing.roll_rad));
  return mesh;
}

function thingGeometry({ length_m: length, across_m: across, depth_m: depth, bore_m: bore }: PageThing): BufferGeometry {
  if (depth > 0) return new BoxGeometry(length, across, depth);
  const [inner, outer, end] = [bore / 2, across / 2, length / 2];
  const round = [[inner, -end], [outer, -end], [outer, end], [inner, end], [inner, -end]];
  return new LatheGeometry(round.map(([x, y]) => new Vector2(x, y)), 48).rotateZ(-Math.PI / 2);
}

/** Largest distance of the hull from the axis. */
export function hullReach(mesh: MeshData): number {
  let most = 0;
  for (let at = 0; at < mesh.vertices.length; at += 3) {
    most = Math.max(most, Math.hypot(mesh.vertices[at + 1]!, mesh.vertices[at + 2]!));
  }
  return most;
}

/** Largest distance of any plate from the axis. */
export function plateReach(sets: Plates[]): number {
  return Math.max(
    0,
    ...sets.map(
      (set) =>
        Math.hypot(...set.offset_m) + set.root_radius_m + Math.max(...set.outline_m.map(([, outward]) => outward)),
    ),
  );
}
