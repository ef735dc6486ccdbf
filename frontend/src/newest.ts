/**
 * Keep one request in flight and remember only the newest one that waits.
 *
 * A slider sends values faster than the physics answers; every value but the last that
 * arrived while an answer was pending would be thrown away by the reader anyway.
 */
export class Newest<Question, Answer> {
  #ask: (question: Question) => Promise<Answer>;
  #answered: (answer: Answer) => void;
  #failed: (fault: unknown) => void;
  #waiting: { question: Question } | null = null;
  #running = false;

  constructor(
    ask: (question: Question) => Promise<Answer>,
    answered: (answer: Answer) => void,
    failed: (fault: unknown) => void,
  ) {
    this.#ask = ask;
    this.#answered = answered;
    this.#failed = failed;
  }

  send(question: Question): void {
    this.#waiting = { question };
    if (!this.#running) void this.#drain();
  }

  async #drain(): Promise<void> {
    this.#running = true;
    while (this.#waiting) {
      const { question } = this.#waiting;
      this.#waiting = null;
      try {
        this.#answered(await this.#ask(question));
      } catch (fault) {
        this.#failed(fault);
      }
    }
    this.#running = false;
  }
}
