import { signal } from '@preact/signals';
import { dismissFaults, faults, report, standing, trouble } from '../client';
import { applyUpdate, updateReady } from '../update';

const later = signal(false);
const unsafeRead = signal(false);

/** What the page itself has to say: a new release, an address that browsers do
 * not trust, that nothing can be stored, a fault. */
export function Notices() {
  return (
    <>
      <Release />
      {!isSecureContext && !unsafeRead.value && <Unsafe />}
      {trouble.value && (
        <div class="notice notice-stop" role="alert" data-trouble>
          <p>{trouble.value}</p>
        </div>
      )}
      {faults.value.length > 0 && <Faults />}
    </>
  );
}

function Release() {
  const tooOld = standing.value?.outdated ?? false;
  if (!updateReady.value) {
    return tooOld ? (
      <div class="notice" role="status">
        <p>This page and the server do not fit together. Your edits are kept. Reload it.</p>
        <button type="button" class="main" onClick={() => location.reload()}>
          Reload
        </button>
      </div>
    ) : null;
  }
  if (later.value && !tooOld) return null;
  return (
    <div class="notice" role="status" data-update>
      <p>A new version is ready. What you entered is kept.</p>
      <div class="acts">
        <button type="button" class="main" onClick={() => void applyUpdate().catch(report)}>
          Update now
        </button>
        <button type="button" onClick={() => (later.value = true)}>
          Later
        </button>
      </div>
    </div>
  );
}

// Without https there is no service worker: the page cannot be opened again out
// of reach, even where what was entered is kept.
function Unsafe() {
  return (
    <div class="notice notice-stop" role="alert" data-unsafe>
      <p>This address does not work without signal: ask the producer for one that starts with https.</p>
      <button type="button" onClick={() => (unsafeRead.value = true)}>
        I know
      </button>
    </div>
  );
}

function Faults() {
  return (
    <div class="notice notice-stop" role="alert" data-faults={faults.value.length}>
      {faults.value.map((fault, i) => (
        <details key={i}>
          <summary>{fault.say}</summary>
          <pre>{fault.detail}</pre>
        </details>
      ))}
      <button type="button" onClick={dismissFaults}>
        Put away
      </button>
    </div>
  );
}
