/** Made by frontend/make_records.py from the server's records: do not edit. */

export type Verdict = "go" | "caution" | "not known" | "no-go";

/** What the hull is tinted by. */
export type Tint = "wind" | "walls" | "pressure";

/** The hull as it is drawn; its own format, see server.ts. */
export interface MeshData {
  vertices: Float32Array;
  faces: Uint32Array;
}

/** Everything the page needs at its start, with the answer to the sheet as written. */
export interface Vehicle {
  kind: "whole";
  name: string;
  note: string;
  sheet: string;
  us_units: boolean;
  caution: string;
  ballast: BallastControl[];
  fins: FinControl | null;
  inside: InsideData | null;
  things: PageThing[];
  parts: PagePart[];
  /** Of the meshes; fewer may be drawn. */
  hull_triangles: number;
  answer: Answer;
}

/** One item whose mass may be changed; unit_kg is one shown unit in kilograms. */
export interface BallastControl {
  name: string;
  mass_kg: number;
  min_kg: number;
  max_kg: number;
  step_kg: number;
  unit: string;
  unit_kg: number;
  decimals: number;
}

/** The factor on the fins' span, shown as the span of the first set. */
export interface FinControl {
  span_m: number;
  min_scale: number;
  max_scale: number;
  step_scale: number;
  unit: string;
  unit_m: number;
  decimals: number;
}

/** A section through the vehicle, served as a picture; what it shows in words. */
export interface InsideData {
  says: string;
}

/** A solid inside, in place; round unless its depth is given. SI units, body axes. */
export interface PageThing {
  name: string;
  middle_m: number;
  length_m: number;
  across_m: number;
  depth_m: number;
  bore_m: number;
  offset_m: [number, number];
  tilt_rad: number;
  toward_rad: number;
  roll_rad: number;
  /** What it is, where it lies and how wide it is. */
  says: string;
}

/** A printed part, and between which stations it lies [m]. */
export interface PagePart {
  name: string;
  fore_m: number;
  aft_m: number;
  says: string;
}

/** Everything that may change when a slider is moved. */
export interface Answer {
  verdict: Verdict;
  headline: string;
  detail: string;
  key_numbers: NumberRow[];
  groups: NumberGroup[];
  findings: FindingCard[];
  guesses: GuessRow[];
  picture: PictureData;
  margin_chart: MarginChart;
  height_chart: HeightChart;
}

/** One line: interval is without unit, empty for an exact number. */
export interface NumberRow {
  key: string;
  name: string;
  value: string;
  interval: string;
  known_by: string;
}

/** Numbers of one subject. */
export interface NumberGroup {
  title: string;
  rows: NumberRow[];
}

/** A finding, and those that follow from the same cause; equal only to itself. */
export interface FindingCard extends Finding {
  followers: Finding[];
}

/** One finding in words. */
export interface Finding {
  key: string;
  subject: string;
  name: string;
  verdict: Verdict;
  value: string;
  interval: string;
  limit: string;
  margin: string;
  why: string;
  fix: string;
  /** The first of its remedies, where it is a change of the sheet that its leader does not offer. */
  change: PageChange | null;
  source: string;
  safety: boolean;
  /** How the number is known; empty where there is none. */
  known_by: string;
  method: string;
  /** Where on the page the picture stands that explains it. */
  seen_in: string;
}

/** A change of the sheet that was tried and turned a finding. */
export interface PageChange {
  says: string;
  /** As one would type it, by place. */
  typed: Record<string, string>;
  /** The same in words. */
  said: string[];
}

/** A guess, and what it costs. */
export interface GuessRow {
  what: string;
  interval: string;
  effect: string;
  advice: string;
}

/** Everything drawn besides the hull. */
export interface PictureData {
  length_m: number;
  across_m: number;
  balance_m: Spread;
  pressure_m: Spread;
  fins: Plates[];
  load: Load;
  walls: Walls;
  labels: Labels;
  sentence: string;
}

/** An interval [m]. */
export interface Spread {
  value: number;
  low: number;
  high: number;
}

/** One fin set as flat plates, SI units. */
export interface Plates {
  name: string;
  outline_m: [number, number][];
  station_m: number;
  root_radius_m: number;
  offset_m: [number, number];
  count: number;
  first_at_rad: number;
  thickness_m: number;
  cant_rad: number;
}

/** Sideways push of the wind along the bare hull, over its largest size; equal only to itself. */
export interface Load {
  stations_m: number[];
  share: number[];
}

/** Everything the page shows of the reserves along the hull. */
export interface Walls {
  bands: string[];
  stretches: Stretch[];
  /** Worst first; each way to fail in each case once. */
  weakest: WeakPlace[];
  unknown: string;
  sentence: string;
}

/** Part of the hull with reserves in one band; band counts from the weakest, null: not known. */
export interface Stretch {
  from_m: number;
  to_m: number;
  band: number | null;
}

/** Where one way to fail in one case leaves least, in the builder's units. */
export interface WeakPlace {
  station_m: number;
  where: string;
  what: string;
  case: string;
  reserve: string;
}

/** Words beside the marks. */
export interface Labels {
  balance: string;
  pressure: string;
  margin: string;
  /** Worst verdict on stability, which colours the margin. */
  verdict: Verdict;
}

/** Margin over all roll angles at each angle of attack, in unit. */
export interface MarginChart {
  unit: string;
  angles_deg: number[];
  low: number[];
  middle: number[];
  high: number[];
  bare_low: number[];
  sentence: string;
}

/** Height above the pad over time, in unit. */
export interface HeightChart {
  unit: string;
  times_s: number[];
  heights: number[];
  events: ChartEvent[];
  sentence: string;
}

/** A numbered dot on the height curve. */
export interface ChartEvent {
  name: string;
  time_s: number;
  height: number;
  text: string;
}

/** What a page that was sent holds in place of a server. */
export interface SharedPage {
  vehicle: Vehicle;
  /** The same in US units where the sheet shows metric ones, and the other way round. */
  other_units: Vehicle;
  along: AlongBody;
  /** How each check's number is found, by its key. */
  ways: Record<string, FindingWay>;
  /** Its bytes in base64. */
  hull: string;
  /** The section as SVG; empty where there is none. */
  inside: string;
  /** Sections across it, evenly from tip to tail; none where there is no shape to cut. */
  cuts: PageCut[];
  moving: PageMoving;
  stages: PageStages;
  /** null where none are known. */
  landings: PageLandings | null;
  /** What can be taken away of them, by its name. */
  landing_files: Record<string, string>;
  pressure: SentPressure | null;
  /** What is kept of the tunnel. */
  flow: PageFlow | null;
  /** Pictures of the stages and of the landings as SVG, by their names. */
  drawn: Record<string, string>;
  made: string;
  revision: string;
  version: string;
}

/** Curves over common stations, in the builder's units. */
export interface AlongBody {
  length_unit: string;
  force_unit: string;
  moment_unit: string;
  stations: number[];
  /** Outline seen from the side, the axis at zero. */
  upper: (number | null)[];
  lower: (number | null)[];
  /** The one that bends most first. */
  cases: AlongCase[];
  /** Worst of all cases at its low end; null where nobody knows, or nothing was judged. */
  reserve: (number | null)[];
  needed: number;
  /** What gives way first there, and in which case. */
  reserve_by: string[];
  /** False where only the quick look's cases are in it. */
  looked_long: boolean;
  sentence: string;
}

/** Loads along the body in one case; null where that case has no such station. */
export interface AlongCase {
  name: string;
  /** Compression positive. */
  axial: (number | null)[];
  shear: (number | null)[];
  bending: (number | null)[];
}

/** How a check's number is found, in general, and the limits that are usually asked. */
export interface FindingWay {
  way: string;
  usual: string[];
}

/** One cut across, of what is tried. */
export interface PageCut {
  /** Where it was cut: the nearest to what was asked. */
  station_m: number;
  says: string;
  svg: string;
  section: Section;
}

/** One stage of the check: facts, tables, notes, and the names of its pictures. */
export interface Section {
  key: string;
  title: string;
  /** Label and value. */
  facts: [string, string][];
  tables: Table[];
  notes: string[];
  pictures: string[];
}

/** Rows of words under column titles. numbers names the columns set to the right, pages_only those that a terminal has no room for. */
export interface Table {
  title: string;
  columns: string[];
  rows: string[][];
  numbers: number[];
  pages_only: number[];
}

/** Everything that moves, of what is tried; separations and fins come with its whole look alone. */
export interface PageMoving {
  look: LookState;
  /** Why the whole look ended early; empty otherwise. */
  fault: string;
  path: FlightPath;
  separations: MovedSeparation[];
  fins: MovedFin[];
}

/** Whether the whole look at what is tried was taken. */
export type LookState = "taken" | "on its way" | "not taken";

/** The nominal flight in space, above the pad. */
export interface FlightPath {
  unit: string;
  times_s: number[];
  points: [number, number, number][];
  axes: ([number, number, number] | null)[];
  events: PathEvent[];
  wind: WindArrow[];
  says: string;
  table: Table;
}

/** Something that happened on the way. */
export interface PathEvent {
  name: string;
  time_s: number;
  at: [number, number, number];
  /** Where the nose points; null under a canopy, where nobody computes it. */
  axis: [number, number, number] | null;
  says: string;
}

/** Wind at one height, and where it blows to. */
export interface WindArrow {
  height: number;
  east: number;
  north: number;
  says: string;
}

/** One joint that parts: its pieces, its lines, and two cases. */
export interface MovedSeparation {
  title: string;
  unit: string;
  force_unit: string;
  pieces: MovedPiece[];
  lines: MovedLine[];
  cases: MovedCase[];
}

/** A piece as a box about its balance point; a point where it has no length. */
export interface MovedPiece {
  name: string;
  fore: number;
  aft: number;
  radius: number;
}

/** A line between two pieces, and where it is tied along each. */
export interface MovedLine {
  name: string;
  ends: [number, number];
  ties: [number, number];
  length: number;
  /** Where it leaves its tube, along the first piece; null where it is tied outside. */
  mouth: number | null;
}

/** One separation: lists over time, and in them over pieces or lines. */
export interface MovedCase {
  name: string;
  says: string;
  times_s: number[];
  along: number[][];
  up: number[][];
  angles_rad: number[][];
  tensions: number[][];
  bends_deg: number[];
  /** Pull over what the lip holds; null where nobody knows the lip. */
  lip_use: number[] | null;
}

/** One fin as a net of corners, from root to tip and from its leading to its trailing edge. */
export interface MovedFin {
  name: string;
  unit: string;
  along: number[][];
  outward: number[][];
  modes: FinMode[];
  says: string;
  table: Table;
}

/** One motion: how far each corner of the net swings out, the largest being one. */
export interface FinMode {
  name: string;
  says: string;
  out: number[][];
  /** The same a quarter of a swing before; null where every corner passes the middle at once. */
  quarter: number[][] | null;
  /** It does not swing, but twists away further and further. */
  runs_away: boolean;
}

/** Every stage, in the order a builder reads them. */
export interface PageStages {
  stages: PageStage[];
}

/** One stage: what it says in words and tables, and its pictures. */
export interface PageStage {
  key: string;
  title: string;
  sections: Section[];
  pictures: StagePicture[];
}

/** A picture, and what it shows in words. */
export interface StagePicture {
  name: string;
  title: string;
  says: string;
}

/** Landing points of the kept campaign; where there are none, why not. */
export interface PageLandings {
  /** How many flights it is from, or why there is nothing to show. */
  says: string;
  picture: StagePicture | null;
  sections: Section[];
  /** Names of what can be taken away besides the picture. */
  files: string[];
}

/** Winds with their words, triangles and pressures. */
export interface SentPressure {
  told: PagePressure;
  /** Bytes of the triangles in base64. */
  mesh: string;
  /** Pressure coefficients of each wind in base64. */
  hundredths: string[];
}

/** Winds whose surface pressures are kept; without any, why not. */
export interface PagePressure {
  says: string;
  winds: PageWind[];
  /** Pressure coefficients that part the bands, rising. */
  edges: number[];
  bands: string[];
}

/** One wind that was blown. */
export interface PageWind {
  name: string;
  says: string;
  /** Where it blows to, in body axes. */
  towards: [number, number, number];
  table: Table;
}

/** Winds whose air is kept. */
export interface PageFlow {
  /** Why there is none, or what a copy of the page leaves out. */
  says: string;
  winds: PageAir[];
  /** Words of the bands of speed, and of those of pressure. */
  speeds: string[];
  pressures: string[];
}

/** Air of one wind that was blown. */
export interface PageAir {
  name: string;
  says: string;
  /** Of the wind in the first plane, from along the axis upwards. */
  angle_rad: number;
  planes: PagePlane[];
  /** Of its film. */
  moments: number;
}

/** One plane through the axis. */
export interface PagePlane {
  name: string;
  drawn: DrawnPlane;
  table: Table;
}

/** A plane's means; the first band is the ground, each path lies over those before it. */
export interface DrawnPlane {
  wide: number;
  high: number;
  outline: string;
  speed: string[];
  pressure: string[];
}

/** What is tried: masses [kg] of items, a factor on the fins' span, and what was typed, by place. */
export interface Question {
  ballast: Record<string, number>;
  fin_span_scale: number;
  sheet: Record<string, string>;
}

/** Every key with its meaning, and every place of this sheet with what stands there. */
export interface SheetForm {
  revision: string;
  keys: Record<string, SheetKey>;
  tables: SheetTable[];
  addable: Addable[];
}

/** What may stand at a key, from the sheet's own schema. */
export interface SheetKey {
  path: string;
  meaning: string;
  required: boolean;
  default: unknown;
  example: unknown;
  kind: "quantity" | "whole number" | "text" | "choice" | "yes or no" | "list" | "table";
  units: string[] | null;
  choices: string[] | null;
}

/** One table of the sheet. */
export interface SheetTable {
  dotted: string;
  name: string;
  fields: SheetField[];
}

/** One place of the sheet. */
export interface SheetField {
  dotted: string;
  path: string;
  /** As it stands in the sheet; null where the sheet does not have it. */
  text: string | null;
}

/** A table that may be added: its path, and the paths of the keys that it cannot do without. */
export interface Addable {
  /** Where it would stand: fin[1].stays. */
  path: string;
  /** The same in the schema: fin.stays. */
  key: string;
  /** What the sheet calls the entry that it would stand in; empty where it stands for itself. */
  of: string;
  one_of_many: boolean;
  needs: string[];
}

/** Everything the page shows of its jobs. */
export interface JobList {
  kinds: JobKind[];
  jobs: JobView[];
  at_once: number;
  cores: number;
}

/** One kind of job, and what may be set before it starts. */
export interface JobKind {
  key: string;
  title: string;
  says: string;
  settings: Setting[];
}

/** One whole number that a kind of job may be given. */
export interface Setting {
  key: string;
  label: string;
  start: number;
  low: number;
  high: number;
  /** How it is said, with {value} and the {s} of more than one; empty: by its label. */
  said: string;
  /** Words for 0, 1 and so on, where it is chosen and not typed. */
  choices: string[];
  /** What 0 says, where that is no number like the others. */
  nought: string;
  /** Key of the setting without which it has no meaning; empty where it always has. */
  needs: string;
}

/** One job as the page lists it. */
export interface JobView {
  id: string;
  kind: string;
  title: string;
  /** Its settings and on what it was started, in words. */
  about: string;
  state: JobState;
  progress: Progress;
  /** Why it failed; empty otherwise. */
  message: string;
  /** False where the sheet was changed since it was started. */
  of_now: boolean;
}

/** Where a job stands. */
export type JobState = "waiting" | "running" | "done" | "failed" | "cancelled" | "stopped";

/** How far a job came; share is null where nobody can tell. */
export interface Progress {
  share: number | null;
  left_s: number | null;
  note: string;
}

/** What a job found, as the page shows it. */
export interface JobResult {
  headline: string;
  sections: Section[];
  pictures: JobPicture[];
  tries: TryRow[];
}

/** A picture that a job drew, and what it shows in words: its name is that of its file. */
export interface JobPicture {
  name: string;
  title: string;
  says: string;
}

/** A change that a job found, to be tried on the page. */
export interface TryRow {
  label: string;
  change: Record<string, string>;
}

/** The named variants of the sheet. */
export interface PageVariants {
  variants: PageVariant[];
}

/** What one variant changes of the sheet. */
export interface PageVariant {
  name: string;
  /** As it was typed, by place. */
  change: Record<string, string>;
  /** The same in words. */
  said: string[];
}

/** A comparison; null as long as whole looks are on their way, and how many are. */
export interface PageCompared {
  found: Comparison | null;
  on_their_way: number;
}

/** Everything the page shows of a comparison. */
export interface Comparison {
  /** By the whole look; by the quick one where false. */
  whole: boolean;
  columns: ComparedColumn[];
  costs: CostRow[];
  verdicts: DifferingRow[];
  numbers: DifferingRow[];
}

/** One of those compared. */
export interface ComparedColumn {
  name: string;
  change: string[];
  /** Of all that was looked at; what the quick look leaves out stays out for all. */
  verdict: Verdict;
}

/** Mass, height or margin of each. */
export interface CostRow {
  name: string;
  cells: CostCell[];
}

/** A number, and how far it is from that of the first column. */
export interface CostCell {
  value: string;
  more: string;
}

/** A number or a verdict that is not the same in all columns. */
export interface DifferingRow {
  name: string;
  cells: string[];
}

/** The logbook, last flight first, in the sheet's units; fault says what is wrong with it. */
export interface FlownList {
  height_unit: string;
  climb_unit: string;
  flights: FlownFlight[];
  fault: string;
}

/** One flight of the logbook; lines is null where its curves are gone. */
export interface FlownFlight {
  name: string;
  said: string;
  lines: FlownLines | null;
}

/** Log, prediction and corrected model on one time from lift-off. */
export interface FlownLines {
  times_s: number[];
  log: FlightLines;
  predicted: FlightLines;
  corrected: FlightLines;
  marks: FlownMark[];
}

/** One flight on the times of its chart; null where it tells nothing. */
export interface FlightLines {
  /** Above the pad. */
  height: (number | null)[];
  climb: (number | null)[];
  /** Felt along the axis, g. */
  push: (number | null)[];
}

/** One thing that the log showed. */
export interface FlownMark {
  name: string;
  time_s: number;
  height: number | null;
  text: string;
}

/** Moments of the first plane, each with the travel since the first in words. */
export interface PageFilm {
  moments: DrawnMoment[];
  readings: string[];
}

/** One moment of the first plane. */
export interface DrawnMoment {
  speed: string[];
  /** The ways of all of them so far. */
  specks: string;
}

/** Everything the page needs of a sheet that cannot be flown yet. */
export interface PageBegun {
  kind: "begun";
  name: string;
  note: string;
  sheet: string;
  us_units: boolean;
  caution: string;
  verdict: Verdict;
  headline: string;
  /** Tables without which nothing flies. */
  missing: string[];
  length_m: number;
  /** What the shape is, in words. */
  says: string;
  findings: FindingCard[];
  sections: Section[];
}

/** What the vehicle is at every height of the slider; each is a row of the section's one table. */
export interface PageScale {
  /** Evenly spaced, the lowest first. */
  heights_m: number[];
  drawn_m: number;
  real_m: number;
  unit: string;
  unit_m: number;
  decimals: number;
  section: Section;
}

/** A tower's drawing. */
export interface PageTower extends PageDraft {
  kind: "tower";
  /** null where it is refused. */
  drawn: TowerDrawn | null;
}

/** A file that is drawn on the page: its text, its form, and what its reader refuses. */
export interface PageDraft {
  file: string;
  /** Of the file on disk; empty where there is none yet. */
  revision: string;
  text: string;
  keys: Record<string, SheetKey>;
  tables: SheetTable[];
  /** All that is refused, in the words of the shell; empty where nothing is. */
  fault: string;
  faults: DraftFault[];
}

/** One thing that the file's own reader refuses, at its place. */
export interface DraftFault {
  field: string;
  given: string;
  accepted: string;
  likely_slip: string;
}

/** A tower as it was drawn. */
export interface TowerDrawn {
  says: string;
  svg: string;
  section: Section;
}

/** The marks of photos of one facade. */
export interface PagePhotos extends PageDraft {
  kind: "photos";
  photos: PagePhoto[];
  /** null where they are refused. */
  read: PhotosRead | null;
}

/** One photo and its marks, as far as they can be read. */
export interface PagePhoto {
  dotted: string;
  name: string;
  size: [number, number] | null;
  lines: PhotoLine[];
}

/** Marks that belong together, joined in their order. */
export interface PhotoLine {
  kind: "corners" | "known" | "wanted" | "storey" | "straight";
  /** Where the list of them stands in the file. */
  place: string;
  name: string;
  marks: PhotoMark[];
}

/** One mark that may be moved. */
export interface PhotoMark {
  /** Where it stands in the file. */
  place: string;
  says: string;
  at: [number, number];
}

/** What the photos tell. */
export interface PhotosRead {
  /** Of what was read off: lengths, then storeys. */
  names: string[];
  storeys: number;
  section: Section;
}

/** A site's file. */
export interface PageSite extends PageDraft {
  kind: "site";
}

/** What was written beside a draft. */
export interface DraftWritten {
  says: string;
  files: string[];
  revision: string;
  /** The one of the files that is opened next; empty where the draft goes on. */
  leads_on: string;
}
