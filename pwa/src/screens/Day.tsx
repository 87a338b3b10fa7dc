import { signal } from '@preact/signals';
import type { Lever, RunOfDay } from '../gen/day';
import { press } from '../parts/act';
import { ActionButton, Actions } from '../parts/Button';
import { useHeld } from '../parts/hold';
import { hashOf } from '../parts/route';
import { Waiting } from '../parts/Waiting';
import type { ScreenProps } from './props';
import { RunPicture } from './RunPicture';

/** What was taken last and can be taken back with a tap. */
const taken = signal<{ day: string; lever: Lever } | null>(null);

/** The day as it runs: when it may wrap, why, and what would help. */
export function DayScreen({ day }: ScreenProps) {
  const { view: v, say } = useHeld<RunOfDay>('day', day ? { day } : {});
  if (!v) return <Waiting say={say} />;
  return (
    <div class="two">
      <div class="first">
        <section class="card wrap-card" aria-labelledby="wrap">
          <h2 id="wrap" class="figures" data-wrap>
            {v.line}
          </h2>
          {v.plan && <p class="figures">{v.plan}</p>}
          {v.money && (
            <p class="figures" data-money>
              <b>{v.money}</b>
            </p>
          )}
          {v.pace && <p class="soft figures">{v.pace}</p>}
          {v.waits && (
            <p class="notice" role="status" data-waits>
              {v.waits}
            </p>
          )}
          <Actions list={v.actions} named="the day" plain />
          <p>
            <a href={hashOf('shots')}>To the shots</a>
            {v.report && (
              <>
                {' · '}
                <a href={v.report} target="_blank" rel="noopener" data-report>
                  Wrap report
                </a>
              </>
            )}
          </p>
        </section>
        <Said list={v.doubts} title="Look at this" tone="tone-warn" name="doubts" />
        <Said list={v.unmet} title="Misses what it needs" tone="tone-stop" name="unmet" />
        {v.picture && <RunPicture picture={v.picture} />}
        <Said list={v.light} title="Light" tone="" name="light" />
      </div>
      <div class="second">
        <Taken day={v.day.id} />
        {(v.levers.length > 0 || v.leversSay) && (
          <section aria-labelledby="levers">
            <h2 id="levers">What would help</h2>
            {v.leversSay && <p class="soft">{v.leversSay}</p>}
            {v.levers.map((l) => (
              <LeverCard key={l.key} lever={l} day={v.day.id} />
            ))}
            {v.back.length > 0 && (
              <div class="acts" data-back>
                {v.back.map((a) => (
                  <ActionButton key={a.label} action={a} />
                ))}
              </div>
            )}
          </section>
        )}
        <Said list={v.release} title="Who could go early" tone="" name="release" />
        {v.starts.length > 0 && (
          <section class="card" aria-labelledby="starts">
            <h2 id="starts">Likely start of each shot</h2>
            <dl class="starts">
              {v.starts.map((s) => (
                <div key={s.id} data-start={s.number}>
                  <dt>
                    <b class="figures">{s.number}</b> {s.title}
                  </dt>
                  <dd class="figures">{s.say}</dd>
                </div>
              ))}
            </dl>
          </section>
        )}
      </div>
    </div>
  );
}

function Said({ list, title, tone, name }: { list: string[]; title: string; tone: string; name: string }) {
  if (list.length === 0) return null;
  return (
    <section class="card" aria-labelledby={name} data-said={name}>
      <h2 id={name} class={tone}>
        {title}
      </h2>
      {list.map((l) => (
        <p key={l} class="figures">
          {l}
        </p>
      ))}
    </section>
  );
}

function LeverCard({ lever: l, day }: { lever: Lever; day: string }) {
  const take = (event: Event) => {
    if (event.target instanceof HTMLButtonElement) taken.value = { day, lever: l };
  };
  return (
    <article class="card lever" data-lever={l.title} onClick={take}>
      <div class="row-head">
        <h3 class="figures">{l.title}</h3>
        <b class="figures">{l.saves}</b>
      </div>
      <p class="figures">{l.say}</p>
      <p class="figures">{l.costs}</p>
      {l.money && <p class="figures">{l.money}</p>}
      {l.why.length > 0 && (
        <ul class="figures">
          {l.why.map((w) => (
            <li key={w}>{w}</li>
          ))}
        </ul>
      )}
      <div class="acts">
        <ActionButton action={l.take} />
      </div>
    </article>
  );
}

function Taken({ day }: { day: string }) {
  const t = taken.value;
  if (!t || t.day !== day) return null;
  const { undo } = t.lever;
  const back = () => {
    press({ ...undo, enabled: true, why: '', confirm: '', danger: false });
    taken.value = null;
  };
  return (
    <section class="card taken" role="status" data-taken>
      <p>
        Taken: <b class="figures">{t.lever.title}</b>
      </p>
      <div class="acts">
        <button type="button" data-undo onClick={back}>
          {undo.label}
        </button>
      </div>
    </section>
  );
}
