import { line } from '../client';
import { Progress } from './Loading';

/** In place of a screen that is not known yet: why, where there is a reason. */
export function Waiting({ say }: { say: string }) {
  if (say || line.value.connection === 'away') return <p class="lone">{say || away}</p>;
  return (
    <div class="lone">
      <Progress />
    </div>
  );
}

const away = 'This phone has not seen this yet and has no connection. Find some signal; it opens by itself.';
