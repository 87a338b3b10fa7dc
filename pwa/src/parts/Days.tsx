import type { Shell } from '../gen/day';
import { hashOf } from './route';

/** The day that is shown, and the others to choose from. */
export function Days({ shell, at }: { shell: Shell; at: string }) {
  if (shell.days.length < 2) return null;
  return (
    <nav class="days" aria-label="Days">
      {shell.days.map((d) => (
        <a key={d.id} href={hashOf(at, d.word === 'today' ? '' : d.id)} data-day={d.id} aria-current={d.chosen ? 'date' : undefined}>
          <b>{d.name}</b>
          <span>
            {d.word}
            <span class="day-date">, {d.date}</span>
          </span>
        </a>
      ))}
    </nav>
  );
}
