import type { Filled, Reply, Slot, Standing } from './gen/engine';
import type { Action } from './gen/view';
import { FarViews } from './far';
import type { First } from './first';
import { BringUp } from './bringup';
import { Engine, EngineFault, random } from './engine';
import { Hands, written } from './hand';
import type { FromWorker, Handed, Line, Me, Outcome, ToWorker } from './messages';
import { enroll, keyOf } from './sign';
import { Socket } from './socket';
import { Cache, dropOtherCaches, NoStorage, Queue, whoOf, type Out } from './storage';
import { Tabs, type Word } from './tabs';
import { Turns } from './turns';
import { Views } from './views';
import { endSession, whoAmI } from './whoami';

const beat = 1_000; // ms between ticks
const viewEvery = 10; // ticks after which views are made afresh, since they tell the time
const blink = 700; // ms without a connection before the page speaks of it: a fresh socket takes less
const troubled = 60_000; // ms; faults closer together than this count as one trouble

/** One tab's share of this phone. */
export class Phone {
  private engine: Engine | null = null;
  private me: Me | null = null;
  private device = '';
  private known = false; // the server has said that this phone is me
  private cache: Cache | null = null;
  private standing: Standing | null = null;
  private line: Line = { connection: 'starting', since: Date.now(), say: '' };
  private link = 0; // serial of the connection that the engine knows of, 0 for none
  private faults: number[] = [];
  private ticks = 0;
  private reloading = false;
  private engineUp: Promise<void> = Promise.resolve(); // rejects where it cannot come up
  private led = false; // it led when it loaded, so that nobody else has stored anything since
  private full = false; // the last thing that was to be stored had no room
  private asking = false;
  private first: First | null = null; // what came with the page, until the engine is up
  private up = false; // the engine was up once
  private early = 0; // serial of a connection that was there before the engine
  private out: Out | null = null; // why nobody is in here; null where somebody is

  private readonly turns = new Turns((err) => this.failed(err));
  private readonly trouble = (say: string): void => this.post({ type: 'trouble', say });
  private readonly bringUp = new BringUp(
    (loading) => this.post({ type: 'loading', loading }),
    (err) => this.fault(err),
  );
  private readonly queue = new Queue(this.trouble, () => this.turns.do(() => this.putBack()));
  private readonly hands = new Hands(this.queue, (list) => this.post({ type: 'borrowed', list }));
  private readonly views = new Views((key, text) => this.post({ type: 'view', key, text }));
  private readonly far = new FarViews({
    show: (key, text) => this.post({ type: 'view', key, text }),
    behind: (key, behind) => this.post({ type: 'behind', key, behind }),
    out: () => void this.identify(),
  });
  private readonly tabs = new Tabs(
    (word) => this.overheard(word),
    (leading) => this.turns.do(() => this.lead(leading)),
  );
  private readonly socket = new Socket(`${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/sync`, {
    opened: (serial) => this.turns.do(() => this.opened(serial)),
    heard: (text) =>
      this.turns.do(async () => {
        if (this.link) await this.carry(this.must().do('receive', text, Date.now()));
      }),
    closed: () => this.turns.do(() => this.closed()),
  });

  constructor(private readonly post: (message: FromWorker) => void) {}

  /** Shows what is stored, or came with the page, while the engine is on its way. A
   * tab that is alone leads by the time that it is up, so that it loads once. */
  start(first: boolean, anew: boolean): void {
    if (first) this.post({ type: 'awake' });
    else this.begin(null);
    this.engineUp = this.bringUp
      .done(anew)
      .then(() => this.turns.take(() => this.rise()))
      .catch((err: unknown) => {
        if (!this.up) throw err; // otherwise its turn has dealt with it
      });
    this.engineUp.catch(() => undefined); // its turn has said it
    this.turns.do(() => this.hands.list());
    this.tabs.start();
    setInterval(() => this.turns.do(() => this.tick()), beat);
  }

  private begin(first: First | null): void {
    this.first = first;
    this.turns.do(async () => {
      const [me, out] = await Promise.all([this.queue.me(), this.queue.out()]);
      this.out = out;
      if (me && (!first || out)) await this.become(me);
      if (out)
        await this.signedOut(out); // whatever was left of it when the page closed
      else if (first) await this.met(first.me, me); // the page says whom the server knows
    });
    if (!first) void this.identify();
    this.turns.do(async () => {
      if (this.out) void this.identify();
    });
  }

  private async rise(): Promise<void> {
    this.engine = await Engine.start();
    this.up = true;
    await this.load();
    this.first = null;
    if (this.early) await this.opened(this.early);
  }

  /** Runs work in its turn, once the engine is up. */
  private async withEngine<T>(work: () => Promise<T>): Promise<T> {
    await this.engineUp;
    return this.turns.take(work);
  }

  /** Takes what the page says. */
  heard(message: ToWorker): void {
    switch (message.type) {
      case 'first':
        return this.begin(message.first);
      case 'watch':
        if (message.far) return this.far.watch(message.key, message.screen, message.args);
        this.views.watch(message.key, message.screen, message.args);
        this.turns.do(async () => this.show(message.key));
        return;
      case 'unwatch':
        this.far.unwatch(message.key);
        return this.views.unwatch(message.key);
      case 'edit':
        void this.edit(message.name, message.args).then((outcome) => this.post({ type: 'done', call: message.call, outcome }));
        return;
      case 'discard':
        this.answer(
          message.call,
          this.withEngine(() => this.discard(message.seq)),
        );
        return;
      case 'settled':
        this.answer(
          message.call,
          this.turns.take(() => this.paint()),
        );
        return;
      case 'open':
        this.withEngine(async () => this.open(message)).catch(() => undefined); // the turn says it
        return;
      case 'fill':
        this.withEngine(async () => this.fill(message)).catch(() => undefined);
        return;
      case 'handover':
        this.withEngine(() => this.handOver()).then(
          (file) => this.post({ type: 'handover', call: message.call, file }),
          () => this.post({ type: 'handover', call: message.call, file: 'This phone could not write that file. Try again.' }), // the cause was shown by the turn
        );
        return;
      case 'hand':
        void this.handIn(message.text).then((said) => this.post({ type: 'handed', call: message.call, said }));
        return;
      case 'leave':
        this.answer(
          message.call,
          this.turns.take(() => this.leave()),
        );
        return;
      case 'who':
        this.tabs.say({ type: 'me' });
        void this.identify();
        return;
      case 'front':
        this.tabs.ask();
        this.bringUp.now();
        this.socket.fresh();
        if (this.line.connection === 'out') void this.identify();
        return;
      case 'online':
        if (this.out) void this.identify();
        this.bringUp.now();
        return this.socket.fresh();
      case 'offline':
        return this.socket.again();
    }
  }

  /** Something broke that no turn knows of. */
  fault(err: unknown): void {
    const said = err instanceof Error ? `${err.name}: ${err.message}\n${err.stack ?? ''}` : String(err);
    this.post({ type: 'fault', say: 'Something broke on this phone. What it said was kept is kept. Reload the page if it does not go on.', detail: said });
  }

  private answer(call: number, work: Promise<void>): void {
    work.then(
      () => this.post({ type: 'done', call, outcome: { kept: true } }),
      (err: unknown) => this.post({ type: 'done', call, outcome: notKept(err) }),
    );
  }

  private edit(name: string, args: unknown): Promise<Outcome> {
    return this.turns
      .take<Outcome>(async () => {
        if (!this.up || !this.standing?.known) return this.press(name, args);
        const reply = this.must().do('edit', name, JSON.stringify(args), random(), Date.now());
        if (reply.refused) return { refused: reply.refused };
        await this.carry(reply); // keeps it, then shows and sends it
        return { kept: true };
      })
      .catch(notKept); // the cause was shown by the turn
  }

  /** Keeps what is pressed while nothing here can judge it, on a screen that was
   * finished before: it goes into the queue once the shoot is known. */
  private async press(name: string, args: unknown): Promise<Outcome> {
    await this.queue.press(this.who(), { name, args: JSON.stringify(args), made: Date.now() });
    if (this.engine) await this.enterPresses();
    else await this.tellPresses();
    return { kept: true };
  }

  /** Puts what was pressed before into the queue, once the shoot is known, each once
   * also where several tabs do. */
  private async enterPresses(): Promise<void> {
    while (this.standing?.known) {
      const [next] = await this.queue.presses(this.who());
      if (!next) break;
      const [key, { name, args, made }] = next;
      await this.carry(this.must().do('entered', name, args, random(), made), key);
    }
    await this.tellPresses();
  }

  /** Tells the page what was pressed and is not in the queue yet. */
  private async tellPresses(): Promise<void> {
    const list = [...(await this.queue.presses(this.who())).values()];
    this.post({ type: 'pressed', list: list.map(({ name, args }) => ({ name, args: JSON.parse(args) as unknown })) });
  }

  private open({ call, action }: Extract<ToWorker, { type: 'open' }>): void {
    let opened = { ...(action as Action), later: false, enabled: false, why: 'This phone could not read that. Reload the page and try again.' };
    try {
      opened = JSON.parse(this.must().text('open', JSON.stringify(action), Date.now())) as typeof opened;
    } finally {
      this.post({ type: 'opened', call, action: opened });
    }
  }

  private fill({ call, action, entered }: Extract<ToWorker, { type: 'fill' }>): void {
    let filled: Filled = { problem: { key: '', say: 'This phone could not read the form. Reload the page and enter it again.' } };
    try {
      const text = this.must().text('fill', JSON.stringify(action), JSON.stringify(entered), random(), Date.now());
      filled = JSON.parse(text) as Filled;
    } finally {
      this.post({ type: 'filled', call, filled });
    }
  }

  private async discard(seq: number): Promise<void> {
    await this.carry(this.must().do('discard', seq));
    this.tabs.say({ type: 'discarded', who: this.who(), seq });
  }

  /** The file of what waits here, or why there is none. */
  private async handOver(): Promise<{ name: string; text: string } | string> {
    if (!this.me || !this.device) return 'Join the shoot on this phone first.';
    const key = await keyOf(this.queue, this.who(), this.device);
    if (!key) return 'This page came over plain http, where a browser cannot sign. What waits stays here and goes out once there is signal.';
    if (!(await this.queue.enrolled(this.who(), this.device))) {
      return 'The server does not know this phone’s signature yet; it learns it the next time this phone has signal. What waits stays here.';
    }
    const visits = JSON.parse(this.must().text('handover')) as { edits: { seq: number }[] }[];
    return written(this.me, this.device, key, visits, Date.now() - (this.standing?.offset ?? 0));
  }

  /** Has the server know this device's key, so that what waits can be handed over
   * when there is no signal. Nothing waits for it. */
  private enroll(): void {
    const { me, device } = this;
    if (!me || !device || !this.known) return;
    const who = whoOf(me);
    const work = async (): Promise<void> => {
      const key = await keyOf(this.queue, who, device);
      const said = key ? await enroll(device, key) : 'away';
      if (said === 'known') await this.queue.setEnrolled(who, device);
      if (said !== 'other') return;
      this.turns.do(async () => {
        if (!this.engine || this.device !== device || this.who() !== who) return;
        await this.queue.renew(who, this.engine.newId());
        await this.load();
      });
    };
    work().catch(() => undefined); // without a key this phone hands nothing over, and says so when it is asked to
  }

  // A file of another phone does not wait for a turn: it may take long, and has
  // nothing to do with this phone's own queue.
  private async handIn(text: string): Promise<Handed> {
    if (!this.me) return { good: false, say: 'Join the shoot on this phone first.' };
    try {
      return await this.hands.take(text, this.me);
    } catch (err) {
      this.fault(err);
      return { good: false, say: 'This phone could not keep that file. Make room on it, then choose it again.' };
    }
  }

  // ---- who we are

  /** Asks the server who this phone is; without an answer all stays as it is. */
  private async identify(): Promise<void> {
    if (this.asking) return;
    this.asking = true;
    const answer = await this.ended()
      .then(whoAmI)
      .finally(() => (this.asking = false));
    this.turns.do(async () => {
      if (this.out?.ends) return void (await this.signedOut(this.out)); // the server has yet to hear of it, or it was just now
      if ('me' in answer) {
        if (this.out) await this.queue.setOut((this.out = null));
        return void (await this.met(answer.me, this.me));
      }
      if ('out' in answer) {
        const news = await this.signedOut({ say: answer.out, demo: answer.demo });
        // what was entered before is handed in; the engine stops asking after that
        if (news && answer.withdrawn && this.standing?.waiting && this.tabs.leading) this.socket.start();
      } else if (this.out) {
        this.say({ connection: 'out', say: this.out.say, demo: this.out.demo });
      } else {
        if (!this.me) this.post({ type: 'me', me: null });
        if (!this.standing?.online) this.say({ connection: 'away', say: '' });
      }
    });
  }

  /** The server has said who this is; before is who it was. */
  private async met(me: Me, before: Me | null): Promise<void> {
    if (JSON.stringify(me) !== JSON.stringify(before)) await this.queue.setMe(me);
    if (!this.me || whoOf(this.me) !== whoOf(me)) {
      await this.become(me);
      await dropOtherCaches(this.who());
      if (this.engine) await this.load();
    } else {
      this.me = me;
      this.post({ type: 'me', me });
    }
    if (this.tabs.leading) this.socket.start();
    this.known = true;
    this.enroll();
  }

  /** Signs this phone out; the server hears of it now or with the next contact. */
  private async leave(): Promise<void> {
    const say = 'This phone is signed out. Open your join link to come back.';
    await this.signedOut({ say, demo: this.me?.demo ?? false, ends: this.me?.session ?? '-' });
    void this.identify();
  }

  /** Tells the server of a signing out that it has not heard of; until it has, the
   * phone is nobody's. */
  private async ended(): Promise<void> {
    const out = await this.queue.out().catch(() => null);
    if (!out?.ends || !(await endSession({ session: out.ends === '-' ? '' : out.ends }))) return;
    await this.turns.take(async () => {
      if (this.out?.ends !== out.ends && (await this.queue.out())?.ends !== out.ends) return;
      this.out = { say: out.say, demo: out.demo };
      await this.queue.setOut(this.out);
    });
  }

  /** Wipes all that this phone knows but the edits that wait, here and in the other
   * tabs. It is somebody's yet only where edits wait. Tells whether that is news. */
  private async signedOut(out: Out, told = false): Promise<boolean> {
    const first = JSON.stringify(out) !== JSON.stringify(this.out);
    this.socket.stop();
    this.link = 0;
    this.known = false;
    this.out = out;
    if (first && !told) {
      await this.queue.setOut(out); // first of all: killed halfway, the rest is done with the next start
      this.tabs.say({ type: 'out', out });
    }
    this.forget(new Map(), '');
    await this.cache?.wipe();
    await dropOtherCaches(this.me ? this.who() : '');
    if (this.me) {
      if (await this.queue.waits(this.who())) {
        if (this.engine) await this.load();
      } else {
        this.me = null;
        this.cache = null;
        this.standing = null;
        await this.queue.setMe(null);
        await dropOtherCaches('');
      }
    }
    if (!this.me) this.post({ type: 'me', me: null });
    this.say({ connection: 'out', say: out.say, demo: out.demo });
    return first;
  }

  private async become(me: Me): Promise<void> {
    this.socket.stop();
    this.link = 0;
    this.me = me;
    this.known = false;
    this.cache = new Cache(whoOf(me), this.trouble);
    this.forget(await this.painted(me), me.person);
    this.post({ type: 'me', me });
    await this.tellPresses();
  }

  /** What is shown before the engine is up: what this phone showed last, and the
   * server's newer screens where no edit waits that they do not show. */
  private async painted(me: Me): Promise<Map<string, string>> {
    const stored = (await this.cache?.painted()) ?? new Map<string, string>();
    const first = this.first;
    if (!first || whoOf(first.me) !== whoOf(me) || first.me.epoch !== me.epoch) return stored;
    return (await this.queue.waits(whoOf(me))) ? new Map([...first.views, ...stored]) : new Map([...stored, ...first.views]);
  }

  /** Has the page forget what it was shown, but what was painted before for whoever
   * this is now. */
  private forget(painted: Map<string, string>, person: string): void {
    this.views.reset();
    this.post({ type: 'forget', painted });
    this.far.reset(person);
  }

  private who(): string {
    if (!this.me) throw new Error('nobody has joined on this phone');
    return whoOf(this.me);
  }

  // ---- the engine

  private must(): Engine {
    if (!this.engine) throw new Error('the engine is not up yet');
    return this.engine;
  }

  /** Loads the engine from storage, as if the page had just been opened. */
  private async load(): Promise<void> {
    this.reloading = false;
    if (!this.me || !this.cache) return;
    const engine = this.must();
    const who = this.who();
    this.led = this.tabs.leading;
    this.device = await this.queue.device(who, () => engine.newId());
    const [{ slots, sent }, cache] = await Promise.all([this.queue.load(who), this.cache.load()]);
    const start = { device: this.device, person: this.me.person, app: __RELEASE__, sent };
    await this.carry(engine.do('load', JSON.stringify(start), cache, JSON.stringify(slots)));
    await this.enterPresses();
    this.enroll();
  }

  /** The browser has taken the queue away, perhaps to make room: what this page
   * still knows of it is written anew. */
  private async putBack(tries = 20): Promise<void> {
    if (!this.me || !this.engine || !this.device) return;
    const { slots, sent } = JSON.parse(this.engine.text('rows')) as { slots: Slot[]; sent: number };
    try {
      await this.queue.restore(this.me, this.device, slots, sent);
    } catch (err) {
      if (tries === 0) throw err;
      setTimeout(() => this.turns.do(() => this.putBack(tries - 1)), 500); // it may still be at it
      return;
    }
    await this.load();
  }

  /** Carries out a reply; the order is what keeps edits safe. */
  private async carry(reply: Reply, press = ''): Promise<void> {
    if (!this.cache) return;
    const engine = this.must();
    if (reply.wipe) {
      this.forget(new Map(), this.me?.person ?? '');
      await this.cache.wipe();
      void this.identify(); // the role may be another
    }
    const { cache } = this;
    const answers = !!reply.keep || !!reply.drop;
    const stored = !reply.cached || (await this.store(() => cache.store(engine.text('cache'), answers)));
    if (reply.keep && stored) await this.keep(reply.keep, press);
    if (reply.drop && stored) await this.queue.drop(this.who(), reply.drop);
    for (const text of reply.send ?? []) this.socket.send(this.link, text);
    const known = this.standing?.known;
    if (reply.standing) this.stand(reply.standing);
    if (!known && this.standing?.known) await this.enterPresses();
    if (reply.changed) this.show();
    if (this.tabs.leading && (reply.wipe || reply.cached || reply.keep || reply.drop)) this.tabs.say({ type: 'stored', who: this.who() });
    if (reply.reread) {
      const { slots, sent } = await this.queue.load(this.who());
      await this.carry(engine.do('reread', JSON.stringify(slots), sent, Date.now()));
    }
    if (reply.newDevice) {
      await this.queue.renew(this.who(), engine.newId());
      await this.load();
    }
    if (reply.close) await this.hangUp(reply);
  }

  /** Stores what can be fetched or made again. A phone without room goes on
   * without: it shows the day as it is, and rows stay as they were, to be asked
   * about again another time. */
  private async store(work: () => Promise<void>): Promise<boolean> {
    try {
      await work();
      if (this.full) this.trouble('');
      this.full = false;
      return true;
    } catch (err) {
      if (!(err instanceof DOMException && err.name === 'QuotaExceededError')) throw err;
      if (!this.full) this.trouble('This phone has no room left. It shows the day, but keeps nothing new for when there is no signal. Make room on it.');
      this.full = true;
      return false;
    }
  }

  private async keep(slots: Slot[], press: string): Promise<void> {
    const kept = await this.queue.keep(this.who(), slots, press);
    if (press && kept.length === 0) return this.load(); // another tab has put it in, and has told of it
    if (!slots.some((s) => s.seq === 0)) return;
    this.tabs.say({ type: 'kept', who: this.who(), slots: kept });
    await this.carry(this.must().do('kept', JSON.stringify(kept), Date.now()));
  }

  private async tick(): Promise<void> {
    const round = ++this.ticks % viewEvery === 0;
    if (round && this.out?.ends) void this.identify(); // not every browser tells of a network that is back
    if (!this.engine || !this.me) return;
    await this.carry(this.engine.do('tick', Date.now()));
    if (round) this.show();
    await this.paint();
  }

  /** A turn went wrong: say so, and where the engine broke, start it afresh.
   * The second fault in a row also throws the cache away; the fourth gives up. */
  private async failed(err: unknown): Promise<void> {
    if (err instanceof NoStorage) return; // the page was told in words
    this.fault(err);
    if (!(err instanceof EngineFault)) return;
    const now = Date.now();
    this.faults = [...this.faults.filter((t) => now - t < troubled), now];
    this.engine?.stop();
    this.engine = null;
    this.link = 0;
    if (this.faults.length >= 4) return this.socket.stop();
    try {
      if (this.faults.length >= 2) await this.cache?.wipe();
      this.engine = await Engine.start();
      await this.load();
    } catch (again) {
      this.fault(again);
    }
    this.socket.again();
  }

  // ---- the connection

  private async lead(leading: boolean): Promise<void> {
    if (!leading) {
      this.led = false;
      return this.socket.stop();
    }
    if (this.engine && !this.led) await this.load(); // what the last leader stored
    if (this.me && !this.out?.ends) this.socket.start();
  }

  private async opened(serial: number): Promise<void> {
    this.early = this.up ? 0 : serial;
    if (this.early) return; // it is greeted once the engine is up
    if (!this.me || !this.engine || this.out?.ends) return this.socket.again();
    this.link = serial;
    await this.carry(this.engine.do('connected', Date.now()));
  }

  private async closed(): Promise<void> {
    const welcomed = this.standing?.online;
    this.early = 0;
    if (this.link && this.engine) {
      this.link = 0;
      await this.carry(this.engine.do('disconnected', Date.now()));
    }
    if (!welcomed) void this.identify(); // the server may not want us
  }

  private async hangUp(reply: Reply): Promise<void> {
    this.link = 0;
    if (reply.retryAfter) this.socket.stayAway(reply.retryAfter);
    await this.carry(this.must().do('disconnected', Date.now()));
    if (reply.halt) this.socket.stop();
    else this.socket.again();
    if (reply.halt) void this.identify(); // the server says why
  }

  private stand(standing: Standing): void {
    if (standing.heard !== this.standing?.heard) this.far.changed();
    this.standing = standing;
    this.post({ type: 'standing', standing });
    if (!this.tabs.leading) return;
    if (standing.online) {
      this.socket.settled();
      if (this.line.connection !== 'live' && this.me) void this.hands.deliver(this.me).catch((err) => this.fault(err));
      this.say({ connection: 'live', say: '' });
    } else if (this.line.connection === 'live') {
      setTimeout(() => {
        if (!this.standing?.online && this.line.connection === 'live') this.say({ connection: 'away', say: '' });
      }, blink);
    }
  }

  private say(line: Omit<Line, 'since'>): void {
    if (line.connection !== this.line.connection || line.say !== this.line.say) {
      this.hear({ ...line, since: Date.now() });
    }
    if (this.tabs.leading) this.tabs.say({ type: 'line', line: this.line });
  }

  private hear(line: Line): void {
    this.line = line;
    this.post({ type: 'line', line });
    this.far.reach(line.connection === 'live');
  }

  // ---- other tabs

  private overheard(word: Word): void {
    this.turns.do(async () => {
      if ('who' in word && (!this.me || !this.engine || word.who !== whoOf(this.me))) return;
      switch (word.type) {
        case 'kept':
          return this.carry(this.must().do('kept', JSON.stringify(word.slots), Date.now()));
        case 'discarded':
          return this.carry(this.must().do('discard', word.seq));
        case 'stored':
          if (this.tabs.leading || this.reloading) return;
          this.reloading = true;
          setTimeout(() => this.turns.do(() => this.load()), 100); // several in a row are one
          return;
        case 'line':
          if (this.tabs.leading) return;
          return this.hear(word.line);
        case 'who leads':
          if (this.tabs.leading) this.tabs.say({ type: 'line', line: this.line });
          return;
        case 'out':
          return void (await this.signedOut(word.out, true));
        case 'me':
          return void this.identify();
      }
    });
  }

  // ---- the views

  private show(only?: string): void {
    if (this.engine && this.standing) this.views.refresh(this.engine, only);
  }

  private async paint(): Promise<void> {
    const fresh = new Map([...this.views.unpainted(), ...this.far.unpainted()]);
    const { cache } = this;
    if (cache && fresh.size > 0) await this.store(() => cache.paint(fresh));
  }
}

function notKept(err: unknown): Outcome {
  const say = err instanceof NoStorage ? err.say : 'Make room on it or reload the page, then enter it again.';
  return { refused: { code: 'not_kept', say: `This phone could not keep that. ${say}` } };
}
