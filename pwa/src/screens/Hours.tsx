import type { CrewHours, CrewRow, MyHours, PunchRow } from '../gen/view';
import { Actions } from '../parts/Button';
import { MadeLine } from '../parts/Lines';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';

/** One's own day on the clock. */
export function MyHoursCard({ hours: h }: { hours: MyHours }) {
  const can = h.actions.filter((a) => a.enabled);
  const cannot = h.actions.filter((a) => !a.enabled);
  return (
    <section class="card" aria-labelledby="hours" data-hours={h.mark.word}>
      <h2 id="hours">My hours</h2>
      <MarkSign mark={h.mark} large />
      <p class="figures">{h.worked}</p>
      <Actions list={can} />
      <Punches list={h.punches} />
      {cannot.length > 0 && (
        <More label="Not now">
          <Actions list={cannot} plain />
        </More>
      )}
    </section>
  );
}

/** Everybody's day on the clock, for who keeps the hours. */
export function CrewHoursList({ crew }: { crew: CrewHours }) {
  return (
    <section class="card" aria-labelledby="crew" data-crew>
      <h2 id="crew">Everybody’s hours</h2>
      <p class="figures">{crew.say}</p>
      <Actions list={crew.everybody} plain />
      <ul class="rows">
        {crew.rows.map((r) => (
          <li key={r.id}>
            <Row row={r} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Row({ row: r }: { row: CrewRow }) {
  return (
    <article class="row" data-person={r.name} data-hours={r.mark.word} aria-label={r.name}>
      <div class="row-head">
        <span class="row-title">
          <b>{r.name}</b> <span class="soft">{r.job}</span>
        </span>
        <MarkSign mark={r.mark} />
      </div>
      {r.say && <p class="figures">{r.say}</p>}
      <More label="Change">
        <Actions list={r.actions} named={r.name} plain />
        <Punches list={r.punches} />
      </More>
    </article>
  );
}

function Punches({ list }: { list: PunchRow[] }) {
  if (list.length === 0) return null;
  return (
    <ul class="punches">
      {list.map((p, i) => (
        <li key={i}>
          {p.say} <MadeLine made={p.made} />
        </li>
      ))}
    </ul>
  );
}
