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
  private fresh = new Map<string, string>();

  constructor(private readonly show: (key: string, text: string) => void) {}

  watch(key: string, screen: string, args: unknown): void {
    this.watched.set(key, { screen, args: JSON.stringify(args ?? {}), kept: !passing(args), shown: '' });
  }

  unwatch(key: string): void {
    this.watched.delete(key);
  }

  /** The page has forgotten what it was shown. */
  reset(): void {
    this.fresh.clear();
    for (const w of this.watched.values()) w.shown = '';
  }

  /** Makes all views afresh, or only one. */
  refresh(engine: Engine, only?: string): void {
    for (const [key, w] of this.watched) {
      if (only !== undefined && key !== only) continue;
      const text = engine.text('view', w.screen, w.args, Date.now());
      if (text === w.shown) continue;
      w.shown = text;
      if (w.kept) this.fresh.set(key, text);
      this.show(key, text);
    }
  }

  /** What was shown since the last call, to be stored. */
  unpainted(): Map<string, string> {
    const out = this.fresh;
    this.fresh = new Map();
    return out;
  }
}
