import { useEffect } from 'preact/hooks';
import { line, me, stuck, trouble, waitingEdits } from '../client';
import type { Shell } from '../gen/day';
import { Ask } from '../parts/Ask';
import { Connection } from '../parts/Connection';
import { SaveWaiting } from '../parts/Handover';
import { Days } from '../parts/Days';
import { useHeld } from '../parts/hold';
import { JoinField } from '../parts/JoinField';
import { Painted } from '../parts/Loading';
import { Notices } from '../parts/Notices';
import { hashOf, place } from '../parts/route';
import { Sheet } from '../parts/Sheet';
import { Tabs } from '../parts/Tabs';
import { Toasts } from '../parts/Toasts';
import { Waiting } from '../parts/Waiting';
import { Asks } from './Asks';
import { Barred } from './Barred';
import { CallSheetScreen } from './CallSheet';
import { CateringScreen } from './Catering';
import { DayScreen } from './Day';
import { HeroesScreen } from './Heroes';
import { Nobody } from './Nobody';
import { OvertimeScreen } from './Overtime';
import { OwnDayScreen } from './OwnDay';
import { PlanScreen } from './Plan';
import { SettleScreen } from './Settle';
import { ShotsScreen } from './Shots';
import { useRefusals } from './refusals';
import type { ScreenProps } from './props';

const screens: Record<string, (props: ScreenProps) => preact.VNode | null> = {
  callsheet: CallSheetScreen,
  shots: ShotsScreen,
  heroes: HeroesScreen,
  catering: CateringScreen,
  overtime: OvertimeScreen,
  settle: SettleScreen,
  hours: OwnDayScreen,
  day: DayScreen,
  plan: PlanScreen,
};

/** The page. */
export function App() {
  if (!me.value) return trouble.value ? <Barred /> : known() ? <Nobody /> : <p class="lone">Opening.</p>;
  return <Joined key={`${me.value.shoot} ${me.value.person}`} />;
}

// Nobody is a finding only once the server was asked, or could not be.
function known(): boolean {
  return me.value === null && line.value.connection !== 'starting';
}

function Joined() {
  const { screen, day } = place.value;
  const { view: shell, say, painted } = useHeld<Shell>('shell', day ? { day } : {});
  useRefusals();
  useTitle(shell, screen);
  const at = shell?.tabs.some((t) => t.screen === screen) ? screen : (shell?.opens ?? screen);
  const Screen = screens[at];
  const tab = shell?.tabs.find((t) => t.screen === at);
  return (
    <div class="app">
      <Top shell={shell} />
      <main id="main" data-screen={at} data-painted={painted}>
        <Notices />
        {line.value.connection === 'out' && <SignedOut />}
        {painted && shell && <Painted />}
        {shell && at !== 'settle' && <Days shell={shell} at={at} />}
        {shell?.wrap && at !== 'day' && <WrapLine shell={shell} />}
        {shell && at === shell.opens && <Asks cards={shell.asks} />}
        {shell && Screen ? <Screen key={`${at} ${day}`} day={day} /> : line.value.connection !== 'out' && <Waiting say={say} />}
        {shell?.plan.includes(at) && (
          <p class="to-plan">
            <a class="button" href={hashOf('plan')} data-tab="plan">
              Change the plan
            </a>
          </p>
        )}
        {tab?.caution && <p class="caution">{tab.caution}</p>}
      </main>
      {shell && <Tabs shell={shell} at={at} />}
      <Toasts />
      <Sheet />
      <Ask />
    </div>
  );
}

function useTitle(shell: Shell | null, screen: string): void {
  const tab = shell?.tabs.find((t) => t.screen === (screen || shell.opens));
  const title = [tab?.label, shell?.title, 'Fairday'].filter(Boolean).join(' · ');
  useEffect(() => void (document.title = title), [title]);
}

function Top({ shell }: { shell: Shell | null }) {
  return (
    <header class="top">
      <div class="top-title">
        <h1>{shell?.title ?? me.value?.title}</h1>
        <p class="soft">{shell ? `${shell.me.name}, ${shell.me.roleLabel}` : me.value?.name}</p>
      </div>
      <p class="top-clock figures">
        <span class="unseen">The time on set: </span>
        {shell?.clock}
      </p>
      <Connection shell={shell} />
    </header>
  );
}

/** When the day may wrap, as a way to the reasons for whoever may see them. */
function WrapLine({ shell }: { shell: Shell }) {
  const leads = shell.tabs.some((t) => t.screen === 'day');
  return (
    <p class="wrap-line figures" data-wrap>
      {leads ? <a href={hashOf('day')}>{shell.wrap}</a> : shell.wrap}
    </p>
  );
}

function SignedOut() {
  return (
    <div class="notice notice-stop" role="alert">
      <p>{line.value.say}</p>
      {waitingEdits.value > 0 && <p>What you entered is kept on this phone and goes out once you join again.</p>}
      {[...new Set(stuck.value.map((item) => item.say))].map((about) => (
        <p key={about}>{about}</p>
      ))}
      <SaveWaiting />
      <JoinField />
      {me.value?.demo && (
        <a class="button" href="/demo">
          The demo’s join links
        </a>
      )}
    </div>
  );
}
