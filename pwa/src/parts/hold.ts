import { useRef } from 'preact/hooks';
import { notYet, useView, type Shown } from '../client';

/** A screen's view that keeps showing the last one while the arguments change,
 * so that nothing flickers. */
export function useHeld<T>(screen: string, args: unknown): Shown<T> {
  const now = useView<T>(screen, args).value;
  const last = useRef<Shown<T>>(now);
  if (now !== notYet) last.current = now;
  return last.current;
}
