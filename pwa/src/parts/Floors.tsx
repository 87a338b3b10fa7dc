import type { FloorSay } from '../gen/day';
import { More } from './More';

/** What labour law asks for beside somebody's figures; what was not reckoned is
 * counted, and listed where that is asked for. */
export function Floors({ floor: f }: { floor: FloorSay }) {
  if (!f.say) return null;
  return (
    <div class="floor" data-floor>
      <p class="figures">{f.say}</p>
      {f.leaves.length > 0 && (
        <More label={f.count}>
          <ul class="words">
            {f.leaves.map((l) => (
              <li key={l}>{l}</li>
            ))}
          </ul>
        </More>
      )}
    </div>
  );
}
