// What a press on a button leads to: a form where it needs one, a question where
// it asks one, then the edit, and a word about what came of it.
import { signal } from '@preact/signals';
import { discard as drop, edit, fill, open } from '../client';
import type { Action } from '../gen/view';
import { toast } from './toast';

/** A question on the page. */
export interface Question {
  text: string;
  yes: string;
  danger: boolean;
  agreed: () => Promise<void>;
}

/** What a form was filled in with: texts by the fields' keys. */
export type Entered = Record<string, string[]>;

/** The action whose form is open. */
export const sheet = signal<Action | null>(null);
/** The question that is open. */
export const question = signal<Question | null>(null);
/** Keys of the edits under way: their buttons wait. */
export const busy = signal<ReadonlySet<string>>(new Set());

export const keyOf = (a: Action): string => `${a.name} ${JSON.stringify(a.args)}`;

/** Whether an action is under way. */
export const underWay = (a: Action): boolean => busy.value.size > 0 && busy.value.has(keyOf(a));

/** Presses an action's button. */
export function press(action: Action): void {
  if (!action.enabled || underWay(action)) return;
  if (action.later) return void openThen(action);
  if (action.form) {
    sheet.value = action;
    return;
  }
  ask(action, async () => {
    const said = await send(action, action.args);
    if (said) toast('Refused', said, 'stop');
  });
}

async function openThen(action: Action): Promise<void> {
  let now = action;
  await held(keyOf(action), async () => void (now = await open(action)));
  if (now.enabled) press(now);
  else toast('Not now', now.why, 'stop');
}

/** What is wrong with a filled form, and with which field, "" for none. */
export interface Wrong {
  key: string;
  say: string;
}

/** Sends a filled form, or tells what is wrong with it. */
export async function submit(action: Action, entered: Entered): Promise<Wrong | null> {
  const filled = await fill(action, entered);
  if ('refused' in filled) return filled.refused;
  return await new Promise((resolve) => {
    const go = async (): Promise<void> => {
      const say = await send(action, filled.args);
      resolve(say ? { key: '', say } : null);
    };
    ask(action, go, () => resolve({ key: '', say: 'Not sent yet.' }));
  });
}

/** Takes an edit that did not go through off this phone. */
export function discard(seq: number, label: string, confirm: string): void {
  const key = `discard ${seq}`;
  const go = () =>
    held(key, async () => {
      const outcome = await drop(seq);
      if ('refused' in outcome) toast('Not done', outcome.refused.say, 'stop');
    });
  if (confirm) question.value = { text: confirm, yes: label, danger: true, agreed: go };
  else void go();
}

let declined: (() => void) | undefined;

function ask(action: Action, then: () => Promise<void>, no?: () => void): void {
  if (!action.confirm) return void then();
  declined = no;
  question.value = { text: action.confirm, yes: action.label, danger: action.danger, agreed: then };
}

/** Answers the open question. */
export async function answer(yes: boolean): Promise<void> {
  const q = question.value;
  question.value = null;
  const no = declined;
  declined = undefined;
  if (yes) await q?.agreed();
  else no?.();
}

async function send(action: Action, args: unknown): Promise<string> {
  let said = '';
  await held(keyOf(action), async () => {
    const outcome = await edit(action.name, args);
    if ('refused' in outcome) said = outcome.refused.say;
    else toast('Kept on this phone', action.form?.title || action.label, 'good');
  });
  return said;
}

async function held(key: string, work: () => Promise<void>): Promise<void> {
  if (busy.value.has(key)) return;
  busy.value = new Set([...busy.value, key]);
  try {
    await work();
  } finally {
    busy.value = new Set([...busy.value].filter((k) => k !== key));
  }
}
