// New releases: found in the background, taken on only when a person says so
// and everything they entered is on disk.
import { signal, type ReadonlySignal } from '@preact/signals';
import { report, settled, up } from './client';

const ready = signal(false);
let registration: ServiceWorkerRegistration | undefined;

/** A new release is here and waits for applyUpdate. */
export const updateReady: ReadonlySignal<boolean> = ready;

/** Takes on the new release and reloads the page. */
export async function applyUpdate(): Promise<void> {
  await settled();
  const next = registration?.waiting;
  if (!next) return location.reload(); // another tab has taken it on already
  navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
  next.postMessage({ type: 'SKIP_WAITING' });
}

async function register(): Promise<void> {
  const container = navigator.serviceWorker;
  let former = container.controller;
  container.addEventListener('controllerchange', () => {
    if (former) ready.value = true; // without one, this was the first to be installed
    former = container.controller;
  });
  const found = await container.register('/sw.js');
  registration = found;
  const look = (): void => {
    if (found.waiting && found.active) ready.value = true; // a first one waits for a moment too, for nobody
  };
  look();
  found.addEventListener('updatefound', () => found.installing?.addEventListener('statechange', look));
  // Phones stay open for days: look again when the page comes to the front.
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') found.update().catch(() => undefined); // no net is no news
  });
}

/** Resolves once the engine is up. */
function engineUp(): Promise<void> {
  return new Promise((yes) => {
    up.subscribe((is) => {
      if (is) yes();
    });
  });
}

// Browsers offer it only on pages that are served securely; in development
// there is none to register. On a first visit it waits for the engine, which it
// would fetch a second time; a page that was here before may need a new release
// to get its engine up at all.
if ('serviceWorker' in navigator && import.meta.env.PROD) {
  const here = navigator.serviceWorker.controller ? Promise.resolve() : engineUp();
  here.then(register).catch(report);
}
