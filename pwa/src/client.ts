// What screens use: signals with what to show, and functions for what a person
// does. Everything runs in the worker; nothing here computes.
import { computed, signal, type ReadonlySignal } from '@preact/signals';
import { useEffect, useMemo } from 'preact/hooks';
import type { Answer, Filled, Standing } from './gen/engine';
import type { Refusal } from './gen/shoot';
import type { Action } from './gen/view';
import { firstScreens, leaves } from './first';
import { same } from './same';
import { passing, type Borrowed, type FromWorker, type Handed, type Line, type Loading, type Me, type Outcome, type Press, type ToWorker } from './messages';

export type { Borrowed, Connection, Handed, Line, Me, Outcome } from './messages';
export type { Item, Standing } from './gen/engine';

/** A screen's view: null until something is known; say is why there is none,
 * where there is a reason. Painted is what was shown last time, before the
 * engine was up. */
export interface Shown<T> {
  view: T | null;
  say: string;
  painted: boolean;
}

/** A far screen's view: made is when, on the server's clock; offers names the
 * edits that it offers; behind tells that the server may know more by now. */
export interface FarShown<T> extends Shown<T> {
  made: number;
  offers: string[];
  behind: boolean;
}

export interface Fault {
  say: string;
  detail: string;
}

/** A view that nobody has asked for yet. */
export const notYet: Shown<never> = { view: null, say: '', painted: true };

const first = firstScreens();
// Where a service worker has the engine it comes at once, otherwise anew.
const worker = new Worker(new URL('./worker.ts', import.meta.url), {
  type: 'module',
  name: `fairday${first ? ' first' : ''}${navigator.serviceWorker?.controller ? '' : ' anew'}`,
});
const post = (message: ToWorker): void => worker.postMessage(message);
const waiting = new Map<number, (message: FromWorker) => void>();
const views = new Map<string, { signal: ReturnType<typeof signal<Shown<unknown>>>; users: number }>();
let painted = first?.views ?? new Map<string, string>(); // what was shown last time, or came with the page, by key
let calls = 0;
let met = false; // the worker has said who this is
let meet: () => void = () => undefined;
const introduced = new Promise<void>((yes) => (meet = yes));

const meNow = signal<Me | null | undefined>(first?.me);
const lineNow = signal<Line>({ connection: 'starting', since: Date.now(), say: '' });
const standingNow = signal<Standing | null>(null);
const faultsNow = signal<Fault[]>([]);
const loadingNow = signal<Loading>({ got: 0, of: 0, stopped: '' });
const pressedNow = signal<Press[]>([]);
const troubleNow = signal('');
const borrowedNow = signal<Borrowed[]>([]);
const persistedNow = signal<boolean | null>(null);

/** Who this phone is: undefined while that is looked up, null for nobody. */
export const me: ReadonlySignal<Me | null | undefined> = meNow;
/** The connection, with the server's words where it gave a reason. */
export const line: ReadonlySignal<Line> = lineNow;
/** How this phone stands with the server; null until the engine is up. */
export const standing: ReadonlySignal<Standing | null> = standingNow;
/** Whether the engine is up. */
export const up = computed(() => standingNow.value !== null);
/** How many edits the server has not ruled on yet. */
export const waitingEdits = computed(() => (standingNow.value?.waiting ?? 0) + pressedNow.value.length);
/** How far the engine is, while it is not up. */
export const loading: ReadonlySignal<Loading> = loadingNow;
/** Whether the server's screens came with this page: it is a first visit, or one
 * that nothing was stored for. */
export const fromServer = first !== null;

/** Whether an action was pressed already, and waits for the engine. */
export function pressedAlready(action: Action): boolean {
  return pressedNow.value.some((p) => p.name === action.name && JSON.stringify(p.args) === JSON.stringify(action.args));
}
/** Refused and flagged edits for a person to look at, oldest first. */
export const stuck = computed(() => standingNow.value?.stuck ?? []);
/** What broke, newest last; show it. */
export const faults: ReadonlySignal<Fault[]> = faultsNow;
/** Why this phone can store nothing now; "" where it can. */
export const trouble: ReadonlySignal<string> = troubleNow;
/** Files of other phones that wait here to be handed in. */
export const borrowed: ReadonlySignal<Borrowed[]> = borrowedNow;
/** Whether the browser promised not to clear the storage; null when unknown. */
export const persisted: ReadonlySignal<boolean | null> = persistedNow;

/** The view of a screen, for use inside a component. */
export function useView<T>(screen: string, args: unknown = {}): ReadonlySignal<Shown<T>> {
  return useWatched(screen, args, false) as ReadonlySignal<Shown<T>>;
}

/** The view of a screen that the server makes, for use inside a component. */
export function useFarView<T>(screen: string, args: unknown = {}): ReadonlySignal<FarShown<T>> {
  return useWatched(screen, args, true) as ReadonlySignal<FarShown<T>>;
}

function useWatched(screen: string, args: unknown, far: boolean): ReadonlySignal<Shown<unknown>> {
  const key = `${screen} ${JSON.stringify(args)}`;
  const found = useMemo(() => entry(key), [key]);
  useEffect(() => {
    views.set(key, found); // it may have been dropped between drawing and now
    if (found.users++ === 0) post({ type: 'watch', key, screen, args, far });
    return () => {
      if (--found.users > 0) return;
      post({ type: 'unwatch', key });
      if (passing(args)) views.delete(key);
    };
  }, [key]);
  return found.signal as unknown as ReadonlySignal<Shown<unknown>>;
}

/** Keeps what a person did. Kept is this phone's promise; the server's comes
 * with the verdict, and a refusal then shows up in stuck. */
export async function edit(name: string, args: unknown): Promise<Outcome> {
  await introduced; // a page that came with its first screens may be quicker than the worker
  const outcome = await ask((call) => ({ type: 'edit', call, name, args }));
  if ('kept' in outcome && persistedNow.value === null) void keepStorage();
  return outcome;
}

/** Gives an action that its screen left for later, with all that it takes. */
export async function open(action: Action): Promise<Action> {
  return (await call<{ action: Action }>((n) => ({ type: 'open', call: n, action }))).action;
}

/** Puts what a person entered into a form, texts by the fields' keys, into the
 * arguments to give to edit; or says what is wrong, and with which field. */
export async function fill(action: Action, entered: Record<string, string[]>): Promise<{ args: unknown } | { refused: Refusal & { key: string } }> {
  const { filled } = await call<{ filled: Filled }>((n) => ({ type: 'fill', call: n, action, entered }));
  if (filled.problem) return { refused: { code: 'form', ...filled.problem } };
  return { args: filled.args };
}

/** Takes an edit off the list of what to look at. */
export function discard(seq: number): Promise<Outcome> {
  return ask((call) => ({ type: 'discard', call, seq }));
}

/** The file with what waits on this phone, for another phone to hand in; or why
 * there is none. */
export async function handover(): Promise<File | string> {
  const { file } = await call<{ file: { name: string; text: string } | string }>((n) => ({ type: 'handover', call: n }));
  return typeof file === 'string' ? file : new File([file.text], file.name, { type: 'application/json' });
}

/** Takes a file that another phone saved and hands it in, now or later. */
export async function handIn(file: File): Promise<Handed> {
  const text = await file.text();
  return (await call<{ said: Handed }>((n) => ({ type: 'hand', call: n, text }))).said;
}

/** Resolves once everything so far is on disk. */
export async function settled(): Promise<void> {
  const outcome = await ask((call) => ({ type: 'settled', call }));
  if ('refused' in outcome) throw new Error(outcome.refused.say);
}

/** Signs this phone out, also without signal. What waits in the queue stays. */
export async function leave(): Promise<void> {
  if (meNow.value) leaves(meNow.value.session);
  const outcome = await ask((call) => ({ type: 'leave', call }));
  if ('refused' in outcome) throw new Error(outcome.refused.say);
}

/** Puts something that broke before the person's eyes. */
export function report(err: unknown): void {
  const detail = err instanceof Error ? `${err.name}: ${err.message}\n${err.stack ?? ''}` : String(err);
  addFault({ say: 'Something broke on this page. What it said was kept is kept.', detail });
}

/** Takes the faults off the page. */
export function dismissFaults(): void {
  faultsNow.value = [];
}

async function ask(message: (call: number) => ToWorker): Promise<Outcome> {
  return (await call<{ outcome: Outcome }>(message)).outcome;
}

function call<T>(message: (call: number) => ToWorker): Promise<T> {
  return new Promise((resolve) => {
    const n = ++calls;
    waiting.set(n, (m) => resolve(m as T));
    post(message(n));
  });
}

function entry(key: string): { signal: ReturnType<typeof signal<Shown<unknown>>>; users: number } {
  let found = views.get(key);
  if (!found) {
    const text = painted.get(key);
    views.set(key, (found = { signal: signal<Shown<unknown>>(text ? shown(text, true) : notYet), users: 0 }));
  }
  return found;
}

function shown(text: string, painted: boolean, before: unknown = null): Shown<unknown> {
  const { view, say = '', ...far } = JSON.parse(text) as Answer & Partial<FarShown<unknown>>;
  return { ...far, view: same(before, view), say, painted };
}

function addFault(fault: Fault): void {
  faultsNow.value = [...faultsNow.value, fault].slice(-5);
}

async function keepStorage(): Promise<void> {
  if (navigator.storage?.persist) persistedNow.value = await navigator.storage.persist();
}

worker.onmessage = (event: MessageEvent<FromWorker>) => {
  const m = event.data;
  switch (m.type) {
    case 'awake':
      if (first) post({ type: 'first', first });
      return;
    case 'me':
      met = true;
      meet();
      meNow.value = m.me;
      return;
    case 'line':
      lineNow.value = m.line;
      return;
    case 'standing':
      standingNow.value = m.standing;
      return;
    case 'view': {
      const found = views.get(m.key); // none: nobody looks at it any more
      if (found) found.signal.value = shown(m.text, false, found.signal.value?.view);
      return;
    }
    case 'behind': {
      const found = views.get(m.key);
      if (found) found.signal.value = { ...found.signal.value, behind: m.behind } as FarShown<unknown>;
      return;
    }
    case 'forget':
      painted = m.painted;
      for (const [key, { signal }] of views) signal.value = painted.has(key) ? shown(painted.get(key)!, true) : { ...notYet };
      return;
    case 'loading':
      loadingNow.value = m.loading;
      return;
    case 'pressed':
      pressedNow.value = m.list;
      return;
    case 'trouble':
      troubleNow.value = m.say;
      if (m.say && !met) meNow.value = undefined; // nothing could be kept of what is pressed
      return;
    case 'fault':
      return addFault({ say: m.say, detail: m.detail });
    case 'borrowed':
      borrowedNow.value = m.list;
      return;
    case 'done':
    case 'handover':
    case 'handed':
    case 'opened':
    case 'filled':
      waiting.get(m.call)?.(m);
      waiting.delete(m.call);
      return;
  }
};
worker.onerror = (event) => report(event.error ?? new Error(event.message || 'the worker did not start'));
window.addEventListener('error', (event) => report(event.error ?? event.message));
window.addEventListener('unhandledrejection', (event) => report(event.reason));

window.addEventListener('online', () => post({ type: 'online' }));
window.addEventListener('offline', () => post({ type: 'offline' }));
window.addEventListener('pageshow', (event) => {
  if (event.persisted) post({ type: 'front' });
});
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible') post({ type: 'front' });
});
