// Waiting edits on their way by another phone: the file that this phone saves,
// and the files of others that it keeps until it has handed them in.
import type { Handed as Taken, Handover, Problem, SignedEdit } from './gen/web';
import type { Borrowed, Handed, Me } from './messages';
import { sign } from './sign';
import type { Queue } from './storage';

const mark = 'waiting edits';
const goodFor = 48 * 3_600_000; // ms

/** The file. What the server takes stands in the signed texts; the rest is for
 * people and for sorting files out. */
interface File {
  fairday: typeof mark;
  format: 2;
  shoot: string;
  name: string; // whose edits they are
  saved: number; // ms since 1970
  edits: SignedEdit[];
}

/** An edit as the engine hands it over; only its number matters here. */
interface Edit {
  seq: number;
}

/** Writes the file of what waits here, each edit signed by this device. Now is the
 * server's time as far as this phone knows. */
export async function written(me: Me, device: string, key: CryptoKeyPair, visits: { edits: Edit[] }[], now: number): Promise<{ name: string; text: string }> {
  const edits: SignedEdit[] = [];
  let after = 0;
  for (const edit of visits.flatMap((v) => v.edits)) {
    const bound = { fairday: 'waiting edit 1', shoot: me.shoot, owner: me.person, device, epoch: me.epoch, until: now + goodFor };
    edits.push(await sign(key, { ...bound, after, edit }));
    after = edit.seq;
  }
  const file: File = { fairday: mark, format: 2, shoot: me.shoot, name: me.name, saved: now, edits };
  const stamp = new Date(now).toISOString().slice(0, 16).replace(/[:T]/g, '-');
  const whose = me.name.replace(/[^\p{L}\p{N}]+/gu, '-');
  return { name: `fairday-waiting-${whose}-${stamp}.json`, text: JSON.stringify(file) };
}

/** Reads a file of another phone, or says why it is none of ours. */
function read(text: string, me: Me): File | string {
  let file: (Omit<Partial<File>, 'format'> & { format?: number }) | null;
  try {
    file = JSON.parse(text) as typeof file;
  } catch {
    return 'That file cannot be read. Choose the one that the other phone saved; its name starts with “fairday-waiting”.';
  }
  if (file?.fairday !== mark) return 'That file is not one that Fairday saved. Its name starts with “fairday-waiting”.';
  if (file.format === 1) return 'That file was saved by an older Fairday. Save it again on the phone that it comes from.';
  if (file.format !== 2) return 'That file was saved by a newer Fairday. Reload this page, then choose it again.';
  if (!Array.isArray(file.edits) || !file.edits.every((e) => typeof e?.text === 'string' && typeof e.sig === 'string')) {
    return 'That file was changed, or is not whole. Save it again on the phone that it comes from.';
  }
  if (file.shoot !== me.shoot) return 'That file belongs to another shoot. Hand it in on a phone that has joined there.';
  return { ...(file as File), name: String(file.name).slice(0, 80) };
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
    const edits = file.edits.length;
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
        if (file.shoot !== me.shoot || file.format !== 2) continue;
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
    const files = [...all].filter(([, file]) => (file as File).format === 2); // one of an older Fairday is of no use any more
    this.tell(files.map(([key, file]) => ({ key, name: (file as File).name, edits: (file as File).edits.length })));
  }

  private async handIn(key: string, file: File): Promise<Handed | null> {
    let [taken, ownWord] = [0, 0];
    const refused: string[] = [];
    const of = file.edits.length;
    while (file.edits.length > 0) {
      const part = fitting(file.edits);
      const said = await post(part);
      if (said === null) return null;
      if ('say' in said) {
        if (said.final) await this.queue.setBorrowed(key, null);
        return { good: false, say: said.say };
      }
      taken += said.taken;
      ownWord += said.ownWord;
      refused.push(...said.refused);
      file.edits.splice(0, part.length);
      await this.queue.setBorrowed(key, file.edits.length > 0 ? file : null);
    }
    let say = `Shared for ${file.name}: ${taken} of ${of} edits.`;
    if (ownWord > 0) say += ` ${ownWord} ${ownWord === 1 ? 'is a request and waits' : 'are requests and wait'} on ${file.name}’s phone for their own word.`;
    return refused.length > 0 ? { good: false, say: `${say} Not taken: ${refused.join(' ')}` } : { good: true, say };
  }
}

/** As many as fit into one request: the server takes 256 edits and 320 KiB. */
function fitting(edits: SignedEdit[]): SignedEdit[] {
  let size = 0;
  const over = edits.findIndex((e, i) => (size += new TextEncoder().encode(JSON.stringify(e)).length + 1) > 250_000 && i > 0);
  return edits.slice(0, Math.min(over < 0 ? edits.length : over, 256));
}

type Answer = Taken | { say: string; final: boolean } | null;

// An answer, or null where there was none worth having. What the server will
// never take is final: keeping it here would not help.
async function post(edits: SignedEdit[]): Promise<Answer> {
  const brought: Handover = { edits };
  let response: Response;
  try {
    response = await fetch('/api/hand', { method: 'POST', body: JSON.stringify(brought), signal: AbortSignal.timeout(30_000) });
  } catch {
    return null;
  }
  if (response.ok) return (await response.json()) as Taken;
  if (response.status === 429 || response.status >= 500) return null;
  const problem = (await response.json().catch(() => ({}))) as Partial<Problem>;
  return { say: problem.say ?? 'The server did not take that file.', final: response.status !== 401 };
}
