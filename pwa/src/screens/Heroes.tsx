import { useEffect, useRef } from 'preact/hooks';
import type { Hero, Heroes, Misread } from '../gen/day';
import { Actions } from '../parts/Button';
import { useHeld } from '../parts/hold';
import { Waiting } from '../parts/Waiting';
import { Pairs } from '../parts/Lines';
import { HoldSign } from '../parts/HoldSign';
import { MarkSign, Reach } from '../parts/Mark';
import { More } from '../parts/More';
import { Figure } from '../parts/shapes';
import type { ScreenProps } from './props';

/** The heroes: how each stands, and reading its plate. */
export function HeroesScreen({ day }: ScreenProps) {
  const { view, say, painted } = useHeld<Heroes>('heroes', day ? { day } : {});
  if (!view) return <Waiting say={say} />;
  return (
    <section aria-labelledby="heroes">
      <h2 id="heroes">Heroes</h2>
      <p class="soft figures" data-counts>
        {view.counts}
      </p>
      <div class={painted ? 'cards painted' : 'cards'}>
        {view.heroes.map((h) => (
          <HeroCard key={h.id} hero={h} />
        ))}
      </div>
    </section>
  );
}

function HeroCard({ hero: h }: { hero: Hero }) {
  return (
    <article class="card hero-card" data-hero={h.name} data-mark={h.mark.word} aria-labelledby={`hero-${h.id}`}>
      <h3 id={`hero-${h.id}`}>{h.name}</h3>
      <MarkSign mark={h.mark} large />
      {h.misread && <MisreadSign misread={h.misread} />}
      <p>{h.say}</p>
      {h.holds && <p class={`holds tone-${h.holdsTone} figures`}>{h.holds}</p>}
      {h.hold && <HoldSign hold={h.hold} />}
      <Actions list={h.actions} named={h.name} />
      <p class="soft">{h.needs}.</p>
      {h.confirmed.length > 0 && (
        <ul class="signed">
          {h.confirmed.map((c) => (
            <li key={c.name + c.at}>
              Read by {c.name} <span class="figures">{c.at}</span>
            </li>
          ))}
        </ul>
      )}
      {h.readers.length > 0 && (
        <>
          <p class="soft">Who else can read it:</p>
          <ul class="readers">
            {h.readers.map((r) => (
              <li key={r.name}>
                <span>{r.name}</span>
                <Reach mark={r.reach} />
              </li>
            ))}
          </ul>
        </>
      )}
      {h.shots.length > 0 && (
        <p>
          <span class="soft">Needed for:</span> {h.shots.join('; ')}
        </p>
      )}
      {h.caution && <p class="caution">{h.caution}</p>}
      <More label="Brief, checklist and history">
        {h.brief.length > 0 ? <Pairs list={h.brief} /> : h.plate.length > 0 && <p>To be read: {h.plate.join(', ')}</p>}
        {h.checklist.length > 0 && (
          <ul>
            {h.checklist.map((c) => (
              <li key={c}>{c}</li>
            ))}
          </ul>
        )}
        <ol class="history">
          {h.history.map((l, i) => (
            <li key={i}>
              <span class="figures">{l.at}</span> {l.say}
            </li>
          ))}
        </ol>
      </More>
    </article>
  );
}

/** The plate says one thing and the brief another: both, as loud as it gets. */
function MisreadSign({ misread: m }: { misread: Misread }) {
  const ref = useRef<HTMLDivElement>(null);
  useEffect(() => ref.current?.scrollIntoView({ block: 'center' }), [m.at, m.say]);
  return (
    <div ref={ref} class="misread" role="alert" data-misread={m.rows.map((r) => r.field).join(', ')}>
      <p class="misread-say">
        <Figure name="split" /> {m.say}
      </p>
      {m.rows.map((r) => (
        <dl key={r.field}>
          <div>
            <dt>{r.field} as read</dt>
            <dd data-read>{r.read}</dd>
          </div>
          <div>
            <dt>{r.field} in the brief</dt>
            <dd data-brief>{r.brief}</dd>
          </div>
        </dl>
      ))}
      <p>
        <b>Nothing is confirmed.</b> Read by {m.by}, <span class="figures">{m.at}</span>
      </p>
    </div>
  );
}
