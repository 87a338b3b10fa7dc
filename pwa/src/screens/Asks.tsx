import type { AskBox, AskCard } from '../gen/day';
import { ActionButton, Actions } from '../parts/Button';
import { MarkSign } from '../parts/Mark';

/** Overtime that was asked for and needs a look, on the screen one starts on. */
export function Asks({ cards }: { cards: AskCard[] }) {
  return (
    <>
      {cards.map((c) => (
        <Ask key={c.id} card={c} />
      ))}
    </>
  );
}

/** All that was asked for on a day. */
export function AskBoxCard({ box }: { box: AskBox }) {
  return (
    <section aria-labelledby="asks">
      <h2 id="asks">Overtime asked for</h2>
      {box.say && <p>{box.say}</p>}
      <Asks cards={box.cards} />
      {box.ask && (
        <div class="acts">
          <ActionButton action={box.ask} />
        </div>
      )}
    </section>
  );
}

function Ask({ card: c }: { card: AskCard }) {
  return (
    <article class="card ask-card" data-ask={c.mark.word} aria-label={c.title}>
      <h3 class="figures">{c.title}</h3>
      <MarkSign mark={c.mark} large />
      <p class="figures">{c.amount}</p>
      {c.note && <p class="lines">{c.note}</p>}
      <p class="soft figures">{c.say}</p>
      {c.reply && <p class="figures">{c.reply}</p>}
      <Actions list={c.actions} named={c.title} />
    </article>
  );
}
