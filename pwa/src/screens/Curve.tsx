import type { Curve } from '../gen/day';

// The model's box is 1000 by 1000 with its origin at the bottom left; the drawing
// is flatter, and the labels of amounts stand in a gutter left of it.
const wide = 600;
const letter = 15; // width of one in a label
const gap = 12; // between a label and the plot
const high = 300;
const edge = 8;
const foot = 62;
const top = 60;

const clock = 105; // width of a clock along the foot, with the air beside it
const word = 80; // width of "plan" or "now", with the air beside it

const y = (v: number): number => top + ((1000 - v) * high) / 1000;
const anchor = (v: number): 'middle' | 'end' => (v > 940 ? 'end' : 'middle');

/** Exposure against the wrap minute, as a line of steps. */
export function CurveChart({ curve: c }: { curve: Curve }) {
  const gutter = gap + letter * Math.max(0, ...c.y.map((t) => t.label.length));
  const x = (v: number): number => gutter + (v * (wide - gutter - edge)) / 1000;
  const most = Math.floor((wide - gutter - edge) / clock);
  const close = c.now >= 0 && c.wrap >= 0 && Math.abs(x(c.now) - x(c.wrap)) < word; // then each word goes to its own side
  const path = c.points.map((p, i) => `${i === 0 ? 'M' : 'L'}${x(p.x)} ${y(p.y)}`).join('');
  const first = c.points[0];
  const last = c.points[c.points.length - 1];
  const area = first && last ? `${path}L${x(last.x)} ${y(0)}L${x(first.x)} ${y(0)}Z` : '';
  return (
    <figure class="curve">
      <svg viewBox={`0 0 ${wide} ${top + high + foot}`} role="img" aria-label={c.say}>
        {c.y.map((t) => (
          <g key={t.at} class="grid">
            <line x1={x(0)} x2={x(1000)} y1={y(t.at)} y2={y(t.at)} />
            <text x={gutter - gap} y={y(t.at) + 8} text-anchor="end">
              {t.label}
            </text>
          </g>
        ))}
        {c.x
          .filter((_, i) => i % Math.ceil(c.x.length / most) === 0)
          .map((t) => (
            <text key={t.at} x={x(t.at)} y={y(0) + 54} text-anchor={anchor(t.at)}>
              {t.label}
            </text>
          ))}
        <path class="area" d={area} />
        <path class="steps" d={path} />
        <Sign at={c.wrap} x={x(c.wrap)} word="plan" cls="sign-wrap" side={c.now <= c.wrap ? 'start' : 'end'} close={close} />
        <Sign at={c.now} x={x(c.now)} word="now" cls="sign-now" side={c.now <= c.wrap ? 'end' : 'start'} close={close} />
        {c.drag >= 0 && <path class="sign-drag" d={`M${x(c.drag)} ${y(0)}l-12 20h24z`} />}
      </svg>
      <figcaption class="soft">{c.say}</figcaption>
    </figure>
  );
}

interface SignProps {
  at: number;
  x: number;
  word: string;
  cls: string;
  side: 'start' | 'end';
  close: boolean;
}

function Sign({ at, x, word: text, cls, side, close }: SignProps) {
  if (at < 0) return null;
  return (
    <g class={cls}>
      <line x1={x} x2={x} y1={34} y2={y(0)} />
      <text x={x} y={24} text-anchor={close ? side : anchor(at)}>
        {text}
      </text>
    </g>
  );
}
