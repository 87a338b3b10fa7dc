// What the page and its worker say to each other.
import type { Filled, Standing } from './gen/engine';
import type { Refusal } from './gen/shoot';
import type { Action } from './gen/view';
import type { Me } from './gen/web';
import type { First } from './first';

export type { Me } from './gen/web';

/**
 * starting: nothing is known yet. live: this phone and the server agree as fast
 * as the net carries. away: no connection; edits are kept here and sent later.
 * out: the server does not know this phone, or no longer lets it in.
 */
export type Connection = 'starting' | 'live' | 'away' | 'out';

export interface Line {
  connection: Connection;
  since: number; // ms since 1970
  say: string; // why, in the server's words, where it gave a reason
  demo?: boolean; // the server has a page of join links
}

/** What came of an edit. Kept means on this phone, not yet shared. */
export type Outcome = { kept: true } | { refused: Refusal };

/** What came of a file of another phone. */
export interface Handed {
  good: boolean;
  say: string;
}

/** Edits of another phone that wait here to be handed in. */
export interface Borrowed {
  key: string;
  name: string; // whose they are
  edits: number;
}

/** How far the engine is while it comes: bytes as they travel, 0 of 0 where that
 * is not known. Stopped is why it does not come: it is tried again by itself, or
 * only a newer page can have it. */
export interface Loading {
  got: number;
  of: number;
  stopped: '' | 'again' | 'newer';
}

/** What was pressed before the engine was up: it is kept, and goes into the queue
 * once the shoot is known here. */
export interface Press {
  name: string;
  args: unknown;
}

export type ToWorker =
  | { type: 'first'; first: First } // what came with the page, once the worker is awake
  | { type: 'watch'; key: string; screen: string; args: unknown; far: boolean } // far: made by the server
  | { type: 'unwatch'; key: string }
  | { type: 'edit'; call: number; name: string; args: unknown }
  | { type: 'discard'; call: number; seq: number }
  | { type: 'open'; call: number; action: unknown } // one that its screen left for later
  | { type: 'fill'; call: number; action: unknown; entered: Record<string, string[]> }
  | { type: 'handover'; call: number } // asks for the file of what waits here
  | { type: 'hand'; call: number; text: string } // a file of another phone
  | { type: 'settled'; call: number } // answered once everything so far is stored
  | { type: 'leave'; call: number } // signs this phone out
  | { type: 'who' } // somebody joined or left: ask the server again
  | { type: 'front' } // the page came back to the foreground
  | { type: 'online' }
  | { type: 'offline' };

export type FromWorker =
  | { type: 'awake' } // ready to take what came with the page
  | { type: 'me'; me: Me | null }
  | { type: 'line'; line: Line }
  | { type: 'standing'; standing: Standing }
  | { type: 'view'; key: string; text: string }
  | { type: 'behind'; key: string; behind: boolean } // whether the server may know more than a far view says
  | { type: 'done'; call: number; outcome: Outcome }
  | { type: 'opened'; call: number; action: Action }
  | { type: 'filled'; call: number; filled: Filled }
  | { type: 'handover'; call: number; file: { name: string; text: string } | string } // or why there is none
  | { type: 'handed'; call: number; said: Handed }
  | { type: 'borrowed'; list: Borrowed[] }
  | { type: 'forget'; painted: Map<string, string> } // what was shown is not this person's to see any more; their own views as they were shown last
  | { type: 'loading'; loading: Loading }
  | { type: 'pressed'; list: Press[] } // all that waits for the engine
  | { type: 'trouble'; say: string } // why storage cannot be used now, or "" once it can
  | { type: 'fault'; say: string; detail: string };

/** A view for a moment that somebody asks about, one of many along a slider: it
 * is not kept. */
export const passing = (args: unknown): boolean => typeof args === 'object' && args !== null && 'at' in args;
