// What stays the same object from one view to the next.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';

const { same } = await import(pathToFileURL(process.env.SCRIPT).href);

const view = () => ({
  clock: '10:00',
  none: null,
  shots: [
    { n: 1, heroes: [] },
    { n: 2, heroes: ['lamp'] },
  ],
});

test('nothing differs', () => {
  const old = view();
  assert.equal(same(old, view()), old);
});

test('only what differs is new', () => {
  const old = view();
  const next = view();
  next.shots[1].heroes.push('stool');
  const got = same(old, next);
  assert.notEqual(got, old);
  assert.notEqual(got.shots, old.shots);
  assert.equal(got.shots[0], old.shots[0]);
  assert.deepEqual(got, {
    clock: '10:00',
    none: null,
    shots: [
      { n: 1, heroes: [] },
      { n: 2, heroes: ['lamp', 'stool'] },
    ],
  });
  assert.deepEqual(old, view(), 'what was shown is left as it was');
});

for (const [name, change] of Object.entries({
  'a row less': (v) => v.shots.pop(),
  'rows in another order': (v) => v.shots.reverse(),
  'a key less': (v) => delete v.none,
  'a key more': (v) => (v.more = null),
  'another key': (v) => (delete v.none, (v.nil = null)),
  'a list for an object': (v) => (v.shots[0] = []),
  'an object for nothing': (v) => (v.none = {}),
  'nothing for a list': (v) => (v.shots = null),
})) {
  test(name, () => {
    const old = view();
    const next = view();
    change(next);
    const want = structuredClone(next);
    const got = same(old, next);
    assert.notEqual(got, old);
    assert.deepEqual(got, want);
    assert.deepEqual(old, view());
  });
}
test('nothing was shown', () => assert.deepEqual(same(null, view()), view()));
