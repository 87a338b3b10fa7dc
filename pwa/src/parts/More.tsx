import type { ComponentChildren } from 'preact';

/** What is folded away until somebody asks for it. */
export function More({ label, children, open }: { label: string; children: ComponentChildren; open?: boolean }) {
  return (
    <details class="more" {...(open ? { open } : {})}>
      <summary>{label}</summary>
      <div class="more-in">{children}</div>
    </details>
  );
}
