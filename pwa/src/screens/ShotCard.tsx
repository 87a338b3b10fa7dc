import type { Shot } from '../gen/day';
import { ActionButton, Actions } from '../parts/Button';
import { dots } from '../parts/dots';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';
import { go, hashOf } from '../parts/route';
import { steady } from '../parts/steady';

/** A shot at full size. Docked, its first two buttons lie at the foot of a
 * phone, under the thumb. */
export function ShotCard({ shot: s, dock }: { shot: Shot; dock: boolean }) {
  const named = `shot ${s.number}`;
  const [first, second, ...rest] = s.actions;
  const docked = dock && first !== undefined && !first.danger; // what is asked about first is not for a hasty thumb
  return (
    <article class="card shot-card" data-shot={s.number} data-progress={s.mark.word.toLowerCase()} aria-labelledby={`shot-${s.id}`}>
      <header>
        <p class="number figures" aria-hidden="true">
          {s.number}
        </p>
        <div>
          <h3 id={`shot-${s.id}`}>
            <span class="unseen">Shot {s.number}: </span>
            {s.title}
          </h3>
          <MarkSign mark={s.mark} large />
        </div>
      </header>
      <Why shot={s} />
      <Facts shot={s} />
      {first && (
        <div class={docked ? 'dock' : ''}>
          {docked && (
            <p class="dock-say" aria-hidden="true">
              <b class="figures">{s.number}</b> {s.mark.word}
            </p>
          )}
          <div class="acts acts-big">
            <ActionButton action={first} main={!first.danger} named={named} {...(s.why.length > 0 ? { reason: whyId(s) } : {})} />
            {second && <ActionButton action={second} named={named} />}
          </div>
        </div>
      )}
      <Rest shot={s} list={rest} />
    </article>
  );
}

/** A shot in the list. */
export const ShotRow = steady(function ShotRow({ shot: s }: { shot: Shot }) {
  const named = `shot ${s.number}`;
  const [first, ...rest] = s.actions;
  const held = s.why.length > 0;
  return (
    <article class="row" data-shot={s.number} data-progress={s.mark.word.toLowerCase()} aria-label={`Shot ${s.number}, ${s.title}`}>
      <Head shot={s} />
      <Why shot={s} />
      <div class="acts row-acts">
        {first && <ActionButton action={first} named={named} {...(held ? { reason: whyId(s) } : {})} />}
        {held && s.toHeroes && s.mark.shape === 'bar' && (
          <a class="button" href={hashOf('heroes')}>
            To the heroes
          </a>
        )}
      </div>
      <More label="Details and more">
        <Facts shot={s} />
        <Actions list={rest} named={named} plain />
        <Actions list={s.order} named={named} plain />
      </More>
    </article>
  );
});

/** A shot's place in the list while its card stands above. */
export function UpElsewhere({ shot: s }: { shot: Shot }) {
  return (
    <div class="row row-up" data-up={s.number}>
      <Head shot={s} />
      <p class="row-above">stands above</p>
    </div>
  );
}

function Head({ shot: s }: { shot: Shot }) {
  return (
    <div class="row-head">
      <b class="number figures">{s.number}</b>
      <span class="row-title">{s.title}</span>
      <MarkSign mark={s.mark} />
    </div>
  );
}

const whyId = (s: Shot): string => `why-${s.id}`;

function Why({ shot: s }: { shot: Shot }) {
  if (s.why.length === 0) return null;
  return (
    <ul class="whys" id={whyId(s)}>
      {s.why.map((w) => (
        <li key={w}>{w}</li>
      ))}
    </ul>
  );
}

function Facts({ shot: s }: { shot: Shot }) {
  return (
    <div class="facts">
      <p>{dots([s.priority, s.minutes, s.crop, s.setup])}</p>
      {s.times.length > 0 && <p class="figures times">{dots(s.times)}</p>}
      {s.frames && (
        <p>
          Frames <b class="figures">{s.frames}</b>
        </p>
      )}
      {s.approved && <p>{s.approved}</p>}
      {s.heroes.length > 0 && (
        <ul class="hero-list">
          {s.heroes.map((h) => (
            <li key={h.id}>
              {s.toHeroes ? (
                <button type="button" class="plain hero-link" onClick={() => go('heroes')} aria-label={`${h.name}, ${h.mark.word}. To the heroes`}>
                  <MarkSign mark={h.mark} /> <span>{h.name}</span>
                </button>
              ) : (
                <span class="hero-link">
                  <MarkSign mark={h.mark} /> <span>{h.name}</span>
                </span>
              )}
            </li>
          ))}
        </ul>
      )}
      {s.talent.length > 0 && <p>With {s.talent.join(', ')}</p>}
      {s.fallback && (
        <p class={s.onFallback ? 'on-fallback' : 'soft'}>
          {s.onFallback ? 'On its fallback: ' : 'Fallback: '}
          {s.fallback}
        </p>
      )}
      {s.notes && <p>{s.notes}</p>}
    </div>
  );
}

function Rest({ shot: s, list }: { shot: Shot; list: Shot['actions'] }) {
  if (list.length + s.order.length === 0) return null;
  return (
    <More label="More for this shot">
      <Actions list={list} named={`shot ${s.number}`} plain />
      <Actions list={s.order} named={`shot ${s.number}`} plain />
    </More>
  );
}
