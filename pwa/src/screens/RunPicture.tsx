import type { Band, Bar, Picture, RunRow } from '../gen/view';

// Units of the drawing, which is 400 wide: on a phone about as many pixels.
const wide = 400;
const gutter = 34; // for the numbers of shots
const head = 34; // for the clocks, and the words of now and plan above them
const row = 20;
const strip = 13; // of the sky, and of each window

const x = (v: number): number => gutter + (v * (wide - gutter - 4)) / 1000;
const span = (b: Bar): { x: number; width: number } => ({ x: x(b.from), width: Math.max(2, x(b.to) - x(b.from)) });
const seen = (b: Bar): boolean => b.from >= 0;
const anchor = (v: number): 'start' | 'middle' | 'end' => (v > 900 ? 'end' : v < 60 ? 'start' : 'middle');

/** The run of the day: planned above, likely below, the sky under it. */
export function RunPicture({ picture: p }: { picture: Picture }) {
  const rows = head + 14;
  const foot = rows + p.rows.length * row;
  const sky = foot + 6;
  const high = sky + (p.sky.length > 0 ? strip + 4 + p.suns.length * (strip + 3) : 0) + 2;
  const down = { y1: head, y2: foot };
  return (
    <figure class="run card">
      <svg viewBox={`0 0 ${wide} ${high}`} role="img" aria-label={p.say}>
        <defs>
          <pattern id="run-pause" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line y2="6" class="run-hatch" />
          </pattern>
        </defs>
        {p.hours.filter((_, i) => i % Math.ceil(p.hours.length / 6) === 0).map((t) => (
          <g key={t.at}>
            <line class="run-grid" x1={x(t.at)} x2={x(t.at)} {...down} />
            <text x={x(t.at)} y={head - 4} text-anchor={anchor(t.at)}>
              {t.label}
            </text>
          </g>
        ))}
        {p.stops.map((b, i) => (
          <Stop key={i} band={b} foot={foot} />
        ))}
        {p.steps.map((s) => (
          <path key={s} class="run-step" d={`M${x(s) - 4} ${foot}v-5h8v-5`} />
        ))}
        {p.rows.map((r, i) => (
          <Row key={r.id} row={r} y={rows + i * row} />
        ))}
        {p.wrap50 >= 0 && p.wrap80 >= 0 && (
          <rect class="run-wrap" x={x(p.wrap50)} y={head} width={Math.max(2, x(p.wrap80) - x(p.wrap50))} height={foot - head} />
        )}
        <Line at={p.plan} word="plan" cls="run-plan" foot={foot} low={p.now >= 0 && Math.abs(p.now - p.plan) < 110} />
        <Line at={p.now} word="now" cls="run-now" foot={foot} />
        {p.sky.map((b, i) => (
          <g key={i} class={`run-${b.kind}`}>
            <rect {...span(b)} y={sky} height={strip} />
            {x(b.to) - x(b.from) > 55 && (
              <text x={(x(b.from) + x(b.to)) / 2} y={sky + 10} text-anchor="middle">
                {b.word}
              </text>
            )}
          </g>
        ))}
        {p.suns.map((s, i) => (
          <g key={s.name} class="run-sun">
            <line x1={x(0)} x2={x(1000)} y1={sky + (i + 1) * (strip + 3) + 8} y2={sky + (i + 1) * (strip + 3) + 8} class="run-grid" />
            {s.in.map((b) => (
              <rect key={b.from} {...span(b)} y={sky + (i + 1) * (strip + 3) + 3} height={strip - 4} rx="4" />
            ))}
            <text x={x(4)} y={sky + (i + 1) * (strip + 3) + 11}>
              sun: {s.name}
            </text>
          </g>
        ))}
      </svg>
      <figcaption class="soft run-key">
        <span class="run-key-plan">planned</span> <span class="run-key-likely">likely</span> <span class="run-key-done">done</span>
        {p.stops.some((s) => s.kind === 'meal') && <span class="run-key-meal">meal</span>}
        {p.stops.some((s) => s.kind === 'pause') && <span class="run-key-pause">waiting</span>}
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
      <text x={gutter - 6} y={y + 13} text-anchor="end" class="run-number">
        {r.number}
      </text>
      {seen(r.plan) && <rect class="run-planned" {...span(r.plan)} y={y + 2} height="5" />}
      {seen(r.likely) && <rect class={r.done ? 'run-done' : 'run-likely'} {...span(r.likely)} y={y + 8} height="8" rx="2" />}
      {r.late >= 0 && seen(r.likely) && r.late > r.likely.from && <path class="run-late" d={`M${x(r.likely.from)} ${y + 18}H${x(r.late)}`} />}
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
      <line x1={x(at)} x2={x(at)} y1={low ? head + 12 : 14} y2={foot} />
      <text x={low && at > 500 ? x(at) + 3 : x(at)} y={low ? head + 10 : 11} text-anchor={anchor(at)}>
        {word}
      </text>
    </g>
  );
}
