import { line } from '../client';

/** In place of a screen that is not known yet: why, where there is a reason. */
export function Waiting({ say }: { say: string }) {
  return <p class="lone">{say || (line.value.connection === 'away' ? away : 'The day is being read.')}</p>;
}

const away = 'This phone has not seen this yet and has no connection. Find some signal; it opens by itself.';
