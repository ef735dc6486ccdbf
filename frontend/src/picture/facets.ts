import {
  Color,
  DataTexture,
  DoubleSide,
  Mesh,
  MeshStandardMaterial,
  Triangle,
  Vector3,
  type BufferAttribute,
  type InterleavedBufferAttribute,
  type MeshBasicMaterial,
  type PerspectiveCamera,
  type Plane,
  type Scene,
} from "three";
import { LIT_BY } from "./studio.ts";

/** Pieces of a drawing are no longer than this part of the vehicle's length. */
export const LONGEST_SHARE = 40;

/** A flat piece of what is seen, in pixels from the picture's top left. */
export interface Facet {
  points: readonly (readonly [number, number])[];
  fill: string;
  opacity: number;
  /** Distance from the eye. */
  far: number;
  /** What hides nothing and is hidden by nothing stands over the rest, in this order. */
  over: number;
}

type Seen = MeshStandardMaterial | MeshBasicMaterial;
type Corner = { at: Vector3; along: number };

/** Everything a scene shows, as flat pieces, the farthest first; those that are long are split, so that they sort well. */
export function facetsOf(scene: Scene, camera: PerspectiveCamera, [wide, high]: readonly [number, number], longest: number): Facet[] {
  scene.updateMatrixWorld();
  camera.updateMatrixWorld();
  const found: Facet[] = [];
  const onPage = ({ at }: Corner): [number, number] => {
    const seen = at.clone().project(camera);
    return [((seen.x + 1) / 2) * wide, ((1 - seen.y) / 2) * high];
  };
  scene.traverseVisible((part) => {
    if (!(part instanceof Mesh)) return;
    const material = part.material as Seen;
    const over = material.depthTest ? 0 : 1 + part.renderOrder;
    for (const whole of trianglesOf(part)) {
      const normal = new Triangle(...whole.map((corner) => corner.at) as [Vector3, Vector3, Vector3]).getNormal(new Vector3());
      const towards = normal.dot(camera.position.clone().sub(whole[0]!.at));
      if (towards <= 0 && material.side !== DoubleSide) continue;
      if (towards < 0) normal.negate();
      for (const piece of over || material.transparent ? [whole] : split(whole, longest)) {
        const kept = (material.clippingPlanes ?? []).reduce<Corner[]>(behind, piece);
        if (kept.length < 3) continue;
        found.push({ points: kept.map(onPage), fill: shade(material, kept, normal), opacity: material.opacity, far: distance(kept, camera.position), over });
      }
    }
  });
  return found.sort((one, other) => one.over - other.over || other.far - one.far);
}

function* trianglesOf(mesh: Mesh): Generator<Corner[]> {
  const { position, uv } = mesh.geometry.attributes as Record<string, BufferAttribute | InterleavedBufferAttribute>;
  const { index } = mesh.geometry;
  const corner = (number: number): Corner => {
    const vertex = index ? index.getX(number) : number;
    return { at: new Vector3().fromBufferAttribute(position!, vertex).applyMatrix4(mesh.matrixWorld), along: uv?.getX(vertex) ?? 0 };
  };
  const count = index ? index.count : position!.count;
  for (let at = 0; at + 2 < count; at += 3) yield [corner(at), corner(at + 1), corner(at + 2)];
}

const between = (one: Corner, other: Corner, share: number): Corner => ({
  at: one.at.clone().lerp(other.at, share),
  along: one.along + share * (other.along - one.along),
});

/** Halve a triangle across its longest side until none is longer. */
function split(corners: Corner[], longest: number): Corner[][] {
  const sides = corners.map((corner, number) => corner.at.distanceTo(corners[(number + 1) % 3]!.at));
  const side = Math.max(...sides);
  if (side <= longest) return [corners];
  const number = sides.indexOf(side);
  const [a, b, c] = [corners[number]!, corners[(number + 1) % 3]!, corners[(number + 2) % 3]!];
  const middle = between(a, b, 0.5);
  return [...split([a, middle, c], longest), ...split([middle, b, c], longest)];
}

/** What of a piece lies on the side of a plane that is kept. */
function behind(corners: Corner[], plane: Plane): Corner[] {
  return corners.flatMap((corner, number) => {
    const next = corners[(number + 1) % corners.length]!;
    const [here, there] = [plane.distanceToPoint(corner.at), plane.distanceToPoint(next.at)];
    const crossing = here < 0 !== there < 0 ? [between(corner, next, here / (here - there))] : [];
    return here < 0 ? crossing : [corner, ...crossing];
  });
}

function distance(corners: Corner[], eye: Vector3): number {
  return corners.reduce((sum, corner) => sum + corner.at.distanceTo(eye), 0) / corners.length;
}

/** Its colour, lit as on the screen but for what shines. */
function shade(material: Seen, corners: Corner[], normal: Vector3): string {
  const color = material.color.clone();
  if (!(material instanceof MeshStandardMaterial)) return `#${color.getHexString()}`;
  if (material.map instanceof DataTexture) color.multiply(tintAt(material.map, corners));
  const { key, from, sky, ground, all } = LIT_BY;
  const open = new Color(ground).lerp(new Color(sky), 0.5 + 0.5 * normal.y).multiplyScalar(all);
  const sun = key * Math.max(normal.dot(new Vector3(...from).normalize()), 0);
  color.multiply(open.addScalar(sun).multiplyScalar(1 / Math.PI));
  for (const part of ["r", "g", "b"] as const) color[part] = Math.min(color[part], 1);
  return `#${color.getHexString()}`;
}

function tintAt(strip: DataTexture, corners: Corner[]): Color {
  const { data, width } = strip.image as { data: Uint8Array; width: number };
  const along = corners.reduce((sum, corner) => sum + corner.along, 0) / corners.length;
  const at = 4 * Math.min(Math.max(Math.floor(along * width), 0), width - 1);
  return new Color().setRGB(data[at]! / 255, data[at + 1]! / 255, data[at + 2]! / 255, "srgb");
}
