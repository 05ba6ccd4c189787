// The live socket: questions whose answer is wanted within the hand's movement, and news from the server.
import { token } from './ask';

/** News that nobody asked for. */
export type News =
  | { event: 'changed'; revision: number; says: string }
  | { event: 'settled'; revision: number }
  | { event: 'job'; id: string | number; done_frac: number; [key: string]: unknown };

/** An old question that the server passed over because a newer one came. */
export class Dropped extends Error {}

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 10_000;

export class Live {
  private socket: WebSocket | null = null;
  private next = 1;
  private open = new Map<number, { done: (answer: unknown) => void; failed: (error: unknown) => void }>();
  private ready: (() => void)[] = [];
  private wait_ms = FIRST_WAIT_MS;

  constructor(
    private readonly onNews: (news: News) => void,
    private readonly onState: (connected: boolean) => void,
  ) {
    this.connect();
  }

  /** Asks; the answer or `Dropped`. */
  async ask<T>(ask: { ask: string } & Record<string, unknown>): Promise<T> {
    if (this.socket?.readyState !== WebSocket.OPEN) await new Promise<void>((done) => this.ready.push(done));
    const id = this.next++;
    return new Promise<T>((done, failed) => {
      this.open.set(id, { done: (answer) => done(answer as T), failed });
      this.socket?.send(JSON.stringify({ id, ask }));
    });
  }

  private connect(): void {
    const socket = new WebSocket(`${location.origin.replace(/^http/, 'ws')}/api/live`);
    this.socket = socket;
    socket.onopen = () => {
      socket.send(JSON.stringify({ token: token() }));
      this.wait_ms = FIRST_WAIT_MS;
      this.onState(true);
      for (const done of this.ready.splice(0)) done();
    };
    socket.onmessage = (event) => this.take(JSON.parse(String(event.data)));
    socket.onclose = () => {
      this.onState(false);
      for (const { failed } of this.open.values()) failed(new Dropped('the connection closed'));
      this.open.clear();
      setTimeout(() => this.connect(), this.wait_ms);
      this.wait_ms = Math.min(LONGEST_WAIT_MS, this.wait_ms * 2);
    };
  }

  private take(message: { id?: number; event?: string; dropped?: boolean; error?: string }): void {
    if (message.event !== undefined) {
      this.onNews(message as News);
      return;
    }
    const asked = message.id === undefined ? undefined : this.open.get(message.id);
    if (!asked || message.id === undefined) return;
    this.open.delete(message.id);
    if (message.dropped) asked.failed(new Dropped('a newer question came'));
    else if (message.error !== undefined) asked.failed(new Error(message.error));
    else asked.done(message);
  }
}
