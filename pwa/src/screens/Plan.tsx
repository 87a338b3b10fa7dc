import type { Ahead } from '../gen/day';
import type { Plan, PlanPart, PlanRow } from '../gen/office';
import { ActionButton, Actions } from '../parts/Button';
import { dots } from '../parts/dots';
import { FarPart, FarWaiting, useFar } from '../parts/Far';
import { JoinLink } from '../parts/JoinLink';
import { More } from '../parts/More';
import type { ScreenProps } from './props';

/** What was written down beforehand, to be written anew. */
export function PlanScreen({ day }: ScreenProps) {
  const far = useFar<Plan>('plan', day ? { day } : {});
  const { view, say } = far;
  if (!view) return <FarWaiting say={say} />;
  return (
    <section aria-labelledby="plan">
      <h2 id="plan">The plan</h2>
      <p class="soft">{view.say}</p>
      <FarPart far={far} lists={view.lists}>
        {view.ahead && <AheadCard ahead={view.ahead} />}
        {view.parts.map((p) => (
          <Part key={p.key} part={p} />
        ))}
      </FarPart>
    </section>
  );
}

/** Whether the day fits, before it has begun. */
function AheadCard({ ahead: a }: { ahead: Ahead }) {
  return (
    <section class="card" aria-labelledby="ahead" data-ahead={a.known ? 'known' : 'not'}>
      <h3 id="ahead">Does this day fit?</h3>
      {a.plan && (
        <p class="figures">
          <b>{a.plan}</b>
        </p>
      )}
      <p class="figures">{a.say}</p>
      {a.notice && <p class="notice notice-stop figures">{a.notice}</p>}
      {a.money && <p class="figures">{a.money}</p>}
      {a.heaviest && <p class="figures">{a.heaviest}</p>}
      {a.unmet.map((u) => (
        <p key={u} class="tone-warn figures">
          {u}
        </p>
      ))}
      {a.orderSay && <p>{a.orderSay}</p>}
      {a.order && (
        <div data-order>
          <p class="figures">
            <b>
              {a.order.title}: {a.order.saves}
            </b>
            <br />
            {a.order.say}
          </p>
          {a.order.money && <p class="figures">{a.order.money}</p>}
          <ul class="figures">
            {a.order.why.map((w) => (
              <li key={w}>{w}</li>
            ))}
          </ul>
          <div class="acts">
            <ActionButton action={a.order.take} />
          </div>
        </div>
      )}
    </section>
  );
}

function Part({ part: p }: { part: PlanPart }) {
  return (
    <div data-part={p.key}>
      <More label={p.title}>
        {p.rows.length === 0 && <p>{p.say}</p>}
        <Actions list={p.new} />
        <ul class="plan-rows">
          {p.rows.map((r) => (
            <Row key={r.key} row={r} />
          ))}
        </ul>
      </More>
    </div>
  );
}

function Row({ row: r }: { row: PlanRow }) {
  return (
    <li data-plan={r.name}>
      <p class="plan-name">
        <b>{r.name}</b>
        <br />
        <span class="soft">{dots(r.says)}</span>
      </p>
      <div class="plan-acts">
        <Actions list={r.actions} named={r.name} plain />
        {r.person && <JoinLink person={r.person} name={r.name} />}
      </div>
    </li>
  );
}
