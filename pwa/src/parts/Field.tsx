import type { Field } from '../gen/view';

/** One field of a form. Its name is its key. */
export function FieldInput({ field: f, wrong }: { field: Field; wrong: boolean }) {
  const hint = f.hint ? `hint-${f.key}` : undefined;
  if (f.kind === 'ticks' || (f.kind === 'choice' && f.options.length <= 6)) return <Choices field={f} hint={hint} />;
  return (
    <div class="field">
      <label for={`field-${f.key}`}>
        {f.label}
        {!f.needed && !f.group && <span class="soft"> (may stay empty)</span>}
      </label>
      <Input field={f} hint={hint} wrong={wrong} />
      {f.hint && (
        <small id={hint} class="soft">
          {f.hint}
        </small>
      )}
    </div>
  );
}

function Input({ field: f, hint, wrong }: { field: Field; hint: string | undefined; wrong: boolean }) {
  const same = { id: `field-${f.key}`, name: f.key, required: f.needed, 'aria-invalid': wrong, ...(hint ? { 'aria-describedby': hint } : {}) };
  switch (f.kind) {
    case 'lines':
      return <textarea {...same} rows={4} defaultValue={f.value} />;
    case 'number':
      return <input {...same} type="number" step="1" class="figures" defaultValue={f.value} />;
    case 'time':
      return <input {...same} class="figures" placeholder="07:30" autocapitalize="off" defaultValue={f.value} />;
    case 'money':
      return <input {...same} class="figures" inputMode="decimal" defaultValue={f.value} />;
    case 'choice':
      return (
        <select {...same}>
          {f.options.map((o) => (
            <option key={o.value} value={o.value} selected={o.on || o.value === f.value}>
              {o.label}
            </option>
          ))}
        </select>
      );
  }
  return <input {...same} autocapitalize="off" autocorrect="off" spellcheck={false} defaultValue={f.value} />;
}

function Choices({ field: f, hint }: { field: Field; hint: string | undefined }) {
  const many = f.kind === 'ticks';
  return (
    <fieldset class="field" data-field={f.key} aria-describedby={hint}>
      <legend>{f.label}</legend>
      {f.hint && (
        <small id={hint} class="soft">
          {f.hint}
        </small>
      )}
      {f.options.map((o) => (
        <label key={o.value} class="tick">
          <input
            type={many ? 'checkbox' : 'radio'}
            name={f.key}
            value={o.value}
            required={!many && f.needed}
            defaultChecked={o.on || (!many && o.value === f.value)}
          />
          <span>{o.label}</span>
        </label>
      ))}
    </fieldset>
  );
}
