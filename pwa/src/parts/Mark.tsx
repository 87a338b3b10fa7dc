import type { Mark } from '../gen/view';
import { Figure } from './shapes';

/** A state: its shape and its word. */
export function MarkSign({ mark, large }: { mark: Mark; large?: boolean }) {
  return (
    <span class={`mark tone-${mark.tone}${large ? ' mark-large' : ''}`} data-mark={mark.shape}>
      <Figure name={mark.shape} />
      <span>{mark.word}</span>
    </span>
  );
}
