// Has the engine come, and says how far it is: it is tried again until it is there.
import { compile, EngineGone } from './engine';
import type { Loading } from './messages';

const longest = 30_000; // ms between two tries

export class BringUp {
  private wake: () => void = () => undefined;

  constructor(
    private readonly tell: (loading: Loading) => void,
    private readonly broken: (err: unknown) => void,
  ) {}

  /** Resolves once the engine is compiled; counts is whether to tell how far it is. */
  async done(counts: boolean): Promise<void> {
    for (let wait = 1_000; ; wait = Math.min(longest, wait * 2)) {
      try {
        return void (await compile(counts ? (got, of) => this.tell({ got, of, stopped: '' }) : undefined));
      } catch (err) {
        if (err instanceof WebAssembly.CompileError && wait === 1_000) this.broken(err); // trying again hardly helps
        this.tell({ got: 0, of: 0, stopped: err instanceof EngineGone ? 'newer' : 'again' });
      }
      await new Promise<void>((go) => {
        this.wake = go;
        setTimeout(go, wait);
      });
    }
  }

  /** There may be a connection again. */
  now(): void {
    this.wake();
  }
}
