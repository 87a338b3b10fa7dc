import type { Mark } from '../gen/view';
import { Figure } from './shapes';

/** Whether somebody's phone is on line, small below their name. */
export function Reach({ mark }: { mark: Mark }) {
  return (
    <span class="reach" data-reach={mark.shape}>
      <Figure name={mark.shape} /> {mark.word}
    </span>
  );
}

/** A state: its shape and its word. */
export function MarkSign({ mark, large }: { mark: Mark; large?: boolean }) {
  return (
    <span class={`mark tone-${mark.tone}${large ? ' mark-large' : ''}`} data-mark={mark.shape}>
      <Figure name={mark.shape} />
      <span>{mark.word}</span>
    </span>
  );
}
