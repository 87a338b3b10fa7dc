// The worker: it owns storage, the engine and, in the tab that leads, the
// socket, and carries out what the engine's replies say. Everything that happens
// takes its turn, one after the other.
import { Phone } from './phone';
import type { FromWorker, ToWorker } from './messages';

declare const self: DedicatedWorkerGlobalScope;

const post = (message: FromWorker): void => self.postMessage(message);
const phone = new Phone(post);

self.addEventListener('error', (event) => phone.fault(event.error ?? event.message));
self.addEventListener('unhandledrejection', (event) => phone.fault(event.reason));
self.addEventListener('message', (event: MessageEvent<ToWorker>) => phone.heard(event.data));
phone.start(self.name.includes(' first'), self.name.includes(' anew'));
