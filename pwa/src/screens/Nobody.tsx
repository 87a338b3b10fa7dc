import { line } from '../client';
import { JoinField } from '../parts/JoinField';
import { Notices } from '../parts/Notices';

/** The page on a phone that nobody has joined with. */
export function Nobody() {
  return (
    <main class="lone" id="main" data-screen="nobody">
      <Notices />
      <p class="brand">Fairday</p>
      <h1>Ask your producer for your join link</h1>
      <p>It opens the shoot on this phone. After that the day works without signal too.</p>
      {line.value.say && <p class="soft">{line.value.say}</p>}
      <JoinField />
      <p class="soft">
        Owners find <a href="/shoots">the list of shoots</a> here. Owners and producers may <a href="/passkey">come in with a passkey</a>.
      </p>
      {line.value.demo && (
        <p>
          <a class="button main" href="/demo">
            The demo’s join links
          </a>
        </p>
      )}
    </main>
  );
}
