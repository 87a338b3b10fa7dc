import { useState } from 'preact/hooks';
import { up } from '../client';
import type { Action, Field } from '../gen/view';
import { sheet, submit, type Entered, type Wrong } from './act';
import { Dialog } from './Dialog';
import { FieldInput } from './Field';
import { Figure } from './shapes';

/** The form of the action that was pressed. */
export function Sheet() {
  const action = sheet.value;
  return action?.form ? <Open key={action.name} action={action} /> : null;
}

const close = (): void => void (sheet.value = null);

function Open({ action }: { action: Action }) {
  const [wrong, setWrong] = useState<Wrong | null>(null);
  const [waits, setWaits] = useState(false);
  const form = action.form!;

  async function onSubmit(event: SubmitEvent): Promise<void> {
    event.preventDefault();
    if (waits) return;
    const data = new FormData(event.currentTarget as HTMLFormElement);
    const entered: Entered = Object.fromEntries(form.fields.map((f) => [f.key, data.getAll(f.key).map(String)]));
    setWaits(true);
    setWrong(null);
    const said = await submit(action, entered);
    setWaits(false);
    if (!said) return close();
    setWrong(said);
    document.getElementById(`field-${said.key}`)?.focus();
  }

  return (
    <Dialog class="sheet" label={form.title} onClose={close}>
      <form data-form={action.name} onSubmit={(event) => void onSubmit(event)} autocomplete="off">
        <header>
          <h2 tabIndex={-1} autofocus>
            {form.title}
          </h2>
          <button type="button" class="plain" aria-label="Close without sending" data-close onClick={close}>
            <Figure name="close" />
          </button>
        </header>
        {form.say && <p>{form.say}</p>}
        {groups(form.fields).map((g) =>
          g.name ? (
            <details key={g.name} class="field-group" open={g.fields.some((f) => f.key === wrong?.key) || undefined}>
              <summary>{g.name}</summary>
              <p class="soft">Leave empty what was not agreed.</p>
              {g.fields.map((f) => (
                <FieldInput key={f.key} field={f} wrong={wrong?.key === f.key} />
              ))}
            </details>
          ) : (
            g.fields.map((f) => <FieldInput key={f.key} field={f} wrong={wrong?.key === f.key} />)
          ),
        )}
        {waits && !up.value && <p role="status">Fairday is still loading. This is sent once it has; leave the page open until then.</p>}
        <div role="alert">{wrong && <p class="wrong">{wrong.say}</p>}</div>
        <div class="sheet-foot">
          <button type="submit" class={`main wide${action.danger ? ' danger strong' : ''}`} data-submit={action.name} disabled={waits} aria-busy={waits}>
            {form.submit || action.label}
          </button>
        </div>
      </form>
    </Dialog>
  );
}

/** Fields that stand together, in their order. */
function groups(fields: Field[]): { name: string; fields: Field[] }[] {
  const out: { name: string; fields: Field[] }[] = [];
  for (const f of fields) {
    const name = f.group ?? '';
    const last = out[out.length - 1];
    if (last && last.name === name) last.fields.push(f);
    else out.push({ name, fields: [f] });
  }
  return out;
}
