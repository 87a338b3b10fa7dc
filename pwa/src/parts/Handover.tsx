import { borrowed, handIn, handover, report, waitingEdits } from '../client';
import { canSign } from '../sign';
import { toast } from './toast';

/** The way out for edits when this phone has no signal: a file that another
 * phone of the shoot hands in. */
export function SaveWaiting() {
  const n = waitingEdits.value;
  if (n === 0) return null;
  if (!canSign()) {
    return (
      <p data-save={n} data-unsigned>
        {n === 1 ? 'One edit waits' : `${n} edits wait`} on this phone and {n === 1 ? 'goes' : 'go'} out once there is signal. They cannot be given to another
        phone: that takes a signature, and browsers sign only on pages that come over https.
      </p>
    );
  }
  return (
    <div data-save={n}>
      <p>
        {n === 1 ? 'One edit waits' : `${n} edits wait`} on this phone. No signal for long? Save them as a file, give it to somebody on this shoot whose phone
        has signal, and they hand it in under “This phone”, below their call sheet, within two days. What you reported counts as yours, with their name beside
        it; what you asked for waits here for your own word. It all stays here until it is shared.
      </p>
      <div class="acts">
        <button type="button" data-handover onClick={() => void save().catch(report)}>
          Save what waits
        </button>
      </div>
    </div>
  );
}

async function save(): Promise<void> {
  const file = await handover();
  if (typeof file === 'string') return toast('Not saved', file, 'stop');
  if (navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file] });
    } catch (err) {
      if (!(err instanceof DOMException && err.name === 'AbortError')) throw err; // the person changed their mind
    }
    return;
  }
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000); // the browser may still be reading it
  toast('Saved', file.name, 'good');
}

/** What other phones handed over and this one has not shared yet. */
export function Borrowed() {
  return (
    <>
      {borrowed.value.map((b) => (
        <p key={b.key} data-borrowed={b.edits}>
          {b.edits === 1 ? 'One edit' : `${b.edits} edits`} of {b.name} {b.edits === 1 ? 'waits' : 'wait'} here to be handed in once there is signal.
        </p>
      ))}
    </>
  );
}

/** Takes the file of another phone. */
export function HandIn() {
  return (
    <label class="button">
      Hand in another phone’s edits
      <input class="unseen" type="file" accept="application/json,.json" data-hand onChange={(e) => void take(e.currentTarget).catch(report)} />
    </label>
  );
}

async function take(input: HTMLInputElement): Promise<void> {
  const file = input.files?.[0];
  input.value = '';
  if (!file) return;
  const said = await handIn(file);
  toast(said.good ? 'Handed over' : 'Not handed in', said.say, said.good ? 'good' : 'stop');
}
