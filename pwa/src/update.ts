// New releases: found in the background, taken on only when a person says so
// and everything they entered is on disk.
import { signal, type ReadonlySignal } from '@preact/signals';
import { registerSW } from 'virtual:pwa-register';
import { report, settled } from './client';

const ready = signal(false);

/** A new release is here and waits for applyUpdate. */
export const updateReady: ReadonlySignal<boolean> = ready;

const swap = registerSW({
  onNeedRefresh: () => (ready.value = true),
  onRegisteredSW: (_url, registration) => {
    if (!registration) return;
    // Phones stay open for days: look again when the page comes to the front.
    document.addEventListener('visibilitychange', () => {
      if (document.visibilityState === 'visible' && navigator.onLine) registration.update().catch(() => undefined); // no net is no news
    });
  },
  onRegisterError: report,
});

/** Takes on the new release and reloads the page. */
export async function applyUpdate(): Promise<void> {
  await settled();
  await swap(true);
}
