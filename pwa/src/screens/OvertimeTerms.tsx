import type { TermsCard, TermsSheet } from '../gen/view';
import { ActionButton } from '../parts/Button';
import { Pairs } from '../parts/Lines';
import { More } from '../parts/More';

interface Props {
  name: string;
  open: boolean;
  sheet: TermsSheet | undefined; // once the view has it
  toggle: () => void;
}

/** What somebody works for, asked for by a button; one at a time. */
export function TermsOf({ name, open, sheet, toggle }: Props) {
  return (
    <>
      <button type="button" class="plain" data-terms={name} aria-expanded={open} aria-label={`Terms of ${name}`} onClick={toggle}>
        {open ? '− Terms' : '+ Terms'}
      </button>
      {open && sheet && <Terms sheet={sheet} />}
    </>
  );
}

function Terms({ sheet: s }: { sheet: TermsSheet }) {
  return (
    <section class="terms" data-terms-sheet={s.name}>
      {s.say && <p>{s.say}</p>}
      <Pairs list={s.rules} />
      {s.change && <ActionButton action={s.change} named={s.name} />}
      <h3>Rule cards</h3>
      {s.cards.map((c) => (
        <Card key={c.name} card={c} named={s.name} />
      ))}
    </section>
  );
}

function Card({ card: c, named }: { card: TermsCard; named: string }) {
  return (
    <div data-card={c.name}>
      <More label={c.name}>
        <Pairs list={c.rules} />
        <p class="soft">{c.source}</p>
        <p class="soft">{c.caution}</p>
        <ActionButton action={c.start} named={`${c.name}, ${named}`} />
      </More>
    </div>
  );
}
