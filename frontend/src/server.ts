import type { Typed } from "./edits.ts";
import type { AlongBody, Answer, FindingWay, MeshData, PageBegun, PageFilm, PageFlow, PagePhotos, PagePressure, PageTower, PageCut, PageMoving, Question, SharedPage, SheetForm, Vehicle } from "./records.ts";

const told_here = document.getElementById("shared")?.textContent;

/** What a page that was sent holds in place of a server; null where there is one. */
export const SHARED: SharedPage | null = told_here ? JSON.parse(told_here) : null;

/** Units that were asked for; empty for those of the sheet. */
let units: "" | "metric" | "us" = "";

export function setUnits(wanted: "metric" | "us"): void {
  units = wanted;
}

/** An address with the units that were asked for. */
export const inUnits = (address: string): string => (units ? `${address}?units=${units}` : address);

export interface Fault {
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
    this.faults = atPlaces(faults);
  }
}

/** What the reader says to each place. */
export function atPlaces(faults: readonly Fault[]): Record<string, string> {
  return Object.fromEntries(faults.map((fault) => [fault.field, said(fault)]));
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

/** Ask for what an address tells. */
export async function told<Told>(address: string): Promise<Told> {
  return (await checked(await fetch(address))).json();
}

/** Send a question, and return what comes back. */
export async function asked<Told>(address: string, question: unknown): Promise<Told> {
  return (await checked(await fetch(address, posted(question)))).json();
}

/** The whole answer, that to a sheet which is only begun, or a draft. */
export const fetchStart = async (): Promise<Vehicle | PageBegun | PageTower | PagePhotos> => sharedVehicle() ?? told(inUnits("/api/vehicle"));

/** What a sheet that is only begun answers with what was typed. */
export const askBegun = (sheet: Typed): Promise<PageBegun> => asked(inUnits("/api/what-if"), { sheet });

export const fetchVehicle = async (): Promise<Vehicle> => sharedVehicle() ?? told(inUnits("/api/vehicle"));

function sharedVehicle(): Vehicle | undefined {
  return units && SHARED && SHARED.vehicle.us_units !== (units === "us") ? SHARED.other_units : SHARED?.vehicle;
}

export const fetchAlong = async (question: Question): Promise<AlongBody> => SHARED?.along ?? asked(inUnits("/api/along"), question);

/** The cut across at a station [m], of what is tried; in a copy the nearest that it holds. */
export const askAcross = async (station_m: number, question: Question): Promise<PageCut> =>
  nearestCut(station_m) ?? asked(`/api/across?station_m=${station_m}${units ? `&units=${units}` : ""}`, question);

function nearestCut(station_m: number): PageCut | undefined {
  const away = (cut: PageCut): number => Math.abs(cut.station_m - station_m);
  return SHARED?.cuts.toSorted((one, other) => away(one) - away(other))[0];
}

/** Everything that moves, of what is tried; `start` has its whole look taken. */
export const askMoving = async (question: Question, start: boolean): Promise<PageMoving> =>
  SHARED?.moving ?? asked(`/api/moving?start=${start ? "yes" : "no"}${units ? `&units=${units}` : ""}`, question);

export const fetchWay = async (key: string): Promise<FindingWay> => SHARED?.ways[key] ?? told(`/api/ways/${key}`);


const bytesOf = (base64: string): ArrayBuffer => Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)).buffer;

export async function fetchMesh(): Promise<MeshData> {
  if (SHARED) return readMesh(bytesOf(SHARED.hull));
  return meshAt("/api/mesh");
}

/** The hull with so few triangles that a drawing of them is a small file; null where there is none but the one shown. */
export const fetchCoarseMesh = async (): Promise<MeshData | null> => (SHARED ? null : meshAt("/api/mesh?for=drawing"));

const meshAt = async (address: string): Promise<MeshData> => readMesh(await (await checked(await fetch(address))).arrayBuffer());

export const fetchPressure = async (): Promise<PagePressure> => SHARED?.pressure?.told ?? told(inUnits("/api/pressure"));

/** Triangles of the whole shape that pressures are shown on. */
export const fetchPressureMesh = async (): Promise<MeshData> => (SHARED?.pressure ? readMesh(bytesOf(SHARED.pressure.mesh)) : meshAt("/api/pressure/mesh"));

/** Hundredths of the pressure coefficient on each of them, in one of the winds. */
export const fetchPressed = async (wind: number): Promise<Int16Array> =>
  new Int16Array(SHARED?.pressure ? bytesOf(SHARED.pressure.hundredths[wind]!) : await (await checked(await fetch(`/api/pressure/${wind}`))).arrayBuffer());

/** The air round the shape as the tunnel's kept runs saw it. */
export const fetchFlow = async (): Promise<PageFlow> => SHARED?.flow ?? told(inUnits("/api/flow"));

/** Moments of one of its winds. */
export const fetchFilm = (wind: number): Promise<PageFilm> => told(`/api/flow/${wind}`);

/** Address of the section's picture. */
export const insideAddress = (): string =>
  SHARED ? `data:image/svg+xml;utf8,${encodeURIComponent(SHARED.inside)}` : inUnits("/api/inside");

/** Two counts, then float32 corners in metres, then uint32 corner numbers; little-endian. */
export function readMesh(bytes: ArrayBuffer): MeshData {
  const [corners, faces] = new Uint32Array(bytes, 0, 2) as unknown as [number, number];
  const afterCorners = 8 + corners * 12;
  return {
    vertices: new Float32Array(bytes, 8, corners * 3),
    faces: new Uint32Array(bytes, afterCorners, faces * 3),
  };
}

export const askWhatIf = (question: Question): Promise<Answer> => asked(inUnits("/api/what-if"), question);

export const fetchSheet = (): Promise<SheetForm> => told("/api/sheet");

export async function fetchRevision(): Promise<string> {
  return (await (await checked(await fetch("/api/revision"))).json()).revision;
}

/** Write what was typed into the sheet, if it is still of that revision. */
export async function saveSheet(sheet: Typed, revision: string): Promise<void> {
  await checked(await fetch("/api/save", posted({ sheet, revision })));
}

/** Put a new table at the end of the sheet, if it is still of that revision. */
export async function addTable(table: string, values: Typed, revision: string): Promise<void> {
  await checked(await fetch("/api/add", posted({ table, values, revision })));
}

/** Take a table out of the sheet, if it is still of that revision. */
export async function takeTableAway(table: string, revision: string): Promise<void> {
  await checked(await fetch("/api/take-away", posted({ table, revision })));
}

/** Have the server read the sheet from disk and answer it anew. */
export async function readAgain(): Promise<void> {
  await checked(await fetch("/api/read-again", posted({})));
}
