import { useEffect, useState } from 'preact/hooks';
import { line, standing, waitingEdits, type Connection as State } from '../client';
import type { Shell } from '../gen/day';
import { Figure } from './shapes';

const words: Record<State, string> = { starting: 'Starting', live: 'Live', away: 'Away', out: 'Signed out' };

/** How this phone stands with the others, and what waits on it. Always there. */
export function Connection({ shell }: { shell: Shell | null }) {
  const { connection, since, say } = line.value;
  const heard = standing.value?.since || since; // the page may be younger than the silence
  const n = waitingEdits.value;
  const waits = shell?.waiting || (n > 0 ? `${n} to share` : standing.value ? 'All shared' : '');
  return (
    <div class="connection" role="status" aria-live="polite" data-connection={connection} data-waiting={n}>
      <p class={`link link-${connection}`}>
        <Figure name={`link-${connection}`} />
        <b>{words[connection]}</b>
        {connection === 'away' && <Since at={Math.min(since, heard)} zone={shell?.day.zone ?? ''} />}
      </p>
      {waits && <p class={n > 0 ? 'waits' : 'soft'}>{waits}</p>}
      {say && connection !== 'out' && <p class="say">{say}</p>}
    </div>
  );
}

// The one clock that is not the domain's to tell: when this page lost the server.
// A browser takes long to get ready for it, so it comes once the page stands.
function Since({ at, zone }: { at: number; zone: string }) {
  const [said, say] = useState('');
  useEffect(() => say(clock(at, zone)), [at, zone]);
  return <span class="figures">{said && `since ${said}`}</span>;
}

/** A time of day, where the day is. */
export function clock(at: number, zone: string): string {
  const how: Intl.DateTimeFormatOptions = { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' };
  try {
    return new Intl.DateTimeFormat('en-GB', zone ? { ...how, timeZone: zone } : how).format(at);
  } catch {
    return new Intl.DateTimeFormat('en-GB', how).format(at); // a zone this browser does not know
  }
}
