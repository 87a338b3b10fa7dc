import type { Catering, Meal, MealKitchen, OwnDiet, ServeLine } from '../gen/day';
import { ActionButton, Actions } from '../parts/Button';
import { useHeld } from '../parts/hold';
import { Waiting } from '../parts/Waiting';
import { Changes, Counts } from '../parts/Lines';
import { HoldSign } from '../parts/HoldSign';
import { MarkSign } from '../parts/Mark';
import { More } from '../parts/More';
import type { ScreenProps } from './props';

/** The day's meals, what the kitchen works from, and what one eats oneself. */
export function CateringScreen({ day }: ScreenProps) {
  const { view: v, say } = useHeld<Catering>('catering', day ? { day } : {});
  if (!v) return <Waiting say={say} />;
  return (
    <section aria-labelledby="catering">
      <h2 id="catering">Catering</h2>
      <div class="cards">
        {v.meals.map((m) => (
          <MealCard key={m.id} meal={m} />
        ))}
        <Diet diet={v.diet} />
      </div>
    </section>
  );
}

function MealCard({ meal: m }: { meal: Meal }) {
  return (
    <article class="card" data-meal={m.name} data-mark={m.mark.word} aria-labelledby={`meal-${m.id}`}>
      <h3 id={`meal-${m.id}`}>
        <span class="figures">{m.at}</span> {m.name} <span class="soft">{m.length}</span>
      </h3>
      <MarkSign mark={m.mark} large />
      {m.hold && <HoldSign hold={m.hold} />}
      {m.kitchen && <Kitchen kitchen={m.kitchen} />}
      <p class="figures">{m.guests}</p>
      <Actions list={m.actions} named={m.name} plain />
    </article>
  );
}

function Kitchen({ kitchen: k }: { kitchen: MealKitchen }) {
  return (
    <>
      <div class="covers">
        <p class="huge figures" data-covers>
          {k.covers}
        </p>
        <p>
          <b>covers</b> {k.asOf}
          <br />
          <span class="soft">{k.coversSay}</span>
        </p>
      </div>
      <p>{k.lastCount}</p>
      {k.lateSay && <p class="tone-warn late">{k.lateSay}</p>}
      <Changes list={k.late} />
      <div class="split">
        <Counts title="Diets" list={k.diets} />
        <Counts title="Allergens" list={k.allergens} />
      </div>
      <p class="figures">{k.served}</p>
      <Actions list={k.actions} />
      {k.plates.length > 0 && (
        <More label="Plate by plate">
          <Counts title="On one plate" list={k.plates} />
        </More>
      )}
      {k.names.length > 0 && <Names list={k.names} />}
      {k.namesSay && <p class="soft">{k.namesSay}</p>}
    </>
  );
}

function Names({ list }: { list: ServeLine[] }) {
  return (
    <section>
      <h3>Who eats what</h3>
      <ul class="serve">
        {list.map((n) => (
          <li key={n.name}>
            <b>{n.name}</b> {n.diet}
            {n.allergens.length > 0 && <b class="allergens">{n.allergens.join(', ')}</b>}
            {n.note && <span class="soft"> {n.note}</span>}
          </li>
        ))}
      </ul>
    </section>
  );
}

function Diet({ diet: d }: { diet: OwnDiet }) {
  return (
    <section class="card" aria-labelledby="diet" data-diet={d.diet}>
      <h3 id="diet">What I eat</h3>
      <p>
        <b>{d.diet}</b>
      </p>
      {d.allergens.length > 0 && (
        <p>
          <b>{d.allergens.join(', ')}</b>
        </p>
      )}
      {d.note && <p class="lines">{d.note}</p>}
      <p class="soft">{d.say}</p>
      <div class="acts">
        <ActionButton action={d.edit} />
      </div>
    </section>
  );
}
