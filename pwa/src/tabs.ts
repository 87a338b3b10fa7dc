// Several tabs, one phone: the tab that holds the lock leads, which means that
// it owns the socket. The others show what it stores and hand it their edits
// through the queue. Two leaders at once do no harm, only more work.
import type { Slot } from './gen/engine';
import type { Line } from './messages';
import type { Out } from './storage';

export type Word =
  | { type: 'kept'; who: string; slots: Slot[] } // rows were added to the queue
  | { type: 'discarded'; who: string; seq: number }
  | { type: 'stored'; who: string } // the leader has stored news
  | { type: 'line'; line: Line }
  | { type: 'who leads' }
  | { type: 'out'; out: Out } // this phone was signed out
  | { type: 'me' }; // somebody joined or left on this phone

const lock = 'fairday-lead';
const askEvery = 10_000; // ms
const patience = 3_000; // ms a leader has to answer before another tab takes over

export class Tabs {
  leading = false;
  private readonly channel = new BroadcastChannel('fairday');
  private queued = new AbortController();
  private stealing = false;
  private answer: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly heard: (word: Word) => void,
    private readonly lead: (leading: boolean) => void,
  ) {
    this.channel.onmessage = (event: MessageEvent<Word>) => {
      if (event.data.type === 'line') clearTimeout(this.answer);
      this.heard(event.data);
    };
  }

  say(word: Word): void {
    this.channel.postMessage(word);
  }

  /** Starts to take part. */
  start(): void {
    this.join();
    setInterval(() => this.ask(), askEvery);
    this.say({ type: 'who leads' }); // whoever does says how the connection is
  }

  /** Stands in line for the lock. Without locks (a page that is not served
   * securely) every tab leads. */
  private join(): void {
    if (!('locks' in navigator)) {
      this.take(true);
      return;
    }
    this.queued = new AbortController();
    this.hold(navigator.locks.request(lock, { signal: this.queued.signal }, () => this.until()));
  }

  // The lock is held until the tab closes or another tab takes it away.
  private until(): Promise<never> {
    this.take(true);
    return new Promise<never>(() => undefined);
  }

  private hold(held: Promise<never>): void {
    held.catch(() => {
      if (this.stealing) return; // we left the line ourselves
      this.take(false);
      this.join();
    });
  }

  private steal(): void {
    this.stealing = true;
    this.queued.abort();
    this.hold(
      navigator.locks.request(lock, { steal: true }, () => {
        this.stealing = false;
        return this.until();
      }),
    );
  }

  /** Asks who leads, unless this tab does. A leader that gives no answer was
   * put to sleep with the lock in its hand: this tab takes over. */
  ask(): void {
    if (this.leading || !('locks' in navigator)) return;
    clearTimeout(this.answer);
    this.answer = setTimeout(() => this.steal(), patience);
    this.say({ type: 'who leads' });
  }

  private take(leading: boolean): void {
    if (leading === this.leading) return;
    clearTimeout(this.answer);
    this.leading = leading;
    this.lead(leading);
  }
}
