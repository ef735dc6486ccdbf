import assert from "node:assert/strict";
import { test } from "node:test";
import { BoxGeometry, Mesh, MeshBasicMaterial, MeshStandardMaterial, PerspectiveCamera, Plane, PlaneGeometry, Scene, Vector3 } from "three";
import { facetsOf } from "../src/picture/facets.ts";
import { facetsSvg } from "../src/picture/facetsSvg.ts";

const SIZE = [200, 100] as const;

function looking(...parts: Mesh[]): { scene: Scene; camera: PerspectiveCamera } {
  const scene = new Scene();
  scene.add(...parts);
  const camera = new PerspectiveCamera(24, 2, 0.01, 100);
  camera.position.set(0, 0, -10);
  camera.lookAt(0, 0, 0);
  return { scene, camera };
}

const box = (color: string, z = 0): Mesh => {
  const made = new Mesh(new BoxGeometry(1, 1, 1), new MeshStandardMaterial({ color }));
  made.position.z = z;
  return made;
};

test("only what faces the eye is drawn, in the middle of the picture", () => {
  const { scene, camera } = looking(box("#ffffff"));
  const found = facetsOf(scene, camera, SIZE, 9);
  assert.equal(found.length, 2);
  const across = found.flatMap((one) => one.points.map(([x]) => x));
  assert.ok(Math.abs((Math.min(...across) + Math.max(...across)) / 2 - 100) < 1e-9);
});

test("what is farther stands first, and long pieces are split", () => {
  const { scene, camera } = looking(box("#ff0000", 2), box("#0000ff", -2));
  const found = facetsOf(scene, camera, SIZE, 9);
  assert.deepEqual(found.map((one) => one.fill.slice(1, 3) === "00"), [false, false, true, true]);
  assert.equal(facetsOf(scene, camera, SIZE, 1).length, 8);
});

test("what is cut away is not drawn, and a piece across the plane only in part", () => {
  const cut = box("#ffffff");
  (cut.material as MeshStandardMaterial).clippingPlanes = [new Plane(new Vector3(1, 0, 0), 0)];
  const { scene, camera } = looking(cut);
  const across = facetsOf(scene, camera, SIZE, 9).flatMap((one) => one.points.map(([x]) => x));
  // The eye looks along positive z: what lies at positive x is on the left.
  assert.ok(Math.max(...across) <= 100 + 1e-9 && Math.min(...across) < 90);
});

test("marks that nothing hides come last, as see-through as they are", () => {
  const mark = new Mesh(new PlaneGeometry(1, 1), new MeshBasicMaterial({ color: "#123456", depthTest: false, transparent: true, opacity: 0.5 }));
  mark.rotation.y = Math.PI;
  mark.position.z = 5;
  const { scene, camera } = looking(mark, box("#ffffff"));
  const last = facetsOf(scene, camera, SIZE, 9).at(-1)!;
  assert.deepEqual([last.fill, last.opacity], ["#123456", 0.5]);
});

test("neighbours of one colour are one path, and words are words", () => {
  const facet = (fill: string, opacity = 1) => ({ points: [[0, 0], [1, 0], [0, 1]] as [number, number][], fill, opacity, far: 1, over: 0 });
  const svg = facetsSvg([facet("#111111"), facet("#111111"), facet("#222222"), facet("#111111", 0.2)], {
    title: "A & B", says: "it <says>", size: SIZE, ground: "#ffffff", words: [{ at: [1, 2], text: "1 < 2", fill: "#000000" }],
  });
  assert.equal(svg.match(/<path/g)!.length, 3);
  assert.match(svg, /<title>A &amp; B<\/title><desc>it &lt;says><\/desc>/);
  assert.match(svg, /fill-opacity="0.2"/);
  assert.match(svg, /1 &lt; 2<\/text>/);
});
