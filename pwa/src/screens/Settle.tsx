import type { QueryCard, QuerySide, Settle, StuckCard } from '../gen/day';
import { busy, discard } from '../parts/act';
import { Actions } from '../parts/Button';
import { useHeld } from '../parts/hold';
import { Waiting } from '../parts/Waiting';
import { MadeLine } from '../parts/Lines';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';
import { Figure } from '../parts/shapes';

/** What waits for a decision: contradictions, and this phone's own edits that
 * did not go through. */
export function SettleScreen() {
  const { view: v, say } = useHeld<Settle>('settle', {});
  if (!v) return <Waiting say={say} />;
  return (
    <section aria-labelledby="settle">
      <h2 id="settle">Settle</h2>
      <p data-settle={v.open.length + v.stuck.length}>{v.say}</p>
      <div class="cards">
        {v.stuck
          .filter((s) => s.tone === 'stop')
          .map((s) => (
            <Stuck key={s.seq} card={s} />
          ))}
        {v.open.map((q) => (
          <Query key={q.id} card={q} />
        ))}
        {v.stuck
          .filter((s) => s.tone !== 'stop')
          .map((s) => (
            <Stuck key={s.seq} card={s} />
          ))}
      </div>
      {v.settled.length > 0 && (
        <More label="Settled before">
          <ul class="closed">
            {v.settled.map((c, i) => (
              <li key={i}>
                <b>{c.title}</b>
                <br />
                {c.say}
              </li>
            ))}
          </ul>
        </More>
      )}
    </section>
  );
}

function Query({ card: q }: { card: QueryCard }) {
  return (
    <article class="card" data-query={q.title} aria-label={q.title}>
      <h3>{q.title}</h3>
      <MarkSign mark={q.mark} large />
      <div class="sides">
        <Side side={q.said} />
        <Side side={q.against} />
      </div>
      <p class="soft figures">{q.raised}</p>
      {q.say && <p>{q.say}</p>}
      <Actions list={q.actions} named={q.title} />
    </article>
  );
}

function Side({ side: s }: { side: QuerySide }) {
  return (
    <section class="side" aria-label={s.label}>
      <p class="soft">{s.label}</p>
      <p>{s.text}</p>
      {(s.made.happened || s.made.by) && (
        <p class="soft">
          <MadeLine made={s.made} />
        </p>
      )}
    </section>
  );
}

function Stuck({ card: s }: { card: StuckCard }) {
  return (
    <article class="card" data-stuck={s.seq} data-stuck-title={s.title} aria-label={s.title}>
      <h3>{s.title}</h3>
      <p class={`mark mark-large tone-${s.tone}`}>
        <Figure name={s.tone === 'stop' ? 'cross' : 'diamond'} />
        <span>{s.word}</span>
      </p>
      <p>{s.say}</p>
      {(s.yours || s.theirs) && (
        <div class="sides">
          <section class="side" aria-label="Yours">
            <p class="soft">Yours</p>
            <p>{s.yours || 'nothing'}</p>
          </section>
          <section class="side" aria-label="As it stands">
            <p class="soft">As it stands</p>
            <p>{s.theirs || 'nothing'}</p>
          </section>
        </div>
      )}
      {s.next && <p>{s.next}</p>}
      <p class="soft figures">Entered {s.made}</p>
      <div class="acts">
        <button type="button" data-discard={s.seq} disabled={busy.value.has(`discard ${s.seq}`)} onClick={() => discard(s.seq, s.discard, s.confirm)}>
          {s.discard}
        </button>
      </div>
    </article>
  );
}
