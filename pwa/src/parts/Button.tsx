// Marks that tests find things by, here and on the screens:
//
//   data-screen     the screen that is shown, on main; data-painted beside it
//   data-tab        a way to a screen; data-day a way to a day
//   data-connection starting, live, away or out; data-waiting beside it counts
//                   the edits that are not shared yet
//   data-shot       a shot's card, by its number, once on the page;
//                   data-progress beside it: held, ready, open, shooting,
//                   captured, queried or cut; data-up its place in the list
//                   while its card stands above
//   data-hero       a hero's card, by its name; data-mark beside it: the word
//   data-misread    a wrong reading; data-read and data-brief hold the values
//   data-meal       a meal's card, by its name; data-covers the number
//   data-person     a person's line; data-hours beside it: the word
//   data-action     a button, by its intent's name; data-label by its label
//   data-form       an open form, by its intent's name; data-field a group of
//                   ticks; inputs have the field's key as name; data-submit
//                   sends it, data-close does not
//   data-answer     yes or no to a question
//   data-query, data-stuck, data-discard, data-settle   on the Settle screen
//   data-figure-card (now, wrap), data-next, data-drag, data-amount, data-slip,
//   data-warning, data-terms, data-terms-sheet, data-card   on the Overtime screen
//   data-signed     a signature on hours, by its word; data-pay on one's own pay;
//   data-ask        what was asked for, by its word
//   data-rows       a card of rows: crew, everybody's hours; signatures
//   data-wrap the wrap line; data-lever, data-taken, data-undo, data-said,
//   data-start, data-run, data-report   on the screen of the day
//   data-mycall, data-draft, data-unseen, data-call, data-phone,
//   data-leave      on the call sheet
//   data-far        on a far screen: now, or kept where the server may know more;
//                   data-far-waiting beside it counts the changes that it does not
//                   show yet, data-far-age is its age in minutes
//   data-part, data-plan   a part of the plan, a row by its name; data-link makes
//   a join link, data-joins shows it
//   data-toast      good or stop; data-faults, data-update, data-trouble   notices
import type { Action } from '../gen/view';
import { press, underWay } from './act';
import { useContext } from 'preact/hooks';
import { pressedAlready } from '../client';
import { Around } from './Far';
import { More } from './More';

interface Props {
  action: Action;
  main?: boolean; // what one most likely came for
  named?: string; // what it is about, for a screen reader: "Shot 3"
  reason?: string; // id of the element that says why it is off, where one does already
}

/** An action's button, with the reason below it where it is off. */
export function ActionButton({ action, main, named, reason }: Props) {
  const waits = underWay(action);
  const around = useContext(Around);
  const held = around.held(action);
  const pressed = pressedAlready(action);
  const on = action.enabled && !held && !pressed;
  const why = pressed ? pressedWhy : held ? 'You changed this already, and that waits for the server.' : on || reason ? '' : action.why;
  return (
    <span class="act">
      <button
        type="button"
        class={main ? 'main' : action.danger ? 'danger' : ''}
        data-action={action.name}
        data-label={action.label}
        disabled={!on || waits}
        aria-busy={waits}
        aria-describedby={action.enabled ? undefined : reason}
        aria-label={named ? `${action.label}, ${named}` : undefined}
        onClick={() => press(around.whole(action))}
      >
        {action.label}
      </button>
      {why && <small class="why">{why}</small>}
    </span>
  );
}

const pressedWhy = 'Pressed and kept on this phone. It goes out once Fairday has loaded.';

interface RowProps {
  list: Action[];
  named?: string;
  plain?: boolean; // none of them stands out
}

/** A row of actions. The first is what one most likely came for. */
export function Actions({ list, named, plain }: RowProps) {
  if (list.length === 0) return null;
  return (
    <div class="acts">
      {list.map((a, i) => (
        <ActionButton key={`${a.name} ${a.label}`} action={a} main={i === 0 && !plain && !a.danger} {...(named ? { named } : {})} />
      ))}
    </div>
  );
}

/** A row of actions of which those that do not go now are folded away with
 * their reasons. */
export function ActionsNow({ list, named, plain }: RowProps) {
  const off = list.filter((a) => !a.enabled);
  const same = { ...(named ? { named } : {}), plain: true };
  return (
    <>
      <Actions {...same} plain={plain ?? false} list={list.filter((a) => a.enabled)} />
      {off.length > 0 && (
        <More label="Not now">
          <Actions {...same} list={off} />
        </More>
      )}
    </>
  );
}
