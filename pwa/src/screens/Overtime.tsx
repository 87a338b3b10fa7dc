import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { Approvals, Expected, Figure, Overtime, OvertimeRow, Warning } from '../gen/day';
import { ActionButton } from '../parts/Button';
import { dots } from '../parts/dots';
import { useHeld } from '../parts/hold';
import { Floors } from '../parts/Floors';
import { Waiting } from '../parts/Waiting';
import { Pairs } from '../parts/Lines';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';
import type { ScreenProps } from './props';
import { CurveChart } from './Curve';
import { Slip } from './OvertimeSlip';
import { TermsOf } from './OvertimeTerms';

/** What the day costs beyond what was agreed: now, next, at the wrap, and at
 * whatever minute one asks for. */
export function OvertimeScreen({ day }: ScreenProps) {
  const [at, setAt] = useState(0);
  const [terms, setTerms] = useState(''); // whose terms are open
  const { view: v, say } = useHeld<Overtime>('overtime', { ...(day && { day }), ...(at && { at }) });
  if (!v) return <Waiting say={say} />;
  if (!v.known) {
    return (
      <section aria-labelledby="overtime">
        <h2 id="overtime">Overtime</h2>
        <p>{v.say}</p>
      </section>
    );
  }
  const termsOf = ({ id, name }: { id: string; name: string }) => ({
    of: id,
    name,
    day,
    open: terms === id,
    toggle: () => setTerms(terms === id ? '' : id),
  });
  return (
    <div class="two">
      <div class="first">
        <h2 class="unseen">Overtime</h2>
        <WarningLine warning={v.warning} />
        <ExpectedCard expected={v.expected} />
        <div class="figures-row">
          <FigureCard name="now" figure={v.now} />
          <FigureCard name="wrap" figure={v.wrap} />
        </div>
        <Next view={v} />
        <section class="card" aria-labelledby="drag" data-drag={v.drag.figure.clock}>
          <h2 id="drag">What if it wraps at</h2>
          <div class="drag-figure">
            <span class="huge figures">{v.drag.figure.clock}</span>
            <span class={`huge figures tone-${v.drag.figure.tone}`} data-amount>
              {v.drag.figure.amount}
            </span>
          </div>
          <input
            type="range"
            class="minute"
            min={v.drag.from}
            max={v.drag.to}
            step={v.drag.step}
            value={at || v.drag.at}
            aria-label="Wrap minute"
            aria-valuetext={`${v.drag.figure.clock}: ${v.drag.figure.amount}`}
            onInput={(event) => setAt(Number(event.currentTarget.value))}
          />
          {v.drag.figure.say && <p class="soft">{v.drag.figure.say}</p>}
          {v.curves.map((c) => (
            <CurveChart key={c.currency} curve={c} />
          ))}
          <Pairs list={v.drag.whose} />
        </section>
      </div>
      <div class="second">
        <ApprovalCard approvals={v.approvals} />
        {v.leftSay && (
          <section class="card" data-left>
            <p class="tone-stop">{v.leftSay}</p>
            <ul>
              {v.left.map((l) => (
                <li key={l.id} class="left-out" data-person={l.name}>
                  <span>
                    <b>{l.name}</b> {l.say}
                  </span>
                  <TermsOf {...termsOf(l)} />
                </li>
              ))}
            </ul>
          </section>
        )}
        <section aria-labelledby="whose">
          <h2 id="whose">Who costs what</h2>
          {v.floors && <p class="soft">{v.floors}</p>}
          <ul class="rows">
            {v.people.map((p) => (
              <li key={p.id}>
                <PersonRow row={p}>
                  <TermsOf {...termsOf(p)} />
                </PersonRow>
              </li>
            ))}
          </ul>
        </section>
        {v.departments.length > 0 && (
          <section class="card" aria-labelledby="departments">
            <h2 id="departments">By department</h2>
            <Pairs list={v.departments} />
          </section>
        )}
      </div>
    </div>
  );
}

// What counts down stands outside of the status, so that it is not read out
// every minute.
function WarningLine({ warning: w }: { warning: Warning | undefined }) {
  return (
    <div class={w ? `notice warning${w.mark.tone === 'stop' ? ' notice-stop' : ''}` : ''} data-warning={w?.mark.shape ?? ''}>
      <div role="status" aria-atomic="true">
        {w && <MarkSign mark={w.mark} />} {w && <b class="figures">{w.say}</b>}
      </div>
      {w && <p class="big figures">{w.in}</p>}
    </div>
  );
}

function ExpectedCard({ expected: e }: { expected: Expected }) {
  return (
    <section aria-label="By the forecast" data-expected={e.known ? 'known' : 'not'}>
      <div role="status" class={e.notice ? 'notice notice-stop' : ''} data-notice>
        {e.notice && <b class="figures">{e.notice}</b>}
      </div>
      {e.known ? (
        <div class="figures-row">
          <FigureCard name="likely" figure={e.wrap} />
          <FigureCard name="average" figure={e.average} />
        </div>
      ) : (
        <p class="card">{e.say}</p>
      )}
    </section>
  );
}

function FigureCard({ name, figure: f }: { name: string; figure: Figure }) {
  return (
    <section class={`card figure-card tone-${f.tone}`} data-figure-card={name} aria-label={f.label}>
      <p class="soft">
        {f.label} <span class="figures">{f.clock}</span>
      </p>
      <p class="huge figures" data-amount>
        {f.amount}
      </p>
      {f.say && <p class="soft">{f.say}</p>}
    </section>
  );
}

function Next({ view: v }: { view: Overtime }) {
  return (
    <section class="card next-step" aria-labelledby="next-step" data-next={v.next?.clock ?? ''}>
      <h2 id="next-step">The next step</h2>
      {v.next && (
        <p class="figures">
          <b class="big">{v.next.clock}</b>
          <span class="soft">{v.next.in}</span>
          <b class="big accent">{v.next.amount}</b>
        </p>
      )}
      {v.next && (
        <p>
          {v.next.whose} <span class="soft">then</span> <b class="figures">{v.next.total}</b>
        </p>
      )}
      {v.nextSay && <p>{v.nextSay}</p>}
    </section>
  );
}

function ApprovalCard({ approvals: a }: { approvals: Approvals }) {
  return (
    <section class="card" aria-labelledby="approvals" data-approvals>
      <h2 id="approvals">Approved</h2>
      <p>{a.say}</p>
      {a.beyond && <p class={`beyond tone-${a.tone}`}>{a.beyond}</p>}
      {a.lines.length > 0 && (
        <ul>
          {a.lines.map((l) => (
            <li key={l}>{l}</li>
          ))}
        </ul>
      )}
      <div class="acts">
        <ActionButton action={a.approve} main />
        <ActionButton action={a.ask} />
      </div>
    </section>
  );
}

function PersonRow({ row: p, children }: { row: OvertimeRow; children: ComponentChildren }) {
  return (
    <article class="row" data-person={p.name}>
      <div class="row-head">
        <span class="row-title">
          <b>{p.name}</b>
          <span class="soft figures">{dots([p.job, p.hours, p.worked])}</span>
        </span>
        <MarkSign mark={p.mark} />
      </div>
      <dl class="pairs three">
        <div>
          <dt>so far</dt>
          <dd class="figures">{p.overtime}</dd>
        </div>
        <div>
          <dt>at the wrap</dt>
          <dd class="figures">{p.atWrap}</dd>
        </div>
        <div>
          <dt>next</dt>
          <dd class="figures">{p.next}</dd>
        </div>
      </dl>
      {p.beyond && (
        <p class="beyond tone-warn figures" data-beyond>
          {p.beyond}
        </p>
      )}
      <Floors floor={p.floor} />
      {p.slips.length > 0 && (
        <More label="Line by line">
          {p.slips.map((s) => (
            <Slip key={s.title} slip={s} />
          ))}
        </More>
      )}
      {children}
    </article>
  );
}
