// The service worker: it serves the shell and the engine without signal. Every
// file it keeps is named by its content; a new release waits until the page
// says so. It never touches IndexedDB, so clearing its caches loses no edit.
import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from 'workbox-precaching';
import { NavigationRoute, registerRoute } from 'workbox-routing';

declare const self: ServiceWorkerGlobalScope;

precacheAndRoute(self.__WB_MANIFEST);
cleanupOutdatedCaches();

// These paths are the server's own pages and answers, never the shell.
const server = /^\/(join|demo|wrap|shoots|passkeys?|api|sync|healthz)(\/|$|\?)/;
registerRoute(new NavigationRoute(createHandlerBoundToURL('/index.html'), { denylist: [server] }));

self.addEventListener('message', (event) => {
  if ((event.data as { type?: string } | null)?.type === 'SKIP_WAITING') event.waitUntil(self.skipWaiting());
});
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));
