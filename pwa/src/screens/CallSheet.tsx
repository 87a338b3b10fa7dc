import type { CallRow, CallSheet, Department } from '../gen/day';
import { ActionButton } from '../parts/Button';
import { useHeld } from '../parts/hold';
import { Waiting } from '../parts/Waiting';
import { Changes } from '../parts/Lines';
import { Reach } from '../parts/Mark';
import type { ScreenProps } from './props';
import { Draft } from './CallSheetDraft';
import { CrewHoursList, MyHoursCard } from './Hours';
import { ThisPhone } from './ThisPhone';

/** The call sheet: mine first, then everybody's, then what is being prepared. */
export function CallSheetScreen({ day }: ScreenProps) {
  const { view: v, say, painted } = useHeld<CallSheet>('callsheet', day ? { day } : {});
  if (!v) return <Waiting say={say} />;
  return (
    <div class={painted ? 'two painted' : 'two'}>
      <div class="first">
        <section class="card" aria-labelledby="sheet">
          <h2 id="sheet">{v.title}</h2>
          <p class="soft">
            {v.day.date}. {v.when}
            {v.earlier && `, ${v.earlier}`}
          </p>
          <div class="my-call" data-mycall={v.myCall}>
            <p>{v.myCallSay}</p>
            {v.myCall && <p class="huge figures">{v.myCall}</p>}
          </div>
          {v.changedSay && <p>{v.changedSay}</p>}
          <Changes list={v.changed} />
          {v.published && v.seen.enabled && v.seenSay && <p class="soft">{v.seenSay}</p>}
          <div class="acts">
            <ActionButton action={v.seen} main />
          </div>
        </section>
        {v.published && <Where sheet={v} />}
        <MyHoursCard hours={v.hours} />
      </div>
      <div class="second">
        <section aria-labelledby="people">
          <h2 id="people">Who is called</h2>
          {v.departments.map((d) => (
            <DepartmentList key={d.name} department={d} />
          ))}
        </section>
        {v.crew && <CrewHoursList crew={v.crew} />}
        {v.unseen && (
          <section class="card" aria-labelledby="unseen" data-unseen>
            <h2 id="unseen">Who has not seen it</h2>
            <p>{v.unseen.say}</p>
            <People list={v.unseen.people} />
          </section>
        )}
        {v.draft && <Draft draft={v.draft} />}
        <ThisPhone />
      </div>
    </div>
  );
}

function Where({ sheet: v }: { sheet: CallSheet }) {
  return (
    <section class="card" aria-labelledby="where">
      <h2 id="where">{v.place}</h2>
      <p class="lines">{v.address}</p>
      <dl class="pairs clocks">
        <div>
          <dt>General call</dt>
          <dd class="figures">{v.generalCall}</dd>
        </div>
        <div>
          <dt>Planned wrap</dt>
          <dd class="figures">{v.plannedWrap}</dd>
        </div>
      </dl>
      <Text title="Emergency" text={v.emergency} />
      <Text title="Safety" text={v.safety} />
      <Text title="Notes" text={v.notes} />
      <p class="soft">All times are the clock in {v.day.zone}.</p>
    </section>
  );
}

function Text({ title, text }: { title: string; text: string }) {
  if (!text) return null;
  return (
    <>
      <h3>{title}</h3>
      <p class="lines">{text}</p>
    </>
  );
}

function DepartmentList({ department: d }: { department: Department }) {
  return (
    <section class="group" aria-label={d.name}>
      <h3>{d.name}</h3>
      <People list={d.people} />
    </section>
  );
}

function People({ list }: { list: CallRow[] }) {
  return (
    <ul class="people">
      {list.map((p) => (
        <li key={p.id} class={p.me ? 'me' : ''} data-person={p.name}>
          <span class="figures people-call">{p.call}</span>
          <span class="people-who">
            <b>{p.name}</b>
            {p.me && <span class="soft"> (you)</span>}
            <br />
            <span class="soft">{p.job}</span>
            {p.reach && <Reach mark={p.reach} />}
          </span>
          {p.tel && !p.me && (
            <a class="button" href={p.tel} aria-label={`Call ${p.name}, ${p.phone}`}>
              {p.phone}
            </a>
          )}
        </li>
      ))}
    </ul>
  );
}
