import { describe, expect, it } from 'vitest';
import { readRelief, readTraced, WireFault } from '../src/net/binary';
import { Latest } from '../src/net/latest';
import { isHeavy, shadeTable } from '../src/sheet/layers';

function bytes(
  magic: string,
  words: readonly (readonly ['u' | 'f', number])[],
  tail: readonly number[] = [],
): ArrayBuffer {
  const buffer = new ArrayBuffer(4 + 4 * words.length + tail.length);
  const view = new DataView(buffer);
  for (let i = 0; i < 4; i++) view.setUint8(i, magic.charCodeAt(i));
  words.forEach(([kind, value], i) => {
    if (kind === 'u') view.setUint32(4 + 4 * i, value, true);
    else view.setFloat32(4 + 4 * i, value, true);
  });
  tail.forEach((byte, i) => {
    view.setUint8(4 + 4 * words.length + i, byte);
  });
  return buffer;
}

describe('shaded ground', () => {
  const head = [
    ['u', 1],
    ['u', 3],
    ['u', 2],
    ['f', 10],
    ['f', 20],
    ['f', 0.5],
  ] as const;

  it('is read as it was written', () => {
    const relief = readRelief(bytes('HSGR', head, [0, 1, 2, 253, 254, 255]));
    expect(relief).toMatchObject({ cols: 3, rows: 2, x0_m: 10, y0_m: 20, cell_m: 0.5 });
    expect([...relief.shade]).toEqual([0, 1, 2, 253, 254, 255]);
  });

  it('is refused when it is cut, of another kind, or of another version', () => {
    expect(() => readRelief(bytes('HSGR', head, [0, 1, 2]))).toThrow(WireFault);
    expect(() => readRelief(bytes('HSCO', head, [0, 1, 2, 3, 4, 5]))).toThrow('begins with HSCO');
    expect(() => readRelief(bytes('HSGR', [['u', 2], ...head.slice(1)], [0, 1, 2, 3, 4, 5]))).toThrow('version 2');
    expect(() => readRelief(new ArrayBuffer(3))).toThrow(WireFault);
  });

  it('is clear where nothing was measured, and runs from shadow to light', () => {
    const table = shadeTable([10, 20, 30], [210, 220, 230]);
    expect(table[0]).toBe(0);
    expect(table[1]).toBe(0xff1e140a);
    expect(table[255]).toBe(0xffe6dcd2);
  });
});

describe('traced lines', () => {
  const words = [
    ['u', 1],
    ['u', 2],
    ['f', 204.5],
    ['u', 2],
    ['f', 1],
    ['f', 2],
    ['f', 3],
    ['f', 4],
    ['f', 205],
    ['u', 1],
    ['f', 5],
    ['f', 6],
  ] as const;

  it('are read as they were written', () => {
    const lines = readTraced(bytes('HSCO', words), 'HSCO');
    expect(lines.map((line) => [line.value, ...line.points])).toEqual([
      [204.5, 1, 2, 3, 4],
      [205, 5, 6],
    ]);
  });

  it('are refused when they end too soon, wherever the cut', () => {
    const whole = bytes('HSCO', words);
    for (let length = 0; length < whole.byteLength; length++) {
      expect(() => readTraced(whole.slice(0, length), 'HSCO')).toThrow(WireFault);
    }
  });

  it('are heavy at whole steps', () => {
    expect(isHeavy(204, 2)).toBe(true);
    expect(isHeavy(204.00001, 2)).toBe(true); // a height of 32 bits
    expect(isHeavy(204.5, 2)).toBe(false);
    expect(isHeavy(203.9999, 2)).toBe(true);
  });
});

describe('latest wins', () => {
  /** Questions that are answered when the test says so. */
  function bench() {
    const flying: { question: number; done: (answer: number) => void; failed: (error: Error) => void }[] = [];
    const taken: number[] = [];
    const errors: unknown[] = [];
    const latest = new Latest<number, number>(
      (question) => new Promise((done, failed) => flying.push({ question, done, failed })),
      (answer) => taken.push(answer),
      (error) => errors.push(error),
    );
    const tick = () => new Promise((done) => setTimeout(done, 0));
    return { latest, flying, taken, errors, tick };
  }

  it('has one question in flight and only the newest behind it', async () => {
    const { latest, flying, taken, tick } = bench();
    for (const question of [1, 2, 3, 4]) latest.put(question);
    expect(flying.map((each) => each.question)).toEqual([1]);
    flying[0]?.done(10);
    await tick();
    expect(flying.map((each) => each.question)).toEqual([1, 4]);
    flying[1]?.done(40);
    await latest.settled();
    expect(taken).toEqual([10, 40]);
  });

  it('goes on after a failure', async () => {
    const { latest, flying, taken, errors, tick } = bench();
    latest.put(1);
    latest.put(2);
    flying[0]?.failed(new Error('no'));
    await tick();
    flying[1]?.done(20);
    await latest.settled();
    expect(errors).toHaveLength(1);
    expect(taken).toEqual([20]);
  });

  it('forgets what waits when it is dropped', async () => {
    const { latest, flying, tick } = bench();
    latest.put(1);
    latest.put(2);
    latest.drop();
    flying[0]?.done(10);
    await tick();
    await latest.settled();
    expect(flying).toHaveLength(1);
  });
});
