// The engine in this worker: the shoot's rules, compiled to WebAssembly, behind
// calls of text.
import '../.out/wasm_exec.js';
import wasm from '../.out/engine.wasm?url';
import type { Reply } from './gen/engine';

type Argument = string | number;

interface Glue {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

declare const Go: new () => Glue;
declare let fairday: Record<string, (...args: Argument[]) => string>;

/** The engine is broken: start another and load it from storage. */
export class EngineFault extends Error {
  override name = 'EngineFault';
}

let compiled: Promise<WebAssembly.Module> | undefined;

/** Told how much of the engine has come, in bytes as they travel. */
export type Progress = (got: number, of: number) => void;

const silence = 30_000; // ms without a byte after which fetching starts anew

/** The server has another engine by now: only a newer page can have it. */
export class EngineGone extends Error {
  override name = 'EngineGone';
}

/** Fetches and compiles the engine, which needs no other part of this worker. With
 * progress it tells how far it is; without, the browser may take what it compiled
 * last time. */
export function compile(progress?: Progress): Promise<WebAssembly.Module> {
  compiled ??= WebAssembly.compileStreaming(progress ? counted(progress) : fetch(wasm)).catch((err: unknown) => {
    compiled = undefined; // it may work when asked again
    throw err;
  });
  return compiled;
}

async function counted(progress: Progress): Promise<Response> {
  const hurry = new AbortController();
  let quiet = setTimeout(() => hurry.abort(), silence);
  const response = await fetch(wasm, { signal: hurry.signal });
  if (response.status === 404) throw new EngineGone('the server has no such engine');
  if (!response.ok || !response.body) return response;
  const of = Number(response.headers.get('Content-Length')) || __ENGINE_BYTES__; // packed it is smaller
  let unpacked = 0;
  const counting = new TransformStream<Uint8Array, Uint8Array>({
    transform(chunk, on) {
      clearTimeout(quiet);
      quiet = setTimeout(() => hurry.abort(), silence);
      unpacked += chunk.length;
      progress(Math.min(of, Math.round((of * unpacked) / __ENGINE_BYTES__)), of);
      on.enqueue(chunk);
    },
    flush: () => clearTimeout(quiet),
  });
  return new Response(response.body.pipeThrough(counting), { headers: { 'Content-Type': 'application/wasm' } });
}

export class Engine {
  private constructor(private readonly calls: Record<string, (...args: Argument[]) => string>) {}

  /** Starts an engine that knows nothing. */
  static async start(): Promise<Engine> {
    const module = await compile();
    const go = new Go();
    const instance = await WebAssembly.instantiate(module, go.importObject);
    void go.run(instance); // ends on stop; until then its main has put fairday in place
    return new Engine(fairday);
  }

  /** Runs a method that gives a reply. */
  do(method: string, ...args: Argument[]): Reply {
    const reply = JSON.parse(this.text(method, ...args)) as Reply;
    if (reply.fault) throw new EngineFault(`${reply.fault}\n${reply.trace ?? ''}`);
    return reply;
  }

  /** Runs a method and gives its answer as it is. */
  text(method: string, ...args: Argument[]): string {
    let answer: string | undefined;
    try {
      answer = this.calls[method]?.(...args);
    } catch (err) {
      throw new EngineFault(`${method}: ${String(err)}`);
    }
    if (answer === undefined) throw new EngineFault(`${method}: the engine gave no answer`);
    if (answer.startsWith('{"fault"')) {
      const reply = JSON.parse(answer) as Reply;
      throw new EngineFault(`${reply.fault}\n${reply.trace ?? ''}`);
    }
    return answer;
  }

  newId(): string {
    return JSON.parse(this.text('id', random(), Date.now())) as string;
  }

  stop(): void {
    this.calls.stop?.();
  }
}

/** Ten random bytes in hexadecimal, as ids need them. */
export function random(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(10)), (b) => b.toString(16).padStart(2, '0')).join('');
}
