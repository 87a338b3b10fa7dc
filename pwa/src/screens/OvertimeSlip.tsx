import type { PayLine, PaySlip } from '../gen/day';
import { dots } from '../parts/dots';

/** Pay as lines that add up, to be followed with a pencil. */
export function Slip({ slip: s }: { slip: PaySlip }) {
  return (
    <section class="slip" data-slip={s.title}>
      <h3 class="figures">{s.title}</h3>
      <p class="soft figures">{dots([`${s.worked} worked`, ...s.meals.map((meal) => `meal ${meal}`)])}</p>
      <table>
        <thead class="unseen">
          <tr>
            <th scope="col">What for</th>
            <th scope="col">Amount</th>
          </tr>
        </thead>
        <Lines list={s.lines} />
        <Sum word="Pay" amount={s.total} />
        <Lines list={s.costs} />
        {s.cost && <Sum word="Pay and what is on top" amount={s.cost} />}
      </table>
      {s.beyond && (
        <p class="soft">
          Overtime and penalties are <b class="figures">{s.beyond}</b> of it.
        </p>
      )}
      {s.tomorrow && (
        <p class="figures" data-tomorrow>
          <b>
            Next call {s.tomorrow.span}: +{s.tomorrow.amount}
          </b>{' '}
          <span class="soft">
            {s.tomorrow.why} Short by {s.tomorrow.hours}; with it the day stands at {s.exposed} on the curve.
          </span>
        </p>
      )}
      {s.floors.length > 0 && (
        <aside class="floors" data-floors>
          <h4>What labour law asks for at least</h4>
          {s.floors.map((f) => (
            <p key={f.law + f.say}>
              <b class="figures">
                {f.law}: {f.amount}
              </b>
              <span class="figures">{f.say}</span>
              <span class="soft">{f.source}</span>
            </p>
          ))}
          {[...new Set(s.floors.flatMap((f) => [f.leaves, f.reads, f.caution]))].filter(Boolean).map((c) => (
            <p key={c} class="soft">
              {c}
            </p>
          ))}
        </aside>
      )}
    </section>
  );
}

function Lines({ list }: { list: PayLine[] }) {
  return (
    <tbody>
      {list.map((l, i) => (
        <tr key={i}>
          <td>
            <span class="figures">{dots([l.span, l.hours, l.times])}</span>
            <span class="soft">{l.why}</span>
          </td>
          <td class="figures">{l.amount}</td>
        </tr>
      ))}
    </tbody>
  );
}

function Sum({ word, amount }: { word: string; amount: string }) {
  return (
    <tbody class="slip-sum">
      <tr>
        <th scope="row">{word}</th>
        <td class="figures">{amount}</td>
      </tr>
    </tbody>
  );
}
