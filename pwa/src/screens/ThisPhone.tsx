import { leave, line, me, persisted, report, waitingEdits } from '../client';
import { question } from '../parts/act';
import { JoinedPhones } from '../parts/JoinedPhones';
import { Borrowed, HandIn, SaveWaiting } from '../parts/Handover';

/** Whose this phone is, and the way out. */
export function ThisPhone() {
  const n = waitingEdits.value;
  return (
    <section class="card" aria-labelledby="phone" data-phone>
      <h2 id="phone">This phone</h2>
      <p>
        It is {me.value?.name}’s, {me.value?.roleLabel}.
      </p>
      {persisted.value === false && (
        <p class="soft">
          The browser may clear it when it runs out of room, and a private window forgets all when it closes. Share what waits before you let it sleep.
        </p>
      )}
      <SaveWaiting />
      <Borrowed />
      <div class="acts">
        <HandIn />
        <button type="button" data-leave onClick={() => ask(n)}>
          Sign this phone out
        </button>
      </div>
      {me.value?.role === 'producer' && line.value.connection === 'live' && (
        <p class="acts">
          <a class="button" href={`/shoots/${me.value.shoot}`}>
            The whole shoot: producers, archive
          </a>
          <a class="button" href="/shoots/people">
            People you would work with again
          </a>
          <a class="button" href="/passkeys">
            Passkeys: come in without a link
          </a>
        </p>
      )}
      <JoinedPhones />
    </section>
  );
}

function ask(waiting: number): void {
  const kept = waiting > 0 ? ' What waits here is kept, but goes out only once you join again.' : '';
  question.value = {
    text: `Sign this phone out? It forgets the shoot, and you need a new join link or your other phone to come back.${kept}`,
    yes: 'Sign out',
    danger: true,
    agreed: () => leave().catch(report),
  };
}
