import {
  ConeGeometry,
  CylinderGeometry,
  DoubleSide,
  EdgesGeometry,
  Group,
  LatheGeometry,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  TorusGeometry,
  Vector2,
  Vector3,
  type ColorRepresentation,
} from "three";
import type { Spread } from "../records.ts";

/** Sizes of the marks, all from the vehicle's own: its length, and how far hull and fins reach from the axis. */
export interface Frame {
  halfLength: number;
  hull: number;
  fins: number;
}

/** Heights of the marks above the axis (below, when negative). */
export function levels(frame: Frame) {
  return { threadTop: frame.hull * 1.75, bar: frame.hull * 1.4, rule: -frame.hull * 1.3, bob: -frame.hull * 1.6 };
}

/** Where a station lies along the axis, forward positive; the eye sees the tip on the left. */
export function along(stationM: number, frame: Frame): number {
  return frame.halfLength - stationM;
}

/**
 * The balance point: the vehicle hangs from a thread there, with a bob below.
 *
 * The bar on the thread spans the stations the balance point may lie at.
 */
export function plumbLine(balance: Spread, frame: Frame, ink: ColorRepresentation): Group {
  const material = new MeshBasicMaterial({ color: ink, depthTest: false, transparent: true });
  const thin = frame.halfLength * 0.0045;
  const { threadTop: top, bob: bottom, bar: barLevel } = levels(frame);
  const group = new Group();
  const thread = new Mesh(new CylinderGeometry(thin, thin, top - bottom, 8), material);
  thread.position.set(along(balance.value, frame), (top + bottom) / 2, 0);
  const bob = new Mesh(bobGeometry(frame.halfLength * 0.035), material);
  bob.position.set(along(balance.value, frame), bottom, 0);
  const bar = horizontalBar(balance.low, balance.high, frame, thin * 2.2, material);
  bar.position.y = barLevel;
  group.add(thread, bob, bar);
  group.children.forEach((part) => (part.renderOrder = 3));
  return group;
}

/** Where the wind comes from: an arrow that ends ahead of the shape, in body axes. */
export function windArrow(towards: readonly [number, number, number], { halfLength, hull }: Frame, ink: ColorRepresentation): Group {
  const material = new MeshBasicMaterial({ color: ink });
  const [long, thick] = [halfLength * 0.22, halfLength * 0.008];
  const shaft = new Mesh(new CylinderGeometry(thick, thick, long, 10), material);
  const head = new Mesh(new ConeGeometry(thick * 3, thick * 8, 16), material);
  shaft.position.y = -long / 2 - thick * 8;
  head.position.y = -thick * 4;
  const group = new Group();
  group.add(shaft, head);
  group.quaternion.setFromUnitVectors(new Vector3(0, 1, 0), new Vector3(...towards));
  // Off the axis where it blows across, so that it points at the shape and not along its flank.
  group.position.set(halfLength * 0.02, -towards[1] * hull, -towards[2] * hull);
  return group;
}

/** The pressure band: a sleeve of air round the stations the push of the wind may act at. */
export function pressureSleeve(band: Spread, frame: Frame, air: ColorRepresentation): Group {
  const radius = frame.hull * 1.06;
  const span = Math.max(band.high - band.low, frame.halfLength * 0.004);
  const group = new Group();
  const wall = new Mesh(
    new CylinderGeometry(radius, radius, span, 72, 1, true),
    new MeshBasicMaterial({ color: air, transparent: true, opacity: 0.2, side: DoubleSide, depthWrite: false }),
  );
  wall.rotation.z = Math.PI / 2;
  wall.position.x = along((band.low + band.high) / 2, frame);
  wall.renderOrder = 1;
  group.add(wall, hoop(band.low, 2.2, frame, radius, air), hoop(band.high, 1.2, frame, radius, air));
  return group;
}

/** The margin: a rule from the balance point to the forward, bad, end of the band. */
export function marginRule(balanceM: number, forwardM: number, frame: Frame, color: ColorRepresentation): Mesh {
  const material = new MeshBasicMaterial({ color, depthTest: false, transparent: true });
  const rule = horizontalBar(balanceM, forwardM, frame, frame.halfLength * 0.006, material);
  rule.position.y = levels(frame).rule;
  rule.renderOrder = 2;
  return rule;
}

/** A ring round the hull where least is left. */
export function weakRing(stationM: number, frame: Frame, ink: ColorRepresentation): Mesh {
  return hoop(stationM, 2.2, frame, frame.hull * 1.06, ink);
}

/** A solid inside once more, over everything that hides it, with its edges; in the axes of the marks. */
export function shownThrough(solid: Mesh, frame: Frame, ink: ColorRepresentation): Group {
  const group = new Group();
  const seen = new Mesh(solid.geometry.clone(), new MeshBasicMaterial({ color: ink, depthTest: false, transparent: true, opacity: 0.45 }));
  const edges = new LineSegments(new EdgesGeometry(solid.geometry, 30), new LineBasicMaterial({ color: ink, depthTest: false }));
  group.add(seen, edges);
  group.position.copy(solid.position).setX(solid.position.x + frame.halfLength);
  group.quaternion.copy(solid.quaternion);
  group.renderOrder = 3;
  return group;
}

function horizontalBar(fromM: number, toM: number, frame: Frame, radius: number, material: MeshBasicMaterial): Mesh {
  const bar = new Mesh(new CylinderGeometry(radius, radius, Math.max(Math.abs(toM - fromM), radius), 8), material);
  bar.rotation.z = Math.PI / 2;
  bar.position.x = along((fromM + toM) / 2, frame);
  return bar;
}

function hoop(stationM: number, weight: number, frame: Frame, radius: number, ink: ColorRepresentation): Mesh {
  const tube = frame.halfLength * 0.002 * weight;
  const ring = new Mesh(new TorusGeometry(radius, tube, 8, 96), new MeshBasicMaterial({ color: ink }));
  ring.rotation.y = Math.PI / 2;
  ring.position.x = along(stationM, frame);
  return ring;
}

/** A plumb bob, point down. */
function bobGeometry(size: number): LatheGeometry {
  const half = [
    [0, -1.7],
    [0.75, -0.35],
    [0.8, 0],
    [0.45, 0.35],
    [0.2, 0.5],
    [0, 0.5],
  ];
  return new LatheGeometry(half.map(([x, y]) => new Vector2(x! * size, y! * size)), 32);
}
