import type { Me } from './messages';

/** Who this phone is; or that the server turns it away, and why; or that there
 * was no answer. */
export type Answer = { me: Me } | { out: string; demo: boolean; withdrawn: boolean } | { away: true };

/** Asks the server, by the session cookie. */
export async function whoAmI(): Promise<Answer> {
  let response: Response;
  try {
    response = await fetch('/api/me', { cache: 'no-store', signal: AbortSignal.timeout(15_000) });
  } catch {
    return { away: true }; // no net, or no server
  }
  if (response.ok) return { me: (await response.json()) as Me };
  if (response.status === 401 || response.status === 403) {
    const problem = (await response.json()) as { code?: string; say?: string; demo?: boolean };
    return { out: problem.say ?? 'Open the join link you were sent.', demo: problem.demo ?? false, withdrawn: problem.code === 'access_withdrawn' };
  }
  return { away: true };
}

/** A way in for one person. */
export interface Link {
  url: string;
  code: string; // the same as a QR code, as SVG
  name: string;
}

/** Has the server make a join link, or says why there is none. */
export async function joinLink(person: string): Promise<Link | string> {
  let response: Response;
  try {
    response = await fetch('/api/links', {
      method: 'POST',
      body: JSON.stringify({ person }),
      headers: { 'Content-Type': 'application/json' },
      signal: AbortSignal.timeout(15_000),
    });
  } catch {
    return 'A join link is made by the server, and this phone does not reach it. Try again when it is back.';
  }
  if (response.ok) return (await response.json()) as Link;
  const problem = (await response.json().catch(() => ({}))) as { say?: string };
  return problem.say ?? 'The server made no link. Try again.';
}
