import { useEffect, useState } from 'preact/hooks';
import { line, me } from '../client';
import type { AskCancel, AskEnd, JoinedPhone, Links, PhoneCode, Phones } from '../gen/web';
import { request } from '../whoami';
import { question } from './act';
import { Dialog } from './Dialog';
import { toast } from './toast';

/** The phones that have joined: one's own, and for a producer everybody's with the
 * join links that are open. The server alone knows of them. */
export function JoinedPhones() {
  const [list, setList] = useState<Phones | null>(null);
  const [links, setLinks] = useState<Links | null>(null);
  const [say, setSay] = useState('');
  const live = line.value.connection === 'live';
  const producer = me.value?.role === 'producer';
  useEffect(() => {
    if (!live) return;
    void request<Phones>('/api/phones').then((said) => take(said, setList, setSay));
    if (producer) void request<Links>('/api/links').then((said) => take(said, setLinks, setSay));
  }, [live, producer]);
  if (!list) return <p class="soft">{say || 'Which phones have joined is known where there is signal.'}</p>;
  const end = (text: string, ask: AskEnd) => confirmed(text, 'Sign out', () => request<Phones>('/api/phones/end', ask), setList, 'Signed out');
  const mine = list.phones.filter((p) => p.person === me.value?.person);
  const others = list.phones.filter((p) => p.person !== me.value?.person);
  return (
    <>
      <h3>Your phones</h3>
      {!live && <p class="soft">As it was when there was signal.</p>}
      <Rows phones={mine} end={end} />
      <div class="acts">
        <AnotherPhone />
        {mine.length > 1 && (
          <button type="button" data-end-others onClick={() => end('Sign out all your phones but this one?', { person: me.value?.person ?? '' })}>
            Sign out my other phones
          </button>
        )}
      </div>
      {producer && others.length > 0 && (
        <details data-everybody>
          <summary>Everybody else’s phones ({others.length})</summary>
          <Rows phones={others} end={end} />
        </details>
      )}
      {producer && links && links.links.length > 0 && (
        <details data-links>
          <summary>Join links that nobody has used ({links.links.length})</summary>
          {links.links.map((l) => (
            <div class="pair" key={l.id} data-open-link={l.name}>
              <p>
                {l.name}, {l.roleLabel}. <span class="soft">{l.say}</span>
              </p>
              <button
                type="button"
                onClick={() => {
                  const ask: AskCancel = { id: l.id };
                  confirmed(`Cancel the join link for ${l.name}?`, 'Cancel the link', () => request<Links>('/api/links/cancel', ask), setLinks, 'Cancelled');
                }}
              >
                Cancel
              </button>
            </div>
          ))}
        </details>
      )}
    </>
  );
}

function take<T>(said: T | string, set: (now: T) => void, fail: (say: string) => void): void {
  if (typeof said === 'string') fail(said);
  else set(said);
}

function confirmed<T>(text: string, yes: string, ask: () => Promise<T | string>, set: (now: T) => void, done: string): void {
  const agreed = async (): Promise<void> =>
    take(
      await ask(),
      (now) => {
        set(now);
        toast(done, '', 'good');
      },
      (say) => toast('Not done', say, 'stop'),
    );
  question.value = { text, yes, danger: true, agreed };
}

function Rows({ phones, end }: { phones: JoinedPhone[]; end: (text: string, ask: AskEnd) => void }) {
  return (
    <>
      {phones.map((p) => (
        <div class="pair" key={p.id} data-joined={p.phone} data-this={p.this}>
          <p>
            {p.person !== me.value?.person && `${p.name}: `}
            {p.phone}
            {p.this && ' (this one)'}. <span class="soft">{p.say}</span>
          </p>
          {!p.this && (
            <button
              type="button"
              data-end
              aria-label={`Sign out ${p.name}’s ${p.phone}`}
              onClick={() => end(`Sign out ${p.name}’s ${p.phone}? It forgets the shoot the next time it has signal.`, { id: p.id })}
            >
              Sign out
            </button>
          )}
        </div>
      ))}
    </>
  );
}

/** Lets another phone of the same person in, by a code for some minutes. */
function AnotherPhone() {
  const [code, setCode] = useState<PhoneCode | null>(null);
  async function make(): Promise<void> {
    take(await request<PhoneCode>('/api/code', {}), setCode, (say) => toast('Not made', say, 'stop'));
  }
  return (
    <>
      <button type="button" data-another onClick={() => void make()}>
        Join on another phone
      </button>
      {code && (
        <Dialog class="ask" label="Join on another phone" onClose={() => setCode(null)}>
          <p class="ask-text">
            Scan this with your other phone, or open Fairday there and type the code. It works once, for ten minutes. Whoever has it comes in as you.
          </p>
          <img class="qr" alt="QR code for your other phone" src={`data:image/svg+xml,${encodeURIComponent(code.qr)}`} />
          <p class="link figures" data-code>
            {code.code}
          </p>
          <div class="acts">
            <button type="button" onClick={() => setCode(null)}>
              Close
            </button>
          </div>
        </Dialog>
      )}
    </>
  );
}
