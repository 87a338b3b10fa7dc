// Adds a passkey, and comes in with one. The server and the browser speak through
// this page; nothing is kept here.
const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));
const text = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer)))
    .replace(/\+/g, '-')
    .replace(/\//g, '_')
    .replace(/=+$/, '');

async function ask(path, body) {
  const answer = await fetch(path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: body && JSON.stringify(body) });
  const said = answer.status === 204 ? null : await answer.json();
  if (!answer.ok) throw new Error(said.say);
  return said;
}

async function add(shoot) {
  const { publicKey } = await ask('/api/passkeys/ask?for=' + encodeURIComponent(shoot));
  publicKey.challenge = bytes(publicKey.challenge);
  publicKey.user.id = bytes(publicKey.user.id);
  for (const c of publicKey.excludeCredentials ?? []) c.id = bytes(c.id);
  const made = await navigator.credentials.create({ publicKey });
  const { attestationObject, clientDataJSON } = made.response;
  await ask('/api/passkeys/add', {
    id: made.id,
    rawId: text(made.rawId),
    type: made.type,
    response: { attestationObject: text(attestationObject), clientDataJSON: text(clientDataJSON), transports: made.response.getTransports?.() ?? [] },
  });
  location.reload();
}

async function comeIn() {
  const { publicKey } = await ask('/api/passkey/ask');
  publicKey.challenge = bytes(publicKey.challenge);
  const got = await navigator.credentials.get({ publicKey });
  const r = got.response;
  const { to } = await ask('/api/passkey', {
    id: got.id,
    rawId: text(got.rawId),
    type: got.type,
    response: {
      authenticatorData: text(r.authenticatorData),
      clientDataJSON: text(r.clientDataJSON),
      signature: text(r.signature),
      userHandle: text(r.userHandle),
    },
  });
  location.assign(to);
}

function press(button, what) {
  const wrong = button.closest('section').querySelector('[role="alert"]');
  button.addEventListener('click', async () => {
    wrong.hidden = true;
    button.disabled = true;
    try {
      if (!window.PublicKeyCredential) throw new Error('This browser has no passkeys at this address. It takes a new one, and an address that starts with https.');
      await what();
    } catch (err) {
      const left = err.name === 'NotAllowedError' || err.name === 'AbortError';
      wrong.textContent = left ? 'Nothing was chosen. Press the button to try again.' : err.name === 'InvalidStateError' ? 'This device has one for you already.' : err.message;
      wrong.hidden = false;
    }
    button.disabled = false;
  });
}

for (const b of document.querySelectorAll('[data-add]')) press(b, () => add(b.dataset.add));
for (const b of document.querySelectorAll('[data-signin]')) press(b, comeIn);
