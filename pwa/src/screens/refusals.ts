import { useEffect, useRef } from 'preact/hooks';
import { stuck } from '../client';
import { toast } from '../parts/toast';

/** Says each new refusal once, wherever one is on the page. */
export function useRefusals(): void {
  const seen = useRef<number | null>(null);
  const items = stuck.value;
  useEffect(() => {
    const newest = Math.max(0, ...items.map((i) => i.seq));
    if (seen.current !== null) {
      for (const item of items) {
        if (item.seq <= seen.current || item.result !== 'refused') continue;
        toast('Refused', `${item.say} It is on the Settle screen.`, 'stop');
      }
    }
    seen.current = Math.max(seen.current ?? 0, newest);
  }, [items]);
}
