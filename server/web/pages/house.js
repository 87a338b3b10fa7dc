// What the server's own pages do beyond plain forms; each works without it.
for (const b of document.querySelectorAll('[data-copy]')) {
  if (!navigator.clipboard) continue;
  b.hidden = false;
  b.addEventListener('click', async () => {
    try {
      await navigator.clipboard.writeText(b.dataset.copy);
      b.textContent = 'Copied';
    } catch {
      b.hidden = true; // not allowed here: the link stands there to be marked
    }
  });
}

// A new shoot is where this browser is, unless somebody has said otherwise.
const zone = document.querySelector('select[data-here]');
if (zone && !zone.value) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone;

// A plan file may be dropped anywhere on its card.
for (const card of document.querySelectorAll('[data-drop]')) {
  const input = card.querySelector('input[type="file"]');
  const over = (yes) => (event) => {
    event.preventDefault();
    card.classList.toggle('over', yes);
  };
  card.addEventListener('dragover', over(true));
  card.addEventListener('dragleave', over(false));
  card.addEventListener('drop', (event) => {
    over(false)(event);
    if (event.dataTransfer.files.length !== 1) return;
    input.files = event.dataTransfer.files;
    input.form.requestSubmit();
  });
}
