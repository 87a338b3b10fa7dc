import { putAway, toasts, type Toast } from './toast';
import { Figure } from './shapes';

/** What came of the last edits. Both regions stand from the start, so that a
 * screen reader hears what is put into them. */
export function Toasts() {
  const list = toasts.value;
  return (
    <div class="toasts">
      <div role="status" aria-live="polite">
        {list
          .filter((t) => t.tone === 'good')
          .map((t) => (
            <Row key={t.id} toast={t} />
          ))}
      </div>
      <div role="alert">
        {list
          .filter((t) => t.tone === 'stop')
          .map((t) => (
            <Row key={t.id} toast={t} />
          ))}
      </div>
    </div>
  );
}

function Row({ toast: t }: { toast: Toast }) {
  return (
    <div class={`toast toast-${t.tone}`} data-toast={t.tone}>
      <Figure name={t.tone === 'good' ? 'square' : 'cross'} />
      <p>
        <b>{t.word}</b>
        {t.say && <>: {t.say}</>}
      </p>
      <button type="button" class="plain" onClick={() => putAway(t.id)} aria-label="Put this message away">
        <Figure name="close" />
      </button>
    </div>
  );
}
