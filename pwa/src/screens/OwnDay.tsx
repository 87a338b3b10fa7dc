import type { OwnDay, OwnHours, OwnPay, SignOffRow, SignOffs } from '../gen/day';
import { Actions } from '../parts/Button';
import { dots } from '../parts/dots';
import { useHeld } from '../parts/hold';
import { Floors } from '../parts/Floors';
import { Pairs } from '../parts/Lines';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';
import { RowsCard } from '../parts/RowsCard';
import { Waiting } from '../parts/Waiting';
import type { ScreenProps } from './props';
import { AskBoxCard } from './Asks';
import { Slip } from './OvertimeSlip';

/** One's own day: the hours, the pay where it is shown, and one's word on both;
 * for who runs the day also everybody's. */
export function OwnDayScreen({ day }: ScreenProps) {
  const { view: v, say } = useHeld<OwnDay>('hours', day ? { day } : {});
  if (!v) return <Waiting say={say} />;
  return (
    <div class="two">
      <div class="first">
        <Hours hours={v.hours} date={v.day.date} />
        {v.pay && <Pay pay={v.pay} />}
      </div>
      <div class="second">
        {v.crew && <Signatures crew={v.crew} />}
        {v.asks && <AskBoxCard box={v.asks} />}
      </div>
    </div>
  );
}

function Hours({ hours: h, date }: { hours: OwnHours; date: string }) {
  return (
    <section class="card" aria-labelledby="own-hours" data-signed={h.mark.word}>
      <h2 id="own-hours">My hours</h2>
      <p class="soft">{date}</p>
      <Pairs list={h.lines} />
      <MarkSign mark={h.mark} large />
      <p>{h.say}</p>
      <Actions list={h.actions} named="my hours" />
      <Words list={h.words} />
      {h.undone.length > 0 && (
        <More label="Taken back">
          <Words list={h.undone} />
        </More>
      )}
    </section>
  );
}

function Pay({ pay: p }: { pay: OwnPay }) {
  return (
    <section class="card" aria-labelledby="own-pay" data-pay={p.mark.word}>
      <h2 id="own-pay">My pay</h2>
      {p.slip && <Slip slip={p.slip} />}
      {p.slip && <MarkSign mark={p.mark} large />}
      <p>{p.say}</p>
      <Actions list={p.actions} named="my pay" />
      <Words list={p.words} />
      <p class="caution">{p.caution}</p>
    </section>
  );
}

function Words({ list }: { list: string[] }) {
  if (list.length === 0) return null;
  return (
    <ul class="words">
      {list.map((w) => (
        <li key={w}>{w}</li>
      ))}
    </ul>
  );
}

function Signatures({ crew }: { crew: SignOffs }) {
  return (
    <RowsCard
      id="signatures"
      title="Who has signed their hours"
      say={[crew.say, crew.floors].filter(Boolean).join(' ')}
      acts={<Actions list={crew.share} plain />}
      list={crew.rows}
    >
      {(r) => <Row row={r} />}
    </RowsCard>
  );
}

function Row({ row: r }: { row: SignOffRow }) {
  return (
    <article class="row" data-person={r.name} data-signed={r.mark.word}>
      <div class="row-head">
        <span class="row-title">
          <b>{r.name}</b>
          <span class="soft">{r.job}</span>
        </span>
        <MarkSign mark={r.mark} />
      </div>
      <p class="soft figures">{dots([r.hours, r.say])}</p>
      <Floors floor={r.floor} />
      {(r.paySay || r.actions.length > 0) && (
        <div class="row-pay">
          <span class="soft figures">{r.paySay}</span>
          {r.pay && <MarkSign mark={r.pay} />}
          <Actions list={r.actions} named={r.name} plain />
        </div>
      )}
    </article>
  );
}
