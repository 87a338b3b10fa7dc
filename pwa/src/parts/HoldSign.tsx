import type { Hold } from '../gen/day';
import { MarkSign } from './Mark';

/** How long food that is out may still stand, whose limit it is, and who decides. */
export function HoldSign({ hold: h }: { hold: Hold }) {
  return (
    <section data-hold={h.mark.word}>
      <p>
        <b>Food that is out</b> <MarkSign mark={h.mark} />
      </p>
      <p class="figures">{h.say}</p>
      <p class="caution">
        {h.source}. {h.caution}
      </p>
    </section>
  );
}
