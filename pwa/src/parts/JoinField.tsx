import { useState } from 'preact/hooks';

/** Takes a join link that was copied, or the code that another phone shows. */
export function JoinField() {
  const [typed, setTyped] = useState('');
  return (
    <form
      class="field"
      onSubmit={(e) => {
        e.preventDefault();
        const token = tokenOf(typed);
        if (token) location.assign(`/join/${encodeURIComponent(token)}`);
      }}
    >
      <label for="join">Join link, or the code from your other phone</label>
      <input
        id="join"
        data-join
        autocomplete="off"
        autocapitalize="characters"
        spellcheck={false}
        value={typed}
        onInput={(e) => setTyped(e.currentTarget.value)}
      />
      <button type="submit" class="main" disabled={tokenOf(typed) === ''}>
        Go on
      </button>
    </form>
  );
}

// The last part of a link, wherever in a message it stands, or what was typed.
function tokenOf(typed: string): string {
  return (/\/join\/([^\s/?#]+)/.exec(typed)?.[1] ?? typed).trim();
}
