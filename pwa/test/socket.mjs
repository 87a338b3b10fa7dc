// How the page connects again, with a clock and sockets that the test moves.
import assert from 'node:assert/strict';
import { mock, test } from 'node:test';
import { pathToFileURL } from 'node:url';

const { Socket } = await import(pathToFileURL(process.env.SOCKET).href);

class Wire {
  static OPEN = 1;
  static all = [];
  readyState = 0;
  closed = false;
  constructor() {
    Wire.all.push(this);
  }
  close() {
    this.closed = true;
  }
  send() {}
}
globalThis.WebSocket = Wire;

function stage(random) {
  Wire.all = [];
  mock.timers.reset();
  mock.timers.enable({ apis: ['setTimeout', 'Date'], now: 1_000_000 });
  mock.method(Math, 'random', random);
  const socket = new Socket('ws://example.com/sync', { opened() {}, heard() {}, closed() {} });
  socket.start();
  return socket;
}

/** How long after a failure it takes until there is another connection. */
function waits() {
  const before = Wire.all.length;
  Wire.all.at(-1).onclose();
  for (let ms = 0; ms <= 40_000; ms += 50) {
    if (Wire.all.length > before) return ms;
    mock.timers.tick(50);
  }
  return Infinity;
}

test('waiting times are drawn from the full range of 0.5 to 30 seconds', () => {
  stage(() => 0);
  for (let i = 0; i < 12; i++) assert.equal(waits(), 500);
  stage(() => 0.999999);
  const longest = Array.from({ length: 12 }, waits);
  assert.equal(longest.at(-1), 30_000);
  assert.deepEqual(longest, [...longest].sort((a, b) => a - b));
  assert.equal(longest[0], 1_000);
});

test('retryAfter is honoured, also on a return to the foreground', () => {
  const socket = stage(() => 0);
  socket.stayAway(20_000);
  assert.ok(waits() >= 20_000);
  socket.stayAway(10_000);
  const before = Wire.all.length;
  socket.fresh();
  mock.timers.tick(9_900);
  assert.equal(Wire.all.length, before);
  mock.timers.tick(200);
  assert.equal(Wire.all.length, before + 1);
});

test('phones that are told the same at the same time do not come back at the same time', () => {
  const told = [0, 0.5, 0.999999].map((part) => {
    stage(() => part).stayAway(10_000);
    return waits();
  });
  assert.deepEqual(told, [10_000, 15_000, 20_000]);
});

test('a return to the foreground takes a fresh connection at once', () => {
  const socket = stage(() => 0.999999);
  const old = Wire.all.at(-1);
  socket.fresh();
  assert.ok(old.closed);
  assert.equal(Wire.all.length, 2);
  for (let i = 0; i < 8; i++) waits();
  socket.fresh();
  assert.equal(waits(), 1_000); // it counts from a short wait again
});

test('one that does not open is given up', () => {
  stage(() => 0);
  mock.timers.tick(15_000);
  assert.ok(Wire.all[0].closed);
  mock.timers.tick(500);
  assert.equal(Wire.all.length, 2);
});
