import type { Shell } from '../gen/day';
import { ScreenIcon } from './icons';
import { hashOf } from './route';

/** The way between screens: along the foot of a phone, down the side of a desk. */
export function Tabs({ shell, at }: { shell: Shell; at: string }) {
  const under = shell.tabs.find((t) => t.screen === at)?.under || at;
  return (
    <nav class="tabs" aria-label="Screens">
      {shell.tabs
        .filter((t) => !t.under)
        .map((t) => (
          <a key={t.screen} href={hashOf(t.screen)} data-tab={t.screen} aria-current={t.screen === under ? (t.screen === at ? 'page' : 'true') : undefined}>
            <span class="tab-sign">
              <ScreenIcon screen={t.screen} />
              {t.count && (
                <b class="tab-count" aria-hidden="true">
                  {t.count}
                </b>
              )}
            </span>
            <span>{t.label}</span>
            {t.countSay && <span class="unseen">, {t.countSay}</span>}
          </a>
        ))}
    </nav>
  );
}
