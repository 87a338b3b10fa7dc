// The one connection to the server: it comes back by itself and keeps nothing;
// what must not be lost is in the queue. Whether the other end is still there is
// for the engine to notice, which asks it every 15 seconds.

const shortest = 500; // ms to wait before trying again
const longest = 30_000;
const patience = 15_000; // ms that opening may take

export interface Ear {
  /** Connections are numbered, so that nothing for one is said on the next. */
  opened(serial: number): void;
  heard(text: string): void;
  /** It closed, or never opened. */
  closed(): void;
}

export class Socket {
  private ws: WebSocket | null = null;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private failures = 0;
  private serial = 0;
  private notBefore = 0; // the server asked to stay away until then
  private wanted = false;

  constructor(
    private readonly url: string,
    private readonly ear: Ear,
  ) {}

  /** Opens, and keeps opening, until stop. */
  start(): void {
    if (this.wanted) return;
    this.wanted = true;
    this.open();
  }

  stop(): void {
    this.wanted = false;
    clearTimeout(this.timer);
    this.hangUp();
  }

  /** Takes a new connection now, since the present one may be dead. */
  fresh(): void {
    if (!this.wanted) return;
    this.failures = 0;
    clearTimeout(this.timer);
    this.hangUp();
    const wait = this.notBefore - Date.now();
    if (wait > 0) this.timer = setTimeout(() => this.open(), wait);
    else this.open();
  }

  /** Lets go of the connection and tries again later. */
  again(): void {
    this.hangUp();
    this.retry();
  }

  /**
   * The server said how long to stay away at least, in ms. It says the same to
   * everybody at once, so each adds a part of its own.
   */
  stayAway(ms: number): void {
    this.notBefore = Date.now() + ms * (1 + Math.random());
  }

  /** The server has welcomed us: the next failure starts from a short wait. */
  settled(): void {
    this.failures = 0;
  }

  send(serial: number, text: string): void {
    if (serial === this.serial && this.ws?.readyState === WebSocket.OPEN) this.ws.send(text);
  }

  private open(): void {
    if (!this.wanted || this.ws) return;
    const ws = new WebSocket(this.url);
    const serial = ++this.serial;
    this.ws = ws;
    this.timer = setTimeout(() => this.again(), patience);
    ws.onopen = () => {
      clearTimeout(this.timer);
      this.ear.opened(serial);
    };
    ws.onmessage = (event: MessageEvent<unknown>) => {
      if (typeof event.data === 'string') this.ear.heard(event.data);
    };
    ws.onclose = () => {
      if (this.ws !== ws) return; // we let go of it ourselves
      this.ws = null;
      this.ear.closed();
      this.retry();
    };
  }

  private hangUp(): void {
    const ws = this.ws;
    if (!ws) return;
    this.ws = null;
    ws.onmessage = null;
    ws.onopen = null;
    ws.close();
    this.ear.closed();
  }

  // Each failure doubles the range that the wait is drawn from, so that one
  // lost call is back soon and a whole crew does not knock all at once.
  private retry(): void {
    if (!this.wanted) return;
    clearTimeout(this.timer);
    const ceiling = Math.min(longest, shortest * 2 ** ++this.failures);
    const wait = shortest + Math.random() * (ceiling - shortest);
    this.timer = setTimeout(() => this.open(), Math.max(wait, this.notBefore - Date.now()));
  }
}
