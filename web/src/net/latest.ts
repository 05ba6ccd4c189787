// Latest wins: at most one question in flight, and only the newest waits behind it.

/** Asks one question at a time; what is asked meanwhile replaces what waits. */
export class Latest<Q, A> {
  private flying = false;
  private waiting: { question: Q } | null = null;
  private idle: (() => void)[] = [];

  constructor(
    private readonly ask: (question: Q) => Promise<A>,
    private readonly take: (answer: A, question: Q) => void,
    private readonly failed: (error: unknown) => void,
  ) {}

  put(question: Q): void {
    if (this.flying) {
      this.waiting = { question };
      return;
    }
    void this.fly(question);
  }

  /** Drops what waits; an answer already on its way is still taken. */
  drop(): void {
    this.waiting = null;
  }

  /** When nothing flies and nothing waits. */
  settled(): Promise<void> {
    if (!this.flying) return Promise.resolve();
    return new Promise((done) => this.idle.push(done));
  }

  private async fly(question: Q): Promise<void> {
    this.flying = true;
    try {
      this.take(await this.ask(question), question);
    } catch (error) {
      this.failed(error);
    }
    this.flying = false;
    const next = this.waiting;
    this.waiting = null;
    if (next) {
      void this.fly(next.question);
    } else {
      for (const done of this.idle.splice(0)) done();
    }
  }
}
