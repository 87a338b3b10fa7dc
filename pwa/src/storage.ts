// What this phone keeps, in two databases.
//
// The queue holds edits that the server has not ruled on yet, the number of the
// last one and the id of this device. It is never migrated and never cleared by
// a program: a row leaves on a verdict or when a person discards it. Device and
// numbers live beside the rows, so that who loses one loses all and starts as a
// new device.
//
// The cache holds the confirmed state with its cursor, and the last painted
// views. It belongs to one person on one shoot and can be thrown away.
import { openDB, type DBSchema, type IDBPDatabase } from 'idb';
import { random } from './engine';
import type { Slot } from './gen/engine';
import type { Me } from './messages';

interface QueueDB extends DBSchema {
  rows: { key: [string, number]; value: Slot & { who: string } };
  last: { key: string; value: number };
  facts: { key: string; value: unknown };
}

interface CacheDB extends DBSchema {
  confirmed: { key: string; value: string };
  painted: { key: string; value: string };
}

/** Told when a database cannot be opened yet, for the page to show; and "" once
 * it could. */
export type Trouble = (say: string) => void;

const inTheWay = 'Another Fairday tab seems to be in the way. Close the other tabs, and this one goes on by itself. Nothing is lost.';
const patience = 3_000; // ms after which opening counts as hindered; some browsers do not say what by

/** A database does not open at all; say is why, for a person. */
export class NoStorage extends Error {
  override name = 'NoStorage';
  readonly say: string;

  constructor(cause: unknown) {
    super(String(cause), { cause });
    this.say =
      cause instanceof DOMException && cause.name === 'VersionError'
        ? 'A newer Fairday is open in another tab. Reload this page to go on. What was kept on this phone stays.'
        : 'This browser lets Fairday store nothing, so nothing you enter here would be kept. It may be a private window, or storage may be switched off for this site. Allow this site to store data, or open Fairday in an ordinary window.';
  }
}

/** Out is that a phone was signed out, in words; ends is the session that the
 * server has yet to hear of. */
export interface Out {
  say: string;
  demo: boolean;
  ends?: string;
}

const cachePrefix = 'fairday-cache-';
const borrowedPrefix = 'borrowed ';
const pressPrefix = 'press ';

/** What was pressed before the engine was up. */
export interface StoredPress {
  name: string;
  args: string; // JSON
  made: number; // ms since 1970, by this phone's clock
}

/** whoOf names one person on one shoot on this phone. */
export function whoOf(me: Me): string {
  return `${me.shoot}/${me.person}`;
}

function everyRow(who: string): IDBKeyRange {
  return IDBKeyRange.bound([who, 0], [who, Infinity]);
}

/** One database, opened when first needed and again after it was lost. */
class Base<S extends DBSchema> {
  private opened: Promise<IDBPDatabase<S>> | null = null;
  private said = ''; // the trouble that the page was told of

  constructor(
    private readonly name: string,
    private readonly build: (db: IDBPDatabase<S>) => void,
    private readonly trouble: Trouble,
    private readonly lost: () => void = () => undefined,
  ) {}

  db(): Promise<IDBPDatabase<S>> {
    this.opened ??= this.open().catch((err: unknown) => {
      this.opened = null;
      throw err;
    });
    return this.opened;
  }

  private async open(): Promise<IDBPDatabase<S>> {
    const hinder = (): void => this.say(inTheWay);
    const slow = setTimeout(hinder, patience);
    try {
      const db = await openDB<S>(this.name, 1, {
        upgrade: (db, from) => {
          if (from === 0) this.build(db);
        },
        blocked: hinder,
        blocking: () => this.close(), // somebody wants it gone; the next use opens it afresh
        terminated: () => {
          this.opened = null;
          this.lost();
        },
      });
      this.say('');
      return db;
    } catch (err) {
      const none = new NoStorage(err);
      this.say(none.say);
      throw none;
    } finally {
      clearTimeout(slow);
    }
  }

  private say(what: string): void {
    if (what !== this.said) this.trouble(what);
    this.said = what;
  }

  close(): void {
    const was = this.opened;
    this.opened = null;
    void was?.then(
      (db) => db.close(),
      () => undefined, // whoever asked for it was told
    );
  }
}

/** The queue. */
export class Queue {
  private readonly base: Base<QueueDB>;

  /** Lost is called when the browser took the database away under us; it may
   * have been emptied. */
  constructor(trouble: Trouble, lost: () => void) {
    this.base = new Base<QueueDB>(
      'fairday-queue',
      (db) => {
        db.createObjectStore('rows', { keyPath: ['who', 'seq'] });
        db.createObjectStore('last');
        db.createObjectStore('facts');
      },
      trouble,
      lost,
    );
  }

  /** The device id; the first caller's proposal wins over those of other tabs. */
  async device(who: string, propose: () => string): Promise<string> {
    const db = await this.base.db();
    const known = await db.get('facts', 'device ' + who); // reading works on a full phone as well
    if (typeof known === 'string') return known;
    const tx = db.transaction('facts', 'readwrite', { durability: 'strict' });
    const have = await tx.store.get('device ' + who);
    const id = typeof have === 'string' ? have : propose();
    if (id !== have) void tx.store.put(id, 'device ' + who);
    await tx.done;
    return id;
  }

  /** The key of a device, or null. */
  async key(who: string, device: string): Promise<CryptoKeyPair | null> {
    return ((await (await this.base.db()).get('facts', `key ${who} ${device}`)) as CryptoKeyPair | undefined) ?? null;
  }

  /** Keeps the key of a device; the first caller's wins over those of other tabs. */
  async setKey(who: string, device: string, key: CryptoKeyPair): Promise<CryptoKeyPair> {
    const tx = (await this.base.db()).transaction('facts', 'readwrite', { durability: 'strict' });
    const have = (await tx.store.get(`key ${who} ${device}`)) as CryptoKeyPair | undefined;
    if (!have) void tx.store.put(key, `key ${who} ${device}`);
    await tx.done;
    return have ?? key;
  }

  /** Whether the server has said that it knows the key of a device. */
  async enrolled(who: string, device: string): Promise<boolean> {
    return (await (await this.base.db()).get('facts', `enrolled ${who} ${device}`)) === true;
  }

  async setEnrolled(who: string, device: string): Promise<void> {
    await (await this.base.db()).put('facts', true, `enrolled ${who} ${device}`);
  }

  /** Makes this phone a new device to the server: the rows get numbers from 1. */
  async renew(who: string, device: string): Promise<void> {
    const tx = (await this.base.db()).transaction(['rows', 'last', 'facts'], 'readwrite', { durability: 'strict' });
    const store = tx.objectStore('rows');
    const rows = await store.getAll(everyRow(who));
    void store.delete(everyRow(who));
    rows.forEach((r, i) => void store.put({ ...r, seq: i + 1 }));
    void tx.objectStore('last').put(rows.length, who);
    void tx.objectStore('facts').put(device, 'device ' + who);
    await tx.done;
  }

  /** Puts back what an open page still knows, if the database was emptied. */
  async restore(me: Me, device: string, slots: Slot[], sent: number): Promise<void> {
    const who = whoOf(me);
    const tx = (await this.base.db()).transaction(['rows', 'last', 'facts'], 'readwrite', { durability: 'strict' });
    if ((await tx.objectStore('facts').get('device ' + who)) === undefined) {
      void tx.objectStore('facts').put(device, 'device ' + who);
      void tx.objectStore('facts').put(me, 'me');
      void tx.objectStore('last').put(sent, who);
      for (const slot of slots) void tx.objectStore('rows').put({ who, ...slot });
    }
    await tx.done;
  }

  async me(): Promise<Me | null> {
    return ((await (await this.base.db()).get('facts', 'me')) as Me | undefined) ?? null;
  }

  async setMe(me: Me | null): Promise<void> {
    await (await this.base.db()).put('facts', me, 'me');
  }

  /** Why nobody is in on this phone; null where somebody is. */
  async out(): Promise<Out | null> {
    return ((await (await this.base.db()).get('facts', 'out')) as Out | undefined) ?? null;
  }

  async setOut(out: Out | null): Promise<void> {
    const tx = (await this.base.db()).transaction('facts', 'readwrite', { durability: 'strict' });
    void tx.store.put(out, 'out');
    await tx.done;
  }

  /** What other phones handed over, to be handed in from here, oldest first. */
  async borrowed(): Promise<Map<string, unknown>> {
    const tx = (await this.base.db()).transaction('facts');
    const range = IDBKeyRange.bound(borrowedPrefix, borrowedPrefix + '\uffff');
    const [keys, values] = await Promise.all([tx.store.getAllKeys(range), tx.store.getAll(range)]);
    await tx.done;
    return new Map(keys.map((k, i) => [k.slice(borrowedPrefix.length), values[i]]));
  }

  /** Keeps a file of another phone, or what is left of it; null drops it. */
  async setBorrowed(key: string, file: unknown): Promise<void> {
    const tx = (await this.base.db()).transaction('facts', 'readwrite', { durability: 'strict' });
    void (file === null ? tx.store.delete(borrowedPrefix + key) : tx.store.put(file, borrowedPrefix + key));
    await tx.done;
  }

  /** Every row, and the highest number ever given out. */
  async load(who: string): Promise<{ slots: Slot[]; sent: number }> {
    const tx = (await this.base.db()).transaction(['rows', 'last']);
    const [found, last] = await Promise.all([tx.objectStore('rows').getAll(everyRow(who)), tx.objectStore('last').get(who)]);
    await tx.done;
    return { slots: found.map(({ seq, row }) => ({ seq, row })), sent: last ?? 0 };
  }

  /**
   * Keeps rows. One without a number gets the next, inside the transaction,
   * since other tabs give out numbers too. When this returns, the rows are on
   * disk; when it throws, none of them is. With the key of a press, the rows take
   * its place; there are none where another tab was first.
   */
  async keep(who: string, slots: Slot[], press = ''): Promise<Slot[]> {
    const tx = (await this.base.db()).transaction(['rows', 'last', 'facts'], 'readwrite', { durability: 'strict' });
    const done = tx.done; // rejects when the transaction is aborted
    const work = async (): Promise<Slot[]> => {
      if (press) {
        if (!(await tx.objectStore('facts').getKey(press))) return [];
        void tx.objectStore('facts').delete(press);
      }
      const rows = tx.objectStore('rows');
      let last = (await tx.objectStore('last').get(who)) ?? 0;
      const kept: Slot[] = [];
      for (const { seq, row } of slots) {
        if (seq === 0) kept.push({ seq: ++last, row });
        else if (await rows.getKey([who, seq])) kept.push({ seq, row }); // a row that is gone stays gone
      }
      for (const slot of kept) void rows.put({ who, ...slot });
      void tx.objectStore('last').put(last, who);
      return kept;
    };
    const [kept] = await Promise.all([work(), done]);
    return kept;
  }

  /** Keeps what was pressed before the engine was up; on disk when it returns. */
  async press(who: string, press: StoredPress): Promise<void> {
    const tx = (await this.base.db()).transaction('facts', 'readwrite', { durability: 'strict' });
    void tx.store.put(press, `${pressPrefix}${who} ${String(press.made).padStart(16, '0')} ${random()}`);
    await tx.done;
  }

  /** What was pressed and is not in the queue yet, by key, oldest first. */
  async presses(who: string): Promise<Map<string, StoredPress>> {
    const tx = (await this.base.db()).transaction('facts');
    const range = IDBKeyRange.bound(`${pressPrefix}${who} `, `${pressPrefix}${who} \uffff`);
    const [keys, values] = await Promise.all([tx.store.getAllKeys(range), tx.store.getAll(range)]);
    await tx.done;
    return new Map(keys.map((k, i) => [k, values[i] as StoredPress]));
  }

  /** Whether anything of somebody's waits on this phone. */
  async waits(who: string): Promise<boolean> {
    return (await this.load(who)).slots.length > 0 || (await this.presses(who)).size > 0;
  }

  async drop(who: string, seqs: number[]): Promise<void> {
    const tx = (await this.base.db()).transaction('rows', 'readwrite', { durability: 'strict' });
    for (const seq of seqs) void tx.store.delete([who, seq]);
    await tx.done;
  }
}

/** The cache of one person on one shoot. */
export class Cache {
  private readonly base: Base<CacheDB>;

  constructor(who: string, trouble: Trouble) {
    this.base = new Base<CacheDB>(
      cachePrefix + who,
      (db) => {
        db.createObjectStore('confirmed');
        db.createObjectStore('painted');
      },
      trouble,
    );
  }

  /** What was stored last, as the engine wrote it, or ''. */
  async load(): Promise<string> {
    return (await (await this.base.db()).get('confirmed', 'cache')) ?? '';
  }

  /** Stores state and cursor together; on disk when it returns, where rows that
   * it answers are marked next. */
  async store(cache: string, answers: boolean): Promise<void> {
    const tx = (await this.base.db()).transaction('confirmed', 'readwrite', { durability: answers ? 'strict' : 'relaxed' });
    void tx.store.put(cache, 'cache');
    await tx.done;
  }

  /** Empties it: what the person may see has changed, or it went wrong. */
  async wipe(): Promise<void> {
    const tx = (await this.base.db()).transaction(['confirmed', 'painted'], 'readwrite', { durability: 'strict' });
    void tx.objectStore('confirmed').clear();
    void tx.objectStore('painted').clear();
    await tx.done;
  }

  async painted(): Promise<Map<string, string>> {
    const tx = (await this.base.db()).transaction('painted');
    const [keys, texts] = await Promise.all([tx.store.getAllKeys(), tx.store.getAll()]);
    return new Map(keys.map((k, i) => [k, texts[i] ?? '']));
  }

  async paint(views: Map<string, string>): Promise<void> {
    const tx = (await this.base.db()).transaction('painted', 'readwrite');
    for (const [key, text] of views) void tx.store.put(text, key);
    await tx.done;
  }
}

/** Deletes the caches of everybody else who used this phone; of everybody, for "". */
export async function dropOtherCaches(who: string): Promise<void> {
  for (const { name } of await indexedDB.databases()) {
    if (name?.startsWith(cachePrefix) && name !== cachePrefix + who) indexedDB.deleteDatabase(name);
  }
}
