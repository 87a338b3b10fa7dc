import type { CountLine } from '../gen/day';
import type { ChangeLine, Line, Made } from '../gen/view';

/** What changed, from what to what. */
export function Changes({ list }: { list: ChangeLine[] }) {
  if (list.length === 0) return null;
  return (
    <ul class="changes">
      {list.map((c, i) => (
        <li key={i}>
          <span class="soft">{c.what}</span>
          <span>
            <del>{c.from}</del> <span class="soft">now</span> <ins>{c.to}</ins>
          </span>
        </li>
      ))}
    </ul>
  );
}

/** Labels and values. */
export function Pairs({ list }: { list: Line[] }) {
  if (list.length === 0) return null;
  return (
    <dl class="pairs">
      {list.map((l) => (
        <div key={l.label}>
          <dt>{l.label}</dt>
          <dd class="figures">{l.value}</dd>
        </div>
      ))}
    </dl>
  );
}

/** Counts under a title. */
export function Counts({ title, list }: { title: string; list: CountLine[] }) {
  if (list.length === 0) return null;
  return (
    <section class="counts">
      <h3>{title}</h3>
      <dl class="pairs">
        {list.map((l) => (
          <div key={l.label}>
            <dt>{l.label}</dt>
            <dd class="figures count">{l.count}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** When, and who said so. */
export function MadeLine({ made }: { made: Made }) {
  return (
    <span class="made">
      <span class="figures">{made.happened}</span>
      {made.by && <> {made.by}</>}
      {made.received && <span class="soft"> ({made.received})</span>}
    </span>
  );
}
