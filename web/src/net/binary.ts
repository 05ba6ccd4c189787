// The two binary answers: shaded ground, and lines of one value (contours, flow paths). Little-endian throughout.
import type { Relief, Traced } from '../sheet/layers';

/** An answer that is not what it should be. */
export class WireFault extends Error {}

function magic(view: DataView): string {
  return String.fromCharCode(view.getUint8(0), view.getUint8(1), view.getUint8(2), view.getUint8(3));
}

function open(buffer: ArrayBuffer, name: string, headBytes: number): DataView {
  if (buffer.byteLength < headBytes)
    throw new WireFault(`${name}: ${buffer.byteLength} bytes, a head has ${headBytes}`);
  const view = new DataView(buffer);
  if (magic(view) !== name) throw new WireFault(`begins with ${magic(view)}, not ${name}`);
  const version = view.getUint32(4, true);
  if (version !== 1) throw new WireFault(`${name} of version ${version}, this page reads 1`);
  return view;
}

const RELIEF_HEAD_BYTES = 28;

export function readRelief(buffer: ArrayBuffer): Relief {
  const view = open(buffer, 'HSGR', RELIEF_HEAD_BYTES);
  const cols = view.getUint32(8, true);
  const rows = view.getUint32(12, true);
  if (buffer.byteLength < RELIEF_HEAD_BYTES + cols * rows) {
    throw new WireFault(`HSGR: ${buffer.byteLength} bytes for ${cols} × ${rows} cells`);
  }
  return {
    cols,
    rows,
    x0_m: view.getFloat32(16, true),
    y0_m: view.getFloat32(20, true),
    cell_m: view.getFloat32(24, true),
    shade: new Uint8Array(buffer, RELIEF_HEAD_BYTES, cols * rows),
  };
}

const TRACED_HEAD_BYTES = 12;

export function readTraced(buffer: ArrayBuffer, name: string): Traced[] {
  const view = open(buffer, name, TRACED_HEAD_BYTES);
  const lines: Traced[] = [];
  let at = TRACED_HEAD_BYTES;
  for (let n = view.getUint32(8, true); n > 0; n--) {
    if (at + 8 > buffer.byteLength) throw new WireFault(`${name}: ends inside line ${lines.length}`);
    const value = view.getFloat32(at, true);
    const count = view.getUint32(at + 4, true);
    at += 8;
    if (at + 8 * count > buffer.byteLength) throw new WireFault(`${name}: ends inside line ${lines.length}`);
    lines.push({ value, points: new Float32Array(buffer, at, 2 * count) });
    at += 8 * count;
  }
  return lines;
}
