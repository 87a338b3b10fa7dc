// The first screens, which the server puts inside the page for a browser that it
// knows: they are read while the engine is still on its way.
import type { FirstScreens, Me } from './gen/web';

/** Who this is, and finished views by the keys that they are watched under. */
export interface First {
  me: Me;
  views: Map<string, string>;
}

const left = 'fairday-left';

/** What came with the page, or null. A session that was left on this phone shows
 * nothing, also where the server has not heard of that yet. */
export function firstScreens(): First | null {
  const text = document.getElementById('first')?.textContent;
  if (!text) return null;
  const { me, views } = JSON.parse(text) as FirstScreens;
  if (lastLeft() === me.session) return null;
  return { me, views: new Map(Object.entries(views).map(([key, screen]) => [key, JSON.stringify(screen)])) };
}

/** Notes that a session is left, before anything else is done about it. */
export function leaves(session: string): void {
  try {
    localStorage.setItem(left, session);
  } catch {
    // a browser that stores nothing has nothing to show either
  }
}

function lastLeft(): string | null {
  try {
    return localStorage.getItem(left);
  } catch {
    return null;
  }
}
