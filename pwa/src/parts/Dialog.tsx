import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

interface Props {
  class: string;
  label: string;
  role?: 'alertdialog';
  onClose: () => void;
  children: ComponentChildren;
}

/** A modal dialog, open as long as it is on the page. */
export function Dialog({ class: cls, label, role, onClose, children }: Props) {
  const ref = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = ref.current!;
    dialog.showModal();
    return () => dialog.close();
  }, []);
  return (
    <dialog
      ref={ref}
      class={cls}
      aria-label={label}
      {...(role ? { role } : {})}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onClick={(event) => {
        if (event.target === ref.current && cls === 'ask') onClose(); // beside it; a form is not thrown away so easily
      }}
    >
      {children}
    </dialog>
  );
}
