// The far screens that the page watches: made by the server, asked for when they
// are opened, when something has changed, and when there is a connection again.
// The last answer is remembered for when there is none.
import type { FarScreen, Problem } from './gen/web';

interface Watched {
  path: string;
  shown: string; // the last text that the page was given
  asked: number; // when it was asked for last
  behind: boolean; // the server may know more than what is shown
  busy: boolean; // it is being asked for
}

const patience = 15_000; // ms
const pause = 1_500; // ms between two askings for the same screen
const again = 5_000; // ms after an answer that did not come

export interface FarTells {
  show: (key: string, text: string) => void;
  behind: (key: string, behind: boolean) => void;
  out: () => void; // the server does not know this phone any more
}

export class FarViews {
  private readonly watched = new Map<string, Watched>();
  private fresh = new Map<string, string>();
  private person = ''; // whose screens these are
  private era = 0; // goes up when what is under way is nobody's any more
  private live = false;

  constructor(private readonly tells: FarTells) {}

  watch(key: string, screen: string, args: unknown): void {
    const query = new URLSearchParams((args ?? {}) as Record<string, string>).toString();
    const w: Watched = { path: `/api/screens/${screen}?${query}`, shown: '', asked: 0, behind: true, busy: false };
    this.watched.set(key, w);
    this.ask(key, w);
  }

  unwatch(key: string): void {
    this.watched.delete(key);
  }

  /** The page has forgotten what it was shown; from now on these are a person's. */
  reset(person: string): void {
    this.era++;
    this.person = person;
    this.fresh.clear();
    for (const [key, w] of this.watched) {
      Object.assign(w, { shown: '', asked: 0, behind: true, busy: false });
      this.ask(key, w);
    }
  }

  /** Something has changed at the server. */
  changed(): void {
    for (const [key, w] of this.watched) {
      w.behind = true;
      this.ask(key, w);
    }
  }

  /** The connection came or went. */
  reach(live: boolean): void {
    if (live === this.live) return;
    this.live = live;
    for (const key of this.watched.keys()) this.tells.behind(key, true);
    if (live) this.changed();
  }

  /** What was shown since the last call, to be stored. */
  unpainted(): Map<string, string> {
    const out = this.fresh;
    this.fresh = new Map();
    return out;
  }

  private ask(key: string, w: Watched): void {
    if (!this.person || w.busy) return;
    w.busy = true;
    setTimeout(() => void this.fetch(key, w, this.era), Math.max(50, w.asked + pause - Date.now()));
  }

  private async fetch(key: string, w: Watched, era: number): Promise<void> {
    if (this.gone(key, w, era)) return;
    Object.assign(w, { asked: Date.now(), behind: false });
    const text = await this.answer(w);
    if (this.gone(key, w, era)) return;
    w.busy = false;
    if (text === null) {
      w.behind = true;
      this.tells.behind(key, true);
      if (this.live) setTimeout(() => !this.gone(key, w, era) && this.ask(key, w), again);
      return;
    }
    if (text !== w.shown) {
      w.shown = text;
      this.fresh.set(key, text);
      this.tells.show(key, text);
    }
    this.tells.behind(key, false);
    if (w.behind) this.ask(key, w); // it changed meanwhile
  }

  private gone(key: string, w: Watched, era: number): boolean {
    return era !== this.era || this.watched.get(key) !== w;
  }

  /** The text to show, or null where there was no answer. A refusal is an answer:
   * it takes the place of what was kept. */
  private async answer(w: Watched): Promise<string | null> {
    try {
      const response = await fetch(w.path, { cache: 'no-store', signal: AbortSignal.timeout(patience) });
      if (response.status === 401) this.tells.out();
      if (response.status === 403 || response.status === 404) {
        return JSON.stringify({ view: null, say: ((await response.json()) as Problem).say });
      }
      if (!response.ok) return null;
      const text = await response.text();
      return (JSON.parse(text) as FarScreen).person === this.person ? text : null;
    } catch {
      return null;
    }
  }
}
