import type { Typed } from "./edits.ts";
import type { Answer, MeshData, Question, SheetForm, Vehicle } from "./records.ts";

interface Fault {
  field: string;
  given: string;
  accepted: string;
  likely_slip: string;
}

/** The server's no, with what the sheet's own reader says to each place. */
export class Refused extends Error {
  status: number;
  faults: Record<string, string>;

  constructor(message: string, status: number, faults: Fault[]) {
    super(message);
    this.status = status;
    this.faults = Object.fromEntries(faults.map((fault) => [fault.field, said(fault)]));
  }
}

function said({ given, accepted, likely_slip }: Fault): string {
  return [`given: ${given}`, `accepted: ${accepted}`, ...(likely_slip ? [`likely: ${likely_slip}`] : [])].join("; ");
}

async function checked(response: Response): Promise<Response> {
  if (response.ok) return response;
  const told = await response.json().catch(() => null);
  throw new Refused(told?.error ?? `the server answered ${response.status}`, response.status, told?.faults ?? []);
}

function posted(question: unknown): RequestInit {
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(question) };
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
  return (await checked(await fetch("/api/what-if", posted(question)))).json();
}

export async function fetchSheet(): Promise<SheetForm> {
  return (await checked(await fetch("/api/sheet"))).json();
}

export async function fetchRevision(): Promise<string> {
  return (await (await checked(await fetch("/api/revision"))).json()).revision;
}

/** Write what was typed into the sheet, if it is still of that revision. */
export async function saveSheet(sheet: Typed, revision: string): Promise<void> {
  await checked(await fetch("/api/save", posted({ sheet, revision })));
}

/** Have the server read the sheet from disk and answer it anew. */
export async function readAgain(): Promise<void> {
  await checked(await fetch("/api/read-again", posted({})));
}
