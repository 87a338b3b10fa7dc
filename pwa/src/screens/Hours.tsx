import type { CrewHours, CrewRow, MyHours, PunchRow } from '../gen/day';
import { Actions, ActionsNow } from '../parts/Button';
import { MadeLine } from '../parts/Lines';
import { MarkSign } from '../parts/Mark';
import { hashOf } from '../parts/route';
import { RowsCard } from '../parts/RowsCard';

/** One's own day on the clock. */
export function MyHoursCard({ hours: h }: { hours: MyHours }) {
  return (
    <section class="card" aria-labelledby="hours" data-hours={h.mark.word}>
      <h2 id="hours">My hours</h2>
      <MarkSign mark={h.mark} large />
      <p class="figures">{h.worked}</p>
      <ActionsNow list={h.actions} />
      <Punches list={h.punches} />
      <p class="hours-link">
        <a class="button" href={hashOf('hours')} data-tab="hours">
          {h.lead}
        </a>
        <MarkSign mark={h.sign} />
      </p>
    </section>
  );
}

/** Everybody's day on the clock, for who keeps the hours. */
export function CrewHoursList({ crew }: { crew: CrewHours }) {
  return (
    <RowsCard id="crew" title="Everybody’s hours" say={crew.say} acts={<ActionsNow list={crew.everybody} plain />} list={crew.rows}>
      {(r) => <Row row={r} />}
    </RowsCard>
  );
}

function Row({ row: r }: { row: CrewRow }) {
  return (
    <details class="fold" data-person={r.name} data-hours={r.mark.word}>
      <summary>
        <span class="row-title">
          <b>{r.name}</b>
          <span class="soft">{r.job}</span>
        </span>
        <span class="row-state">
          <MarkSign mark={r.mark} />
          <span class="figures soft">{r.say}</span>
        </span>
      </summary>
      <div class="more-in">
        <Actions list={r.actions} named={r.name} plain />
        <Punches list={r.punches} />
      </div>
    </details>
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
