// The signs on the tabs, one for each screen, on a square of 24 units.
const line = { fill: 'none', stroke: 'currentColor', 'stroke-width': 1.9, 'stroke-linejoin': 'round', 'stroke-linecap': 'round' } as const;

const strokes: Record<string, string> = {
  callsheet: 'M5.5 3h9.5l4 4v14h-13.5zM9 11.5h6.5M9 15.5h6.5M9 7.5h2.5', // a page
  shots: 'M3.5 8V4.5H8M16 4.5h4.5V8M20.5 16v3.5H16M8 19.5H3.5V16M12 9v6M9 12h6', // what the lens sees
  heroes: 'M11 3.5h9.5V13L12 21.5 3 12.5zM16.5 7.5h.01', // a plate on a string
  catering: 'M3 11.5h18a9 9 0 0 1-18 0zM8.5 4v3.5M12 3v4.5M15.5 4v3.5', // a steaming bowl
  overtime: 'M12 21a8.5 8.5 0 1 1 8.5-8.5M12 7.5v5l3.5 2.5M17 20.5h5', // a clock, run over
  settle: 'M3.5 6.5h12l-3-3M20.5 17.5h-12l3 3M3.5 12h17', // two ways, one line
};

/** The sign of a screen. */
export function ScreenIcon({ screen }: { screen: string }) {
  return (
    <svg class="icon" width="24" height="24" viewBox="0 0 24 24" aria-hidden="true">
      <path d={strokes[screen] ?? 'M4 12h16'} {...line} />
    </svg>
  );
}
