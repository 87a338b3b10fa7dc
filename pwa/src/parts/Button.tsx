import type { Action } from '../gen/view';
import { busy, keyOf, press } from './act';
import { More } from './More';

interface Props {
  action: Action;
  main?: boolean; // what one most likely came for
  named?: string; // what it is about, for a screen reader: "Shot 3"
  reason?: string; // id of the element that says why it is off, where one does already
}

/** An action's button, with the reason below it where it is off. */
export function ActionButton({ action, main, named, reason }: Props) {
  const waits = busy.value.has(keyOf(action));
  const why = action.enabled || reason ? '' : action.why;
  return (
    <span class="act">
      <button
        type="button"
        class={main ? 'main' : action.danger ? 'danger' : ''}
        data-action={action.name}
        data-label={action.label}
        disabled={!action.enabled || waits}
        aria-busy={waits}
        aria-describedby={action.enabled ? undefined : reason}
        aria-label={named ? `${action.label}, ${named}` : undefined}
        onClick={() => press(action)}
      >
        {action.label}
      </button>
      {why && <small class="why">{why}</small>}
    </span>
  );
}

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
