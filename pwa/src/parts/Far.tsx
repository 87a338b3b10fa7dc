import { createContext } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import { line, standing, useFarView, useView, type FarShown, type Item } from '../client';
import type { Shell } from '../gen/day';
import type { Action, Field, Option } from '../gen/view';
import { clock } from './Connection';

/** A far screen's view, and the edits of this phone that it has yet to show. */
export interface Far<T> extends FarShown<T> {
  waiting: Item[];
}

/** The view of a screen that the server makes; it keeps showing the last one while
 * the arguments change. */
export function useFar<T>(screen: string, args: unknown): Far<T> {
  const now = useFarView<T>(screen, args).value;
  const last = useRef(now);
  if (now.view || now.say) last.current = now;
  const { view, say, painted, made = 0, offers = [], behind = true } = last.current;
  const waiting = (standing.value?.pending ?? []).filter((item) => offers.includes(item.name));
  return { view, say, painted, made, offers, behind: behind || now !== last.current, waiting };
}

/** What a far screen makes of the actions on it: whether what one would change was
 * changed on this phone already, and that waits; and the action with the options
 * that stand on the screen once for many forms. */
export const Around = createContext<{ held: (action: Action) => boolean; whole: (action: Action) => Action }>({ held: () => false, whole: (action) => action });

/** What a far screen says of itself, above what it shows: how old it is, and what of
 * this phone's it does not show yet. */
export function FarPart<T>({ far, lists, children }: { far: Far<T>; lists?: Lists; children: ComponentChildren }) {
  const n = far.waiting.length;
  const held = (action: Action): boolean =>
    far.waiting.some((item) => item.name === action.name && !action.form?.fresh && about(item.args) === about(action.args));
  return (
    <Around.Provider value={{ held, whole: (action) => whole(action, lists ?? {}) }}>
      <div class="far" data-far={far.behind ? 'kept' : 'now'} data-far-waiting={n}>
        {far.behind && far.made > 0 && <Age made={far.made} />}
        <div role="status">
          {n > 0 && (
            <p class="waits">
              {n === 1 ? '1 change waits on this phone. It shows' : `${n} changes wait on this phone. They show`} here once the server has{' '}
              {n === 1 ? 'it' : 'them'}.
            </p>
          )}
        </div>
      </div>
      {children}
    </Around.Provider>
  );
}

/** In place of a far screen that this phone has never had. */
export function FarWaiting({ say }: { say: string }) {
  const away = line.value.connection !== 'live' && line.value.connection !== 'starting';
  return <p class="lone">{say || (away ? never : 'The server is asked for it.')}</p>;
}

const never = 'This phone has not fetched this yet, and the server makes it. Find some signal; it opens by itself.';

function Age({ made }: { made: number }) {
  const { view: shell } = useView<Shell>('shell').value;
  const [now, tick] = useState(Date.now());
  useEffect(() => {
    const every = setInterval(() => tick(Date.now()), 20_000);
    return () => clearInterval(every);
  }, []);
  const minutes = Math.max(0, Math.floor((now - (standing.value?.offset ?? 0) - made) / 60_000));
  const live = line.value.connection === 'live';
  return (
    <p class="soft figures" data-far-age={minutes}>
      From {clock(made, shell?.day.zone ?? '')}, {ago(minutes)}. {live ? 'The server is asked for news.' : 'No connection.'}
    </p>
  );
}

function ago(minutes: number): string {
  if (minutes < 1) return 'just now';
  if (minutes < 60) return `${minutes} min ago`;
  if (minutes < 48 * 60) return `${Math.floor(minutes / 60)} h ago`;
  return `${Math.floor(minutes / 60 / 24)} days ago`;
}

type Lists = Record<string, Option[]>;

function whole(action: Action, lists: Lists): Action {
  if (!action.form?.fields.some((f) => f.list)) return action;
  return { ...action, form: { ...action.form, fields: action.form.fields.map((f) => (f.list ? listed(f, lists[f.list] ?? []) : f)) } };
}

function listed({ list: _, ...f }: Field, options: Option[]): Field {
  const on = new Set(f.value.split(' '));
  const all = [...options.map((o) => ({ ...o, on: on.has(o.value) })), ...f.options];
  return { ...f, options: all, value: f.kind === 'ticks' ? '' : f.value };
}

// What an edit is about, by its arguments.
function about(args: unknown): unknown {
  const named = args as Record<string, unknown>;
  return named.id ?? named.person ?? named.shot ?? named.hero ?? named.meal;
}
