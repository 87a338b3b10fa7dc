import type { Shots } from '../gen/day';
import { useHeld } from '../parts/hold';
import { Waiting } from '../parts/Waiting';
import type { ScreenProps } from './props';
import { ShotCard, ShotRow, UpElsewhere } from './ShotCard';

/** The run of shots: what is up, what comes next, then all of them in order. */
export function ShotsScreen({ day }: ScreenProps) {
  const { view, say } = useHeld<Shots>('shots', day ? { day } : {});
  if (!view) return <Waiting say={say} />;
  const above = new Set([...view.now, ...view.next].map((s) => s.id));
  return (
    <div class="two">
      <div class="first stay">
        <section aria-labelledby="now">
          <h2 id="now">Now</h2>
          {view.nowSay && <p class="soft">{view.nowSay}</p>}
          {view.now.map((s, i) => (
            <ShotCard key={s.id} shot={s} dock={i === 0} />
          ))}
        </section>
        <section aria-labelledby="next">
          <h2 id="next">Next</h2>
          {view.nextSay && <p class="soft">{view.nextSay}</p>}
          {view.next.map((s) => (
            <ShotCard key={s.id} shot={s} dock={view.now.length === 0} />
          ))}
        </section>
      </div>
      <section class="second" aria-labelledby="run">
        <h2 id="run">The day’s run</h2>
        <p class="soft figures" data-counts>
          {view.counts}
        </p>
        {view.groups.map((g) => (
          <section key={g.key} class="group" aria-label={g.setup}>
            <h3>
              {g.setup} <span class="soft figures">{g.change}</span>
            </h3>
            <ol class="rows">
              {g.shots.map((s) => (
                <li key={s.id}>{above.has(s.id) ? <UpElsewhere shot={s} /> : <ShotRow shot={s} />}</li>
              ))}
            </ol>
          </section>
        ))}
      </section>
    </div>
  );
}
