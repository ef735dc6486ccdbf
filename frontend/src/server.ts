import type { Answer, MeshData, Question, Vehicle } from "./records.ts";

async function checked(response: Response): Promise<Response> {
  if (response.ok) return response;
  const told = await response.json().catch(() => null);
  throw new Error(told?.error ?? `the server answered ${response.status}`);
}

export async function fetchVehicle(): Promise<Vehicle> {
  return (await checked(await fetch("/api/vehicle"))).json();
}

export async function fetchMesh(): Promise<MeshData> {
  const bytes = await (await checked(await fetch("/api/mesh"))).arrayBuffer();
  return readMesh(bytes);
}

/** Two counts, then float32 corners in metres, then uint32 corner numbers; little-endian. */
export function readMesh(bytes: ArrayBuffer): MeshData {
  const [corners, faces] = new Uint32Array(bytes, 0, 2) as unknown as [number, number];
  const afterCorners = 8 + corners * 12;
  return {
    vertices: new Float32Array(bytes, 8, corners * 3),
    faces: new Uint32Array(bytes, afterCorners, faces * 3),
  };
}

export async function askWhatIf(question: Question): Promise<Answer> {
  const response = await fetch("/api/what-if", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(question),
  });
  return (await checked(response)).json();
}
