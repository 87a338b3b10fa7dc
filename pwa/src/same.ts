// What has not changed stays the same object, so that nothing is drawn for it.

/** Gives next with every part of it that equals the part of old in its place
 * replaced by that; old itself where nothing differs. Both come from JSON. */
export function same(old: unknown, next: unknown): unknown {
  if (old === next || !isTree(old) || !isTree(next) || Array.isArray(old) !== Array.isArray(next)) return next;
  let all = Object.keys(old).length === Object.keys(next).length;
  for (const key in next) {
    next[key] = same(old[key], next[key]);
    all &&= key in old && next[key] === old[key];
  }
  return all ? old : next;
}

const isTree = (v: unknown): v is Record<string, unknown> => typeof v === 'object' && v !== null;
