import { Newest } from "../newest.ts";
import type { DraftWritten, PageDraft } from "../records.ts";
import { asked, atPlaces, inUnits, Refused, setUnits, told } from "../server.ts";
import { back, begun, forth, rested, type Steps, stepped } from "./steps.ts";

/** One thing that is done to the text, at a dotted place. */
export type Edit =
  | { type: string; text: string }
  | { put: string; value: unknown }
  | { add: string; number: number; given?: Record<string, unknown> }
  | { remove: string };

const TYPING_MS = 250;
const LOOK_AGAIN_MS = 4000;

/** A file that is drawn here: the server edits its text, this keeps every step, and what is typed meanwhile. */
export class Desk<Page extends PageDraft> {
  answer: Page;
  /** Typed, and not yet in the text. */
  typing: Record<string, string> = $state.raw({});
  fault = $state("");
  note = $state("");
  busy = $state(false);
  movedOn = $state(false);
  /** What is told is in metric units until others are asked for. */
  showsUs = $state(false);
  /** Whether the server did not answer when it was last looked for. */
  gone = $state(false);
  #steps: Steps;
  #saved: string;
  #revision: string;
  #refusedAt: Record<string, string> = $state.raw({});
  #later = 0;
  /** What one question is of; whatever is done while it is answered goes with the next, in its order. */
  readonly #newest: Newest<null, Page>;
  #waiting: { edits: Edit[]; of: string[] } = { edits: [], of: [] };
  #asking: { of: string; typed: Record<string, string> } = { of: "", typed: {} };

  /** Where the file is told, and under what it is looked for again, edited and saved. */
  readonly #at: { page: string; under: string };

  constructor(first: Page, at = { page: "/api/vehicle", under: "/api" }) {
    this.#at = at;
    this.answer = $state.raw(first);
    this.#steps = $state.raw(begun(first.text));
    this.#saved = $state(first.revision ? first.text : "");
    this.#revision = first.revision;
    this.#newest = new Newest(
      () => this.#ask(),
      (page) => this.#take(page),
      (no) => this.#failed(no),
    );
  }

  get isChanged(): boolean {
    return this.#steps.now !== this.#saved || Object.keys(this.typing).length > 0;
  }

  /** Whether it may be written: nothing in it is refused, and nothing is typed that is not yet in it. */
  get isWhole(): boolean {
    return !this.answer.fault && !this.gone && Object.keys(this.typing).length === 0;
  }

  get canGoBack(): boolean {
    return this.#steps.past.length > 0;
  }

  get canGoForth(): boolean {
    return this.#steps.future.length > 0;
  }

  /** What is said to each place: by the file's reader, or to what was typed there. */
  get faults(): Record<string, string> {
    return { ...atPlaces(this.answer.faults), ...this.#refusedAt };
  }

  type(place: string, text: string): void {
    this.typing = { ...this.typing, [place]: text };
    clearTimeout(this.#later);
    this.#later = window.setTimeout(() => this.#send([], place), TYPING_MS);
  }

  /** Something that is done at once; what is typed goes with it. */
  edit(edits: Edit[], of = ""): void {
    clearTimeout(this.#later);
    this.#send(edits, of);
  }

  /** The same file, told in the other units. */
  switchUnits(): void {
    this.showsUs = !this.showsUs;
    setUnits(this.showsUs ? "us" : "metric");
    this.edit([]);
  }

  rest(): void {
    this.#steps = rested(this.#steps);
  }

  back(): void {
    this.#go(back(this.#steps));
  }

  forth(): void {
    this.#go(forth(this.#steps));
  }

  async save(): Promise<boolean> {
    return this.#act(async () => {
      const text = this.#steps.now;
      const { revision } = await asked<{ revision: string }>(`${this.#at.under}/draft/save`, { text, revision: this.#revision });
      [this.#revision, this.#saved, this.note] = [revision, text, `Saved as ${this.answer.file}.`];
    });
  }

  /** Take the file as it now is on disk; what was drawn here is one step back. */
  async readAgain(): Promise<void> {
    await this.#act(async () => {
      const page = await told<Page>(inUnits(this.#at.page));
      [this.typing, this.movedOn] = [{}, false];
      [this.#revision, this.#saved] = [page.revision, page.text];
      this.#steps = stepped(this.#steps, page.text);
      this.answer = page;
    });
  }

  /** Save, then have the server write what follows from it. */
  async write(name: string, more: Record<string, unknown> = {}): Promise<void> {
    if (this.isChanged && !(await this.save())) return;
    await this.#act(async () => {
      const written = await asked<DraftWritten>(`${this.#at.under}/draft/write/${name}`, { ...more, revision: this.#revision });
      [this.#revision, this.note] = [written.revision, written.says];
      // The server shows what was begun, at the same address.
      if (written.leads_on) location.reload();
    });
  }

  /** See now and then whether the file is still the one that was read. */
  watch(): () => void {
    const looking = window.setInterval(() => void this.#look(), LOOK_AGAIN_MS);
    return () => clearInterval(looking);
  }

  async #look(): Promise<void> {
    if (document.hidden || this.busy) return;
    try {
      const { revision } = await told<{ revision: string }>(`${this.#at.under}/revision`);
      this.gone = false;
      if (!this.busy) this.movedOn = revision !== this.#revision;
    } catch (no) {
      this.gone = !(no instanceof Refused);
    }
  }

  #go(steps: Steps): void {
    [this.#steps, this.typing, this.#refusedAt] = [steps, {}, {}];
    this.edit([]);
  }

  #send(edits: Edit[], of: string): void {
    this.#waiting = { edits: [...this.#waiting.edits, ...edits], of: [...this.#waiting.of, of] };
    this.#newest.send(null);
  }

  #ask(): Promise<Page> {
    const { edits, of } = this.#waiting;
    const typed = this.typing;
    this.#waiting = { edits: [], of: [] };
    this.#asking = { typed, of: new Set(of).size === 1 ? of[0]! : "" };
    const all = [...Object.entries(typed).map(([type, text]) => ({ type, text })), ...edits];
    return asked(inUnits(`${this.#at.under}/draft`), { text: this.#steps.now, edits: all });
  }

  #take(page: Page): void {
    const { of, typed } = this.#asking;
    this.#steps = stepped(this.#steps, page.text, of);
    this.typing = Object.fromEntries(Object.entries(this.typing).filter(([place, text]) => typed[place] !== text));
    [this.answer, this.fault, this.note, this.#refusedAt] = [page, "", "", {}];
  }

  #failed(no: unknown): void {
    this.#refusedAt = no instanceof Refused ? no.faults : {};
    this.fault = no instanceof Error ? no.message : String(no);
  }

  async #act(doing: () => Promise<void>): Promise<boolean> {
    this.busy = true;
    try {
      await doing();
      this.fault = "";
      return true;
    } catch (no) {
      this.#failed(no);
      if (no instanceof Refused && no.status === 409) this.movedOn = true;
      return false;
    } finally {
      this.busy = false;
    }
  }
}
