import { signal } from '@preact/signals';
import { render } from 'preact';
import { discard, edit, faults, line, me, standing, stuck, useView, waitingEdits, type Outcome } from './client';
import { applyUpdate, updateReady } from './update';

const outcome = signal<Outcome | null>(null);

function App() {
  const state = useView<unknown>('shell');
  return (
    <main>
      <h1>Fairday</h1>
      <p id="me">{me.value ? `${me.value.name}, ${me.value.roleLabel}` : 'Nobody has joined on this phone.'}</p>
      <p id="line" data-connection={line.value.connection}>
        {line.value.connection} {line.value.say}
      </p>
      <p id="waiting">{waitingEdits.value} waiting on this phone</p>
      {stuck.value.map((item) => (
        <p key={item.seq} class="stuck">
          {item.name}: {item.say} <button onClick={() => void discard(item.seq)}>Seen</button>
        </p>
      ))}
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const form = new FormData(event.currentTarget);
          void edit(String(form.get('name')), JSON.parse(String(form.get('args')))).then((o) => (outcome.value = o));
        }}
      >
        <input name="name" aria-label="Intent" /> <input name="args" aria-label="Arguments" /> <button>Send</button>
      </form>
      <p id="outcome">{JSON.stringify(outcome.value)}</p>
      {updateReady.value && <button onClick={() => void applyUpdate()}>Take on the new release</button>}
      {faults.value.map((fault) => (
        <details>
          <summary>{fault.say}</summary>
          <pre>{fault.detail}</pre>
        </details>
      ))}
      <pre id="view" data-painted={state.value.painted}>
        {JSON.stringify(state.value.view, null, 1)}
      </pre>
      <pre id="standing">{JSON.stringify(standing.value, null, 1)}</pre>
    </main>
  );
}

render(<App />, document.getElementById('app')!);
