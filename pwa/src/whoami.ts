import type { AskLeave, Me, Problem } from './gen/web';

/** Who this phone is; or that the server turns it away, and why; or that there
 * was no answer. */
export type Answer = { me: Me } | { out: string; demo: boolean; withdrawn: boolean } | { away: true };

const patience = 15_000; // ms

/** Asks the server, by the session cookie. */
export async function whoAmI(): Promise<Answer> {
  let response: Response;
  try {
    response = await fetch('/api/me', { cache: 'no-store', signal: AbortSignal.timeout(patience) });
  } catch {
    return { away: true }; // no net, or no server
  }
  if (response.ok) return { me: (await response.json()) as Me };
  if (response.status === 401 || response.status === 403) {
    const problem = (await response.json()) as Problem;
    return { out: problem.say, demo: problem.demo ?? false, withdrawn: problem.code === 'access_withdrawn' };
  }
  return { away: true };
}

/** Ends a session at the server; false where that has to wait. */
export async function endSession(ask: AskLeave): Promise<boolean> {
  try {
    return (await fetch('/api/leave', { method: 'POST', body: JSON.stringify(ask), signal: AbortSignal.timeout(patience) })).ok;
  } catch {
    return false;
  }
}

/** Asks the server for something that only it can give; where it gives nothing,
 * the answer is the words why. */
export async function request<T>(path: string, ask?: unknown): Promise<T | string> {
  let response: Response;
  try {
    const how: RequestInit = ask === undefined ? {} : { method: 'POST', body: JSON.stringify(ask), headers: { 'Content-Type': 'application/json' } };
    response = await fetch(path, { ...how, cache: 'no-store', signal: AbortSignal.timeout(patience) });
  } catch {
    return 'Only the server can do that, and this phone does not reach it. Try again when it is back.';
  }
  if (response.ok) return (await response.json()) as T;
  const problem = (await response.json().catch(() => ({}))) as Partial<Problem>;
  return problem.say ?? 'The server did not do it. Try again.';
}
