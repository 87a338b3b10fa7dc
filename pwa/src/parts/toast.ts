// Short words about what came of an edit. They leave by themselves, except for a
// refusal, which stays until it is put away.
import { signal, type ReadonlySignal } from '@preact/signals';

export interface Toast {
  id: number;
  word: string; // "Kept on this phone", "Refused"
  say: string;
  tone: 'good' | 'stop';
}

const shown = signal<Toast[]>([]);
const stay = 4_000; // ms
const most = 3;
let ids = 0;

export const toasts: ReadonlySignal<Toast[]> = shown;

export function toast(word: string, say: string, tone: Toast['tone']): void {
  const id = ++ids;
  shown.value = [...shown.value, { id, word, say, tone }].slice(-most);
  if (tone === 'good') setTimeout(() => putAway(id), stay);
}

export function putAway(id: number): void {
  shown.value = shown.value.filter((t) => t.id !== id);
}
