import type { TermsCard, TermsSheet } from '../gen/office';
import { ActionButton } from '../parts/Button';
import { FarPart, FarWaiting, useFar } from '../parts/Far';
import { Pairs } from '../parts/Lines';
import { More } from '../parts/More';

interface Props {
  of: string;
  name: string;
  day: string;
  open: boolean;
  toggle: () => void;
}

/** What somebody works for, asked for by a button; one at a time. */
export function TermsOf({ of, name, day, open, toggle }: Props) {
  return (
    <>
      <button type="button" class="plain" data-terms={name} aria-expanded={open} aria-label={`Terms of ${name}`} onClick={toggle}>
        {open ? '− Terms' : '+ Terms'}
      </button>
      {open && <Terms of={of} day={day} />}
    </>
  );
}

function Terms({ of, day }: { of: string; day: string }) {
  const far = useFar<TermsSheet>('terms', { ...(day && { day }), of });
  const { view: s, say } = far;
  if (!s) return <FarWaiting say={say} />;
  return (
    <section class="terms" data-terms-sheet={s.name}>
      <FarPart far={far}>
        {s.say && <p>{s.say}</p>}
        <Pairs list={s.rules} />
        {s.change && <ActionButton action={s.change} named={s.name} />}
        <h3>Rule cards</h3>
        {s.cards.map((c) => (
          <Card key={c.name} card={c} named={s.name} />
        ))}
      </FarPart>
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
