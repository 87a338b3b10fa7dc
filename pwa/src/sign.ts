// The key of this device: edits that somebody else is to deliver are signed with
// it. The browser does not give its private half out, not even to this page, and
// keeps it beside the queue. Browsers have it on secure origins only.
import type { DeviceKey, SignedEdit } from './gen/web';
import type { Queue } from './storage';

const kind = { name: 'ECDSA', namedCurve: 'P-256' } as const;

/** Whether this browser can sign here at all. */
export const canSign = (): boolean => globalThis.crypto?.subtle !== undefined;

/** The key of a device, made when it is first asked for; null where there can be none. */
export async function keyOf(queue: Queue, who: string, device: string): Promise<CryptoKeyPair | null> {
  if (!canSign()) return null;
  return (await queue.key(who, device)) ?? queue.setKey(who, device, await crypto.subtle.generateKey(kind, false, ['sign', 'verify']));
}

/** Tells the server the public half: known once it is, other where it has another
 * one for this device, away where there was no answer. */
export async function enroll(device: string, pair: CryptoKeyPair): Promise<'known' | 'other' | 'away'> {
  const told: DeviceKey = { device, key: base64url(await crypto.subtle.exportKey('raw', pair.publicKey)) };
  try {
    const response = await fetch('/api/device', { method: 'POST', body: JSON.stringify(told), signal: AbortSignal.timeout(15_000) });
    return response.ok ? 'known' : response.status === 409 ? 'other' : 'away';
  } catch {
    return 'away';
  }
}

/** Signs what is to be delivered. */
export async function sign(pair: CryptoKeyPair, what: unknown): Promise<SignedEdit> {
  const text = JSON.stringify(what);
  const sig = await crypto.subtle.sign({ name: 'ECDSA', hash: 'SHA-256' }, pair.privateKey, new TextEncoder().encode(text));
  return { text, sig: base64url(sig) };
}

function base64url(bytes: ArrayBuffer): string {
  return btoa(String.fromCharCode(...new Uint8Array(bytes)))
    .replace(/\+/g, '-')
    .replace(/\//g, '_')
    .replace(/=+$/, '');
}
