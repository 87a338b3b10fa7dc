// The one connection to the server: it comes back by itself and keeps nothing;
// what must not be lost is in the queue. Whether the other end is still there is
// for the engine to notice, which asks it every 15 seconds.

const shortest = 500; // ms to wait before trying again
const longest = 30_000;
const patience = 15_000; // ms that opening may take
const most = 16 << 20; // length of what a packed message may hold

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
  private unpacks = canUnpack(); // so that large messages may come packed

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
    const ws = new WebSocket(this.unpacks ? `${this.url}?packed=1` : this.url);
    ws.binaryType = 'arraybuffer';
    const serial = ++this.serial;
    this.ws = ws;
    this.timer = setTimeout(() => this.again(), patience);
    ws.onopen = () => {
      clearTimeout(this.timer);
      this.ear.opened(serial);
    };
    const inTurn = inOrder();
    ws.onmessage = ({ data }: MessageEvent<string | ArrayBuffer>) =>
      inTurn(() => {
        const hear = (text: string): void => {
          if (this.ws === ws) this.ear.heard(text);
        };
        if (typeof data !== 'string') return unpacked(data).then(hear, () => this.damaged(ws));
        hear(data);
      });
    ws.onclose = () =>
      inTurn(() => {
        if (this.ws !== ws) return; // we let go of it ourselves
        this.ws = null;
        this.ear.closed();
        this.retry();
      });
  }

  // What follows would have a gap before it. Who knows whose fault it was: the
  // next connections go without.
  private damaged(ws: WebSocket): void {
    if (this.ws !== ws) return;
    this.unpacks = false;
    this.again();
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

/** Runs things in the order in which they come, at once unless one before is not
 * done yet. */
function inOrder(): (what: () => void | Promise<void>) => void {
  const waiting: (() => void | Promise<void>)[] = [];
  let busy = false;
  const next = (): void => {
    while (!busy) {
      const what = waiting.shift();
      if (!what) return;
      const done = what();
      if (!done) continue;
      busy = true;
      void done.finally(() => {
        busy = false;
        next();
      });
    }
  };
  return (what) => {
    waiting.push(what);
    next();
  };
}

function canUnpack(): boolean {
  try {
    return !!new DecompressionStream('deflate-raw') && !!new TextDecoderStream();
  } catch {
    return false;
  }
}

/** The text in raw deflate (RFC 1951). */
async function unpacked(data: ArrayBuffer): Promise<string> {
  const reader = new Blob([data])
    .stream()
    .pipeThrough(new DecompressionStream('deflate-raw'))
    .pipeThrough(new TextDecoderStream('utf-8', { fatal: true }))
    .getReader();
  let text = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return text;
    text += value;
    if (text.length > most) {
      reader.cancel().catch(() => undefined);
      throw new Error('too large');
    }
  }
}
