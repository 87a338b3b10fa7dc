import { answer, question } from './act';
import { Dialog } from './Dialog';

/** The question before an action that should not happen by a slip. */
export function Ask() {
  const q = question.value;
  if (!q) return null;
  return (
    <Dialog class="ask" label={q.text} role="alertdialog" onClose={() => void answer(false)}>
      <p class="ask-text">{q.text}</p>
      <div class="acts">
        <button type="button" data-answer="no" onClick={() => void answer(false)}>
          No, go back
        </button>
        <button type="button" data-answer="yes" class={q.danger ? 'danger strong' : 'main'} onClick={() => void answer(true)}>
          {q.yes}
        </button>
      </div>
    </Dialog>
  );
}
