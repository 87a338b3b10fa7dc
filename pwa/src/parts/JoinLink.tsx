import { useState } from 'preact/hooks';
import type { AskLink, Link } from '../gen/web';
import { request } from '../whoami';
import { Dialog } from './Dialog';
import { toast } from './toast';

/** Makes a join link for somebody, to be sent to them. It needs the server. */
export function JoinLink({ person, name }: { person: string; name: string }) {
  const [link, setLink] = useState<Link | null>(null);
  const [waits, setWaits] = useState(false);
  async function make(): Promise<void> {
    setWaits(true);
    const ask: AskLink = { person };
    const made = await request<Link>('/api/links', ask);
    setWaits(false);
    if (typeof made === 'string') toast('Not made', made, 'stop');
    else setLink(made);
  }
  return (
    <>
      <button type="button" data-link={name} disabled={waits} aria-busy={waits} aria-label={`Join link for ${name}`} onClick={() => void make()}>
        Join link
      </button>
      {link && <Made link={link} close={() => setLink(null)} />}
    </>
  );
}

function Made({ link, close }: { link: Link; close: () => void }) {
  const text = `Join the shoot as ${link.name}: ${link.url}`;
  async function pass(): Promise<void> {
    try {
      if (navigator.share) await navigator.share({ text });
      else {
        await navigator.clipboard.writeText(text);
        toast('Copied', `The link for ${link.name}`, 'good');
      }
    } catch {
      // closed without sharing, or not allowed: the link stands there to be marked and copied
    }
  }
  return (
    <Dialog class="ask" label={`Join link for ${link.name}`} onClose={close}>
      <p class="ask-text">
        Let {link.name} scan this or send it to them, and to nobody else. It works once, and the links made for them before do not work any more.
      </p>
      <img class="qr" alt={`QR code of the join link for ${link.name}`} src={`data:image/svg+xml,${encodeURIComponent(link.code)}`} />
      <p class="link" data-joins>
        {link.url}
      </p>
      <div class="acts">
        <button type="button" onClick={close}>
          Close
        </button>
        <button type="button" class="main" onClick={() => void pass()}>
          {typeof navigator.share === 'function' ? 'Share' : 'Copy'}
        </button>
      </div>
    </Dialog>
  );
}
