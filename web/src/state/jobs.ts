// Long works: begun, watched, stopped. One of a kind at a time; an answer belongs to the site that it was asked of.
import { signal } from '@preact/signals';
import { get, post, remove } from '../net/ask';
import type { JobView } from '../wire';
import { words } from '../words';
import { say } from './look';
import { fail } from './site';

/** How often a work is asked how it stands, ms. */
const LOOK_MS = 400;

export class Job<A> {
  readonly view = signal<JobView | null>(null);
  readonly answer = signal<A | null>(null);

  constructor(private readonly path: string) {}

  async begin(body: unknown): Promise<void> {
    await this.stop();
    this.answer.value = null;
    try {
      const begun = await post<JobView>(this.path, body);
      this.view.value = begun;
      await this.follow(begun.id);
    } catch (error) {
      this.view.value = null;
      fail(error);
    }
  }

  async stop(): Promise<void> {
    const running = this.view.value;
    if (running?.state !== 'running') return;
    this.view.value = null;
    await remove(`jobs/${running.id}`).catch(fail);
    say(words.jobs.stopped);
  }

  /** Forgets an answer: the storm or the site is another by now. */
  forget(): void {
    if (this.view.value?.state !== 'running') this.view.value = null;
    this.answer.value = null;
  }

  private async follow(id: number): Promise<void> {
    while (this.view.value?.id === id) {
      const now = await get<JobView>(`jobs/${id}`);
      if (this.view.value?.id !== id) return;
      this.view.value = now;
      if (now.state !== 'running') {
        if (now.state === 'done') {
          this.answer.value = now.answer as A;
          say(words.jobs.done);
        } else if (now.says) say(now.says);
        return;
      }
      await new Promise((done) => setTimeout(done, LOOK_MS));
    }
  }
}
