import { fromServer, loading } from '../client';

/** Above a screen that was finished before the engine was up: where it is from, and
 * how far the engine is. */
export function Painted() {
  return (
    <div class="soft painted">
      <p>{fromServer ? 'As the server had it when you opened this page.' : 'As this phone last showed it.'}</p>
      <Progress />
    </div>
  );
}

/** How far the engine is, or why it does not come. */
export function Progress() {
  const { got, of, stopped } = loading.value;
  if (stopped === 'newer') {
    return (
      <div class="notice" role="alert" data-loading="newer">
        <p>The server has a newer Fairday than this page. What you pressed is kept. Reload the page.</p>
        <button type="button" class="main" onClick={() => location.reload()}>
          Reload
        </button>
      </div>
    );
  }
  if (stopped) {
    return (
      <p role="alert" data-loading="stopped">
        The rest of Fairday does not come through. What you press is kept on this phone. It tries again by itself; find some signal.
      </p>
    );
  }
  if (of === 0 || got === of) return <p>The day is being read.</p>;
  return (
    <p class="figures" data-loading="comes">
      Fairday is loading: {kilobytes(got)} of {kilobytes(of)} KB. You can read on and press; what you press is kept.
      <progress value={got} max={of} aria-label="How much of Fairday has loaded" />
    </p>
  );
}

const kilobytes = (bytes: number): string => Math.ceil(bytes / 1000).toLocaleString('en-GB');
