import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { up } from '../client';

const soon = 500; // ms, where a browser does not tell when it has time

/** What is folded away until somebody asks for it. It is filled once the engine is
 * up and the page has time, so that a long list stands quickly, or at once when it
 * is opened. */
export function More({ label, children, open }: { label: string; children: ComponentChildren; open?: boolean }) {
  const [filled, setFilled] = useState(open ?? false);
  const fill = (): void => setFilled(true);
  const ready = up.value;
  useEffect(() => {
    if (!ready) return;
    if (!('requestIdleCallback' in window)) {
      const timer = setTimeout(fill, soon);
      return () => clearTimeout(timer);
    }
    const idle = requestIdleCallback(fill);
    return () => cancelIdleCallback(idle);
  }, [ready]);
  return (
    <details class="more" {...(open ? { open } : {})} onToggle={fill}>
      <summary>{label}</summary>
      <div class="more-in">{filled && children}</div>
    </details>
  );
}
