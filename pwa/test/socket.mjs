// How the page connects again, with a clock and sockets that the test moves.
import assert from 'node:assert/strict';
import { mock, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { constants, deflateRawSync } from 'node:zlib';

const { Socket } = await import(pathToFileURL(process.env.SCRIPT).href);

class Wire {
  static OPEN = 1;
  static all = [];
  readyState = 0;
  closed = false;
  constructor(url) {
    this.url = url;
    Wire.all.push(this);
  }
  close() {
    this.closed = true;
  }
  send() {}
}
globalThis.WebSocket = Wire;

let heard = []; // and that it closed

function stage(random) {
  heard = [];
  Wire.all = [];
  mock.timers.reset();
  mock.timers.enable({ apis: ['setTimeout', 'Date'], now: 1_000_000 });
  mock.method(Math, 'random', random);
  const socket = new Socket('ws://example.com/sync', {
    opened() {},
    heard: (text) => heard.push(text),
    closed: () => heard.push('(closed)'),
  });
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
  assert.deepEqual(
    longest,
    [...longest].sort((a, b) => a - b),
  );
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

/** Comes over a connection. Binary messages are raw deflate, in pieces that were packed apart. */
function come(wire, data) {
  const bytes = typeof data === 'string' || data instanceof Uint8Array ? data : packed(...data);
  wire.onmessage?.({ data: typeof bytes === 'string' ? bytes : new Uint8Array(bytes).buffer });
}

function packed(...pieces) {
  const flushed = pieces.map((p) => deflateRawSync(p, { finishFlush: constants.Z_SYNC_FLUSH }));
  return new Uint8Array(Buffer.concat([...flushed, Buffer.from([3, 0])]));
}

async function until(is) {
  while (!is()) await new Promise(setImmediate);
}

test('packed messages are heard in order with the others, and the end after them', async () => {
  stage(() => 0);
  const [wire] = Wire.all;
  assert.equal(wire.url, 'ws://example.com/sync?packed=1');
  const large = 'kettle, Küche, '.repeat(50_000);
  come(wire, 'before');
  assert.deepEqual(heard, ['before']); // nothing that need not wait does
  come(wire, ['{"snapshot":"', large, '"}']);
  come(wire, 'text');
  come(wire, ['small']);
  come(wire, 'more text');
  wire.onclose();
  await until(() => heard.includes('(closed)'));
  assert.deepEqual(heard, ['before', `{"snapshot":"${large}"}`, 'text', 'small', 'more text', '(closed)']);
});

const whole = packed('kettle '.repeat(1000));
for (const [name, data] of Object.entries({
  noise: new Uint8Array([0xff, 0xfe, 7, 7, 7]),
  nothing: new Uint8Array(),
  'cut short': whole.subarray(0, whole.length - 4),
  'not UTF-8': packed(new Uint8Array([0xc3, 0x28])),
  'too large': packed(Buffer.alloc((16 << 20) + 1)),
})) {
  test(`a damaged message leads to a fresh connection that goes without: ${name}`, async () => {
    stage(() => 0);
    const [wire] = Wire.all;
    come(wire, data);
    come(wire, 'what follows has a gap before it');
    await until(() => heard.length > 0);
    assert.deepEqual(heard, ['(closed)']);
    assert.ok(wire.closed);
    mock.timers.tick(500);
    assert.equal(Wire.all.length, 2);
    assert.equal(Wire.all[1].url, 'ws://example.com/sync');
    come(Wire.all[1], 'text');
    assert.deepEqual(heard, ['(closed)', 'text']);
  });
}

test('what was still packed when the connection was let go is not heard on the next', async () => {
  const socket = stage(() => 0);
  come(Wire.all[0], ['old']);
  socket.fresh();
  come(Wire.all[1], ['new']);
  await until(() => heard.includes('new'));
  assert.deepEqual(heard, ['(closed)', 'new']);
});

test('a browser that cannot unpack does not ask for it', () => {
  const has = globalThis.DecompressionStream;
  delete globalThis.DecompressionStream;
  try {
    stage(() => 0);
    assert.equal(Wire.all[0].url, 'ws://example.com/sync');
  } finally {
    globalThis.DecompressionStream = has;
  }
});
