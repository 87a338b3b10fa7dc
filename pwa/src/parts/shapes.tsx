// The shapes that tell a state, each on a square of 20 units. They take the
// colour of the text around them; the word beside them says the same.
import type { JSX } from 'preact';

const line = { fill: 'none', stroke: 'currentColor', 'stroke-width': 2.4, 'stroke-linejoin': 'round', 'stroke-linecap': 'round' } as const;
const hexagon = 'M10 2l7 4v8l-7 4-7-4V6z';

const figures: Record<string, () => JSX.Element> = {
  bar: () => <rect x="1.5" y="7" width="17" height="6" rx="1" />,
  ring: () => <circle cx="10" cy="10" r="7" {...line} />,
  'half-disc': () => (
    <>
      <circle cx="10" cy="10" r="7" {...line} />
      <path d="M10 3a7 7 0 0 0 0 14z" />
    </>
  ),
  disc: () => <circle cx="10" cy="10" r="8.2" />,
  square: () => <rect x="2.5" y="2.5" width="15" height="15" rx="1" />,
  diamond: () => <path d="M10 2l8 8-8 8-8-8z" {...line} />,
  slash: () => <path d="M4 3l12 14" {...line} stroke-width="3.4" />,
  'hexagon-line': () => <path d={hexagon} {...line} />,
  'half-hexagon': () => (
    <>
      <path d={hexagon} {...line} />
      <path d="M10 2L3 6v8l7 4z" />
    </>
  ),
  hexagon: () => <path d={hexagon} stroke="currentColor" stroke-width="1" />,
  wedge: () => <path d="M1.5 4h17L10 18z" />,
  split: () => <path d="M8.6 3v14L.8 10zM11.4 3v14l7.8-7z" />,
  chevron: () => <path d="M6.5 3l7.5 7-7.5 7" {...line} stroke-width="3.2" />,
  cross: () => <path d="M3.5 3.5l13 13m0-13l-13 13" {...line} stroke-width="3.2" />,
  'lens-line': () => <ellipse cx="10" cy="10" rx="8" ry="4.6" {...line} />,
  lens: () => <ellipse cx="10" cy="10" rx="9" ry="5.6" />,
  'lens-bar': () => (
    <>
      <ellipse cx="10" cy="7.6" rx="9" ry="4.8" />
      <rect x="1" y="15" width="18" height="3" rx="1" />
    </>
  ),
  bowl: () => <path d="M1.5 6.5h17a8.5 8.5 0 0 1-17 0z" />,
  'bowl-line': () => <path d="M2.2 7h15.6a7.8 7.8 0 0 1-15.6 0z" {...line} />,
  'bowl-down': () => <path d="M1.5 14.5h17a8.5 8.5 0 0 0-17 0z" />,
  'post-line': () => <rect x="6.2" y="2" width="7.6" height="16" rx="1" {...line} />,
  post: () => <rect x="5.2" y="1.2" width="9.6" height="17.6" rx="1.4" />,
  'post-foot': () => (
    <>
      <rect x="6.8" y="1.6" width="6.4" height="12.4" rx="1" {...line} />
      <rect x="2" y="16.2" width="16" height="2.8" rx="1" />
    </>
  ),
  'post-gap': () => <path d="M5.2 1.2h9.6v6.9H5.2zm0 10.7h9.6v6.9H5.2z" />,

  'step-line': () => <path d="M2 15.5h8v-9h8" {...line} />,
  step: () => <path d="M1 16.5V13h8V4h10v12.5z" />,

  'sign-line': () => <path d="M1.5 16.5h17" {...line} />,
  sign: () => <path d="M1.5 17.5h17M3 12c3-8 5-9 5-5s-2 6 0 6 3-6 5-6-1 6 1 6 2-1 3-2" {...line} />,
  'sign-gap': () => <path d="M1.5 17.5h5M13.5 17.5h5M3 12c3-8 5-9 5-5s-2 6 0 6 3-6 5-6-1 6 1 6 2-1 3-2" {...line} />,
  'flag-line': () => <path d="M4 18.5v-16h12.5l-3.5 4 3.5 4H4" {...line} />,
  flag: () => <path d="M2.8 1.4h16l-4 5.1 4 5.1H5.2v7.6H2.8z" />,
  'flag-down': () => <path d="M2.8 0.8h2.4v7.6h13.6l-4 5 4 5.2h-16z" />,
  'flag-pole': () => <path d="M6 18.5V2.5M2.5 18.5h7" {...line} />,

  // The connection: two ends and what is between them.
  'link-live': () => <path d="M4.4 10h11.2" {...line} stroke-width="2.2" />,
  'link-away': () => <></>,
  'link-starting': () => <circle cx="10" cy="10" r="1.4" />,
  'link-out': () => <path d="M10 3v14" {...line} />,

  unknown: () => <path d="M5.8 6.6a4.2 4.2 0 1 1 6.4 3.6c-1.4.9-2.2 1.6-2.2 3.3M10 17.6h.01" {...line} />,

  // Signs on buttons.
  up: () => <path d="M10 17V3.5M4 9.5l6-6 6 6" {...line} />,
  down: () => <path d="M10 3v13.5M4 10.5l6 6 6-6" {...line} />,
  close: () => <path d="M4.5 4.5l11 11m0-11l-11 11" {...line} />,
};

/** A figure by its name; nothing for a name it does not know, where the word is
 * left to speak. */
export function Figure({ name, class: cls = 'figure' }: { name: string; class?: string }) {
  const draw = figures[name];
  if (!draw) return null;
  return (
    <svg class={cls} width="20" height="20" viewBox="0 0 20 20" fill="currentColor" aria-hidden="true" data-figure={name}>
      {name.startsWith('link-') && (
        <>
          <circle cx="3.4" cy="10" r="3.2" />
          <circle cx="16.6" cy="10" r="3.2" />
        </>
      )}
      {draw()}
    </svg>
  );
}
