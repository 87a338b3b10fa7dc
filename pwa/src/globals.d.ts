// What the build puts in, and what Go's glue defines.
declare const __RELEASE__: string;
declare const __ENGINE_BYTES__: number; // of the engine, unpacked

declare module '*/wasm_exec.js';

interface ServiceWorkerGlobalScope {
  __WB_MANIFEST: Array<string | { url: string; revision: string | null }>;
}
