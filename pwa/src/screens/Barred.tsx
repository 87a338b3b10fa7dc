import { trouble } from '../client';

/** The page where this browser stores nothing, or not yet. */
export function Barred() {
  return (
    <main class="lone" id="main" data-screen="barred">
      <p class="brand">Fairday</p>
      <h1>Fairday cannot start here yet</h1>
      <p role="alert" data-trouble>
        {trouble.value}
      </p>
      <p>
        <button type="button" class="main" onClick={() => location.reload()}>
          Try again
        </button>
      </p>
    </main>
  );
}
