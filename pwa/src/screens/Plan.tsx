import type { Plan, PlanPart, PlanRow } from '../gen/office';
import { Actions } from '../parts/Button';
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
      <FarPart far={far}>
        {view.parts.map((p) => (
          <Part key={p.key} part={p} />
        ))}
      </FarPart>
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
