import type { Band, Bar, Picture, RunRow } from '../gen/day';

// Units of the drawing, which is 320 wide: on a phone as many pixels, so that its
// words are as large as the style says.
const wide = 320;
const gutter = 32; // for the numbers of shots
const head = 36; // for the clocks, and the words of now and plan above them
const row = 23;
const strip = 17; // of the sky, and of the steps of overtime
const sun = 31; // of a window: its name above, its sun below

const x = (v: number): number => gutter + (v * (wide - gutter - 4)) / 1000;
const span = (b: Bar): { x: number; width: number } => ({ x: x(b.from), width: Math.max(2, x(b.to) - x(b.from)) });
const seen = (b: Bar): boolean => b.from >= 0;
const anchor = (v: number): 'start' | 'middle' | 'end' => (v > 900 ? 'end' : v < 60 ? 'start' : 'middle');

/** The run of the day: planned above, likely below, the sky under it. */
export function RunPicture({ picture: p }: { picture: Picture }) {
  const rows = head + 18;
  const foot = rows + p.rows.length * row + 4;
  const sky = foot + (p.steps.length > 0 ? strip : 6);
  const suns = sky + strip + 2;
  const high = sky + (p.sky.length > 0 ? strip + 4 + p.suns.length * sun : 0) + 2;
  const hours = p.hours.filter((_, i) => i % Math.ceil(p.hours.length / 6) === 0);
  return (
    <figure class="run card">
      <svg viewBox={`0 0 ${wide} ${high}`} role="img" aria-label={p.say}>
        <defs>
          <pattern id="run-pause" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line y2="6" class="run-hatch" />
          </pattern>
        </defs>
        {hours.map((t) => (
          <line key={t.at} class="run-grid" x1={x(t.at)} x2={x(t.at)} y1={head} y2={foot} />
        ))}
        {p.stops.map((b, i) => (
          <Stop key={i} band={b} foot={foot} />
        ))}
        {p.steps.map((s) => (
          <path key={s} class="run-step" d={`M${x(s)} ${foot + 4}v9`} />
        ))}
        {p.rows.map((r, i) => (
          <Row key={r.id} row={r} y={rows + i * row} />
        ))}
        {p.wrap50 >= 0 && p.wrap80 >= 0 && (
          <rect class="run-wrap" x={x(p.wrap50)} y={head} width={Math.max(2, x(p.wrap80) - x(p.wrap50))} height={foot - head} />
        )}
        <Line at={p.plan} word="plan" cls="run-plan" foot={foot} low={p.now >= 0 && Math.abs(p.now - p.plan) < 170} />
        <Line at={p.now} word="now" cls="run-now" foot={foot} />
        {hours.map((t) => (
          <text key={t.at} x={x(t.at)} y={head - 4} text-anchor={anchor(t.at)}>
            {t.label}
          </text>
        ))}
        {p.sky.map((b, i) => (
          <g key={i} class={`run-${b.kind}`}>
            <rect {...span(b)} y={sky} height={strip} />
            {x(b.to) - x(b.from) > 62 && (
              <text x={(x(b.from) + x(b.to)) / 2} y={sky + 13} text-anchor="middle">
                {b.word}
              </text>
            )}
          </g>
        ))}
        {p.suns.map((s, i) => (
          <g key={s.name} class="run-sun">
            <text x={x(0)} y={suns + i * sun + 13}>
              sun: {s.name}
              {s.in.length === 0 && ', none in these hours'}
            </text>
            <line x1={x(0)} x2={x(1000)} y1={suns + i * sun + 22} y2={suns + i * sun + 22} class="run-grid" />
            {s.in.map((b) => (
              <rect key={b.from} {...span(b)} y={suns + i * sun + 17} height="10" rx="4" />
            ))}
          </g>
        ))}
      </svg>
      <figcaption class="soft run-key">
        <span class="run-key-plan">planned</span> <span class="run-key-likely">likely</span> <span class="run-key-done">done</span>
        {p.stops.some((s) => s.kind === 'meal') && <span class="run-key-meal">meal, as planned</span>}
        {p.stops.some((s) => s.kind === 'pause') && <span class="run-key-pause">waiting</span>}
        {p.plan >= 0 && <span class="run-key-due">planned wrap</span>}
        {p.wrap50 >= 0 && <span class="run-key-wrap">likely wrap</span>}
        {p.steps.length > 0 && <span class="run-key-step">overtime step</span>}
      </figcaption>
      <ol class="unseen">
        {p.rows.map((r) => (
          <li key={r.id}>{r.say}</li>
        ))}
      </ol>
    </figure>
  );
}

function Row({ row: r, y }: { row: RunRow; y: number }) {
  return (
    <g data-run={r.number}>
      <text x={gutter - 6} y={y + 14} text-anchor="end" class="run-number">
        {r.number}
      </text>
      {seen(r.plan) && <rect class="run-planned" {...span(r.plan)} y={y + 1} height="6" />}
      {seen(r.likely) && <rect class={r.done ? 'run-done' : 'run-likely'} {...span(r.likely)} y={y + 9} height="9" rx="2" />}
      {r.late >= 0 && seen(r.likely) && r.late > r.likely.from && <path class="run-late" d={`M${x(r.likely.from)} ${y + 20}H${x(r.late)}`} />}
    </g>
  );
}

function Stop({ band: b, foot }: { band: Band; foot: number }) {
  return (
    <g class={`run-${b.kind}`}>
      <rect {...span(b)} y={head} height={foot - head} />
    </g>
  );
}

function Line({ at, word, cls, foot, low }: { at: number; word: string; cls: string; foot: number; low?: boolean }) {
  if (at < 0) return null;
  return (
    <g class={cls}>
      <line x1={x(at)} x2={x(at)} y1={low ? head + 15 : 15} y2={foot} />
      <text x={low && at > 500 ? x(at) + 3 : x(at)} y={low ? head + 12 : 12} text-anchor={anchor(at)}>
        {word}
      </text>
    </g>
  );
}
