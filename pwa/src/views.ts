// The views that the page watches: made by the engine, passed on when they
// differ from the last, and remembered for the next start.
import type { Engine } from './engine';
import { passing } from './messages';

interface Watched {
  screen: string;
  args: string;
  kept: boolean; // to be remembered for the next start
  shown: string; // the last text that the page was given
}

export class Views {
  private readonly watched = new Map<string, Watched>();
  private painted = new Map<string, string>();
  private fresh = new Map<string, string>();

  constructor(private readonly show: (key: string, text: string, painted: boolean) => void) {}

  watch(key: string, screen: string, args: unknown): void {
    this.watched.set(key, { screen, args: JSON.stringify(args ?? {}), kept: !passing(args), shown: '' });
    this.paint(key);
  }

  unwatch(key: string): void {
    this.watched.delete(key);
  }

  /** Another person's phone now: here is what they last saw. */
  reset(painted: Map<string, string>): void {
    this.painted = painted;
    this.fresh.clear();
    for (const [key, w] of this.watched) {
      w.shown = '';
      this.paint(key);
    }
  }

  refresh(engine: Engine): void {
    for (const [key, w] of this.watched) {
      const text = engine.text('view', w.screen, w.args, Date.now());
      if (text === w.shown) continue;
      w.shown = text;
      if (w.kept) this.fresh.set(key, text);
      if (w.kept) this.painted.set(key, text);
      this.show(key, text, false);
    }
  }

  /** What was shown since the last call, to be stored. */
  unpainted(): Map<string, string> {
    const out = this.fresh;
    this.fresh = new Map();
    return out;
  }

  private paint(key: string): void {
    const text = this.painted.get(key);
    if (text) this.show(key, text, true);
  }
}
