// Where one is: the screen and the day, kept in the part of the address behind
// the #, so that reload, back and a second tab work. "#shots" is today's shots,
// "#shots/ID" another day's.
import { signal, type ReadonlySignal } from '@preact/signals';

export interface Place {
  screen: string; // "" for the one the role opens on
  day: string; // "" for today
}

const here = signal<Place>(read());

export const place: ReadonlySignal<Place> = here;

/** The address of a screen, on the day that is being looked at. */
export function hashOf(screen: string, day: string = here.value.day): string {
  return `#${screen}${day ? `/${encodeURIComponent(day)}` : ''}`;
}

export function go(screen: string, day?: string): void {
  location.hash = hashOf(screen, day);
}

function read(): Place {
  const [screen = '', day = ''] = location.hash.slice(1).split('/');
  return { screen, day: decodeURIComponent(day) };
}

window.addEventListener('hashchange', () => {
  const before = here.value;
  here.value = read();
  if (before.screen !== here.value.screen) window.scrollTo(0, 0);
});
