import type { DraftSheet } from '../gen/day';
import { ActionButton } from '../parts/Button';
import { Changes } from '../parts/Lines';
import { More } from '../parts/More';

/** The call sheet being prepared. */
export function Draft({ draft }: { draft: DraftSheet }) {
  return (
    <section class="card" aria-labelledby="draft" data-draft>
      <h2 id="draft">The next version</h2>
      <p>{draft.say}</p>
      <Changes list={draft.changes} />
      <div class="acts">
        <ActionButton action={draft.publish} main />
        <ActionButton action={draft.text} />
      </div>
      <More label="Call times">
        <ul class="people">
          {draft.calls.map((c) => (
            <li key={c.id} data-call={c.name}>
              <span class="figures people-call">{c.call}</span>
              <span class="people-who">
                <b>{c.name}</b>
                <br />
                <span class="soft">{c.job}</span>
              </span>
              <ActionButton action={c.edit} named={`call of ${c.name}`} />
            </li>
          ))}
        </ul>
      </More>
    </section>
  );
}
