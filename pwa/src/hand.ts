// Waiting edits on their way by another phone: the file that this phone saves,
// and the files of others that it keeps until it has handed them in.
import type { Borrowed, Handed, Me } from './messages';
import type { Queue } from './storage';

const mark = 'waiting edits';

/** The file. Only the server reads the visits. */
interface File {
  fairday: typeof mark;
  format: 1;
  shoot: string;
  name: string; // whose edits they are
  pass: string;
  saved: number; // ms since 1970
  visits: { edits: unknown[] }[];
}

/** Writes the file of what waits here. */
export function written(me: Me, visits: unknown, now: number): { name: string; text: string } {
  const file: File = { fairday: mark, format: 1, shoot: me.shoot, name: me.name, pass: me.pass, saved: now, visits: visits as File['visits'] };
  const stamp = new Date(now).toISOString().slice(0, 16).replace(/[:T]/g, '-');
  const whose = me.name.replace(/[^\p{L}\p{N}]+/gu, '-');
  return { name: `fairday-waiting-${whose}-${stamp}.json`, text: JSON.stringify(file) };
}

/** Reads a file of another phone, or says why it is none of ours. */
function read(text: string, me: Me): File | string {
  let file: Partial<File> | null;
  try {
    file = JSON.parse(text) as Partial<File> | null;
  } catch {
    return 'That file cannot be read. Choose the one that the other phone saved; its name starts with “fairday-waiting”.';
  }
  if (file?.fairday !== mark || typeof file.pass !== 'string' || !Array.isArray(file.visits) || !file.visits.every((v) => Array.isArray(v?.edits))) {
    return 'That file is not one that Fairday saved. Its name starts with “fairday-waiting”.';
  }
  if (file.format !== 1) return 'That file was saved by a newer Fairday. Reload this page, then choose it again.';
  if (file.shoot !== me.shoot) return 'That file belongs to another shoot. Hand it in on a phone that has joined there.';
  return file as File;
}

/** Files of other phones, kept here until they are handed in. */
export class Hands {
  private busy = false;

  constructor(
    private readonly queue: Queue,
    private readonly tell: (list: Borrowed[]) => void,
  ) {}

  /** Keeps a file and hands it in, now or once there is signal. */
  async take(text: string, me: Me): Promise<Handed> {
    const file = read(text, me);
    if (typeof file === 'string') return { good: false, say: file };
    const edits = count(file);
    if (edits === 0) return { good: true, say: `Nothing of ${file.name} waits in that file.` };
    await this.queue.setBorrowed(`${file.saved} ${file.name}`, file);
    return (await this.deliver(me)) ?? { good: true, say: `Kept on this phone: ${edits} of ${file.name}’s edits. They go out once there is signal.` };
  }

  /** Hands in what is kept. Gives what came of the last file that had an answer. */
  async deliver(me: Me): Promise<Handed | null> {
    if (this.busy) return null;
    this.busy = true;
    let last: Handed | null = null;
    try {
      for (const [key, value] of await this.queue.borrowed()) {
        const file = value as File;
        if (file.shoot !== me.shoot) continue;
        const said = await this.handIn(key, file);
        if (!said) break; // no signal: later
        last = said;
      }
    } finally {
      this.busy = false;
      await this.list();
    }
    return last;
  }

  /** Tells the page what waits. */
  async list(): Promise<void> {
    const all = await this.queue.borrowed();
    this.tell([...all].map(([key, file]) => ({ key, name: (file as File).name, edits: count(file as File) })));
  }

  private async handIn(key: string, file: File): Promise<Handed | null> {
    let taken = 0;
    const refused: string[] = [];
    while (file.visits.length > 0) {
      const said = await post(file.pass, file.visits[0]);
      if (said === null) return null;
      if ('say' in said) {
        if (said.final) await this.queue.setBorrowed(key, null);
        return { good: false, say: said.say };
      }
      taken += said.taken;
      refused.push(...said.refused);
      file.visits.shift();
      await this.queue.setBorrowed(key, file.visits.length > 0 ? file : null);
    }
    const say = `Shared for ${file.name}: ${taken} of ${taken + refused.length} edits.`;
    return refused.length > 0 ? { good: false, say: `${say} Not taken: ${refused.join(' ')}` } : { good: true, say };
  }
}

type Answer = { taken: number; refused: string[] } | { say: string; final: boolean } | null;

// An answer, or null where there was none worth having. What the server will
// never take is final: keeping it here would not help.
async function post(pass: string, visit: unknown): Promise<Answer> {
  let response: Response;
  try {
    response = await fetch('/api/hand', { method: 'POST', body: JSON.stringify({ pass, visit }), signal: AbortSignal.timeout(30_000) });
  } catch {
    return null;
  }
  if (response.ok) return (await response.json()) as { taken: number; refused: string[] };
  if (response.status === 429 || response.status >= 500) return null;
  const problem = (await response.json().catch(() => ({}))) as { say?: string };
  return { say: problem.say ?? 'The server did not take that file.', final: response.status !== 401 };
}

function count(file: File): number {
  return file.visits.reduce((n, v) => n + v.edits.length, 0);
}
