import type { ComponentChildren } from 'preact';

interface Props<R> {
  id: string;
  title: string;
  say: string; // how they stand altogether
  acts: ComponentChildren; // what goes for all of them
  list: R[];
  children: (row: R) => ComponentChildren;
}

/** A card with a row for each of many. */
export function RowsCard<R extends { id: string }>({ id, title, say, acts, list, children }: Props<R>) {
  return (
    <section class="card" aria-labelledby={id} data-rows={id}>
      <h2 id={id}>{title}</h2>
      <p class="figures">{say}</p>
      {acts}
      <ul class="rows">
        {list.map((r) => (
          <li key={r.id}>{children(r)}</li>
        ))}
      </ul>
    </section>
  );
}
