// Turns: what happens is handled one after the other, each to its end.
export class Turns {
  private last: Promise<unknown> = Promise.resolve();

  constructor(private readonly failed: (err: unknown) => Promise<void>) {}

  /** Runs work after all that was asked for before. What goes wrong is handled
   * within the turn and comes out of the promise too. */
  take<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.last.then(work);
    this.last = turn.then(
      () => undefined,
      (err: unknown) => this.failed(err),
    );
    return turn;
  }

  /** As take, where nobody waits for the outcome. */
  do(work: () => Promise<void>): void {
    this.take(work).catch(() => undefined); // handled by failed
  }
}
