// The two painted layers under the vectors: relief, one pixel a cell, and contours.
//
// Relief is filled once and pinned to the ground by a CSS transform. Contours are stroked on a canvas half as large
// again as the window, follow the hand by a transform, and are stroked anew when the hand rests or the view leaves
// what is drawn.
import { type Bounds, toPx, type View } from './view';

/** Shaded ground: one byte a cell from the north-west, 0 where nothing was measured. */
export interface Relief {
  cols: number;
  rows: number;
  x0_m: number;
  y0_m: number;
  cell_m: number;
  shade: Uint8Array;
}

/** Lines of one value each: contours by height, flow paths by the ground they drain. */
export interface Traced {
  value: number;
  /** x, y, x, y, … in site metres. */
  points: Float32Array;
}

/** Red, green, blue, 0 to 255. */
export type Rgb = readonly [number, number, number];

export function reliefBounds(relief: Relief): Bounds {
  return {
    west_m: relief.x0_m,
    south_m: relief.y0_m,
    east_m: relief.x0_m + relief.cols * relief.cell_m,
    north_m: relief.y0_m + relief.rows * relief.cell_m,
  };
}

/** The 256 colours from shadow to light, as the canvas stores them; the first is clear. */
export function shadeTable(shadow: Rgb, light: Rgb): Uint32Array {
  const table = new Uint32Array(256);
  for (let shade = 1; shade < 256; shade++) {
    const share = (shade - 1) / 254;
    const mix = (i: 0 | 1 | 2) => Math.round(shadow[i] + (light[i] - shadow[i]) * share);
    table[shade] = ((255 << 24) | (mix(2) << 16) | (mix(1) << 8) | mix(0)) >>> 0;
  }
  return table;
}

export function paintRelief(canvas: HTMLCanvasElement, relief: Relief, shadow: Rgb, light: Rgb): void {
  canvas.width = relief.cols;
  canvas.height = relief.rows;
  const context = canvas.getContext('2d');
  if (!context) return;
  const image = context.createImageData(relief.cols, relief.rows);
  const pixels = new Uint32Array(image.data.buffer);
  const table = shadeTable(shadow, light);
  for (let i = 0; i < relief.shade.length; i++) pixels[i] = table[relief.shade[i] as number] as number;
  context.putImageData(image, 0, 0);
}

/** Puts a canvas of one pixel a cell where its ground is. */
export function pinRelief(canvas: HTMLCanvasElement, relief: Relief, view: View): void {
  const corner = toPx(view, { x_m: relief.x0_m, y_m: relief.y0_m + relief.rows * relief.cell_m });
  const times = relief.cell_m * view.k;
  canvas.style.transform = `translate(${corner.x}px, ${corner.y}px) scale(${times})`;
}

/** How much wider than the window the contours' canvas is. */
const SPARE = 1.5;

/** How contours look. */
export interface ContourStyle {
  colour: string;
  /** Every how many metres a contour is heavy. */
  heavy_m: number;
  /** Flow paths instead: wider where more ground drains. */
  flow?: string;
}

/** The contours' canvas: remembers which view it was stroked for. */
export class ContourLayer {
  private drawn: View | null = null;
  private rest: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly dpr: number,
  ) {}

  /** Forgets what is drawn: the lines or the colours changed. */
  stale(): void {
    this.drawn = null;
  }

  /** Follows the view at once and strokes anew when needed. */
  follow(view: View, stroke: (context: CanvasRenderingContext2D, wide: View) => void): void {
    const drawn = this.drawn;
    if (!drawn || this.left(drawn, view)) {
      this.stroke(view, stroke);
      return;
    }
    const times = view.k / drawn.k;
    const corner = toPx(view, {
      x_m: drawn.cx_m - drawn.width / 2 / drawn.k,
      y_m: drawn.cy_m + drawn.height / 2 / drawn.k,
    });
    this.canvas.style.transform = `translate(${corner.x}px, ${corner.y}px) scale(${times})`;
    clearTimeout(this.rest);
    if (times !== 1) this.rest = setTimeout(() => this.stroke(view, stroke), 120);
  }

  private left(drawn: View, view: View): boolean {
    const times = view.k / drawn.k;
    if (times > 1.6 || times < 0.7) return true;
    const spare_x = (drawn.width - view.width / times) / 2 / drawn.k;
    const spare_y = (drawn.height - view.height / times) / 2 / drawn.k;
    return Math.abs(view.cx_m - drawn.cx_m) > spare_x || Math.abs(view.cy_m - drawn.cy_m) > spare_y;
  }

  private stroke(view: View, stroke: (context: CanvasRenderingContext2D, wide: View) => void): void {
    clearTimeout(this.rest);
    const wide = { ...view, width: Math.ceil(view.width * SPARE), height: Math.ceil(view.height * SPARE) };
    this.canvas.width = Math.round(wide.width * this.dpr);
    this.canvas.height = Math.round(wide.height * this.dpr);
    this.canvas.style.width = `${wide.width}px`;
    this.canvas.style.height = `${wide.height}px`;
    const context = this.canvas.getContext('2d');
    if (!context) return;
    context.scale(this.dpr, this.dpr);
    stroke(context, wide);
    this.canvas.style.transform = `translate(${(view.width - wide.width) / 2}px, ${(view.height - wide.height) / 2}px)`;
    this.drawn = wide;
  }
}

function trace(context: CanvasRenderingContext2D, wide: View, points: Float32Array): boolean {
  let inside = false;
  context.beginPath();
  for (let i = 0; i + 1 < points.length; i += 2) {
    const px = toPx(wide, { x_m: points[i] as number, y_m: points[i + 1] as number });
    inside ||= px.x >= 0 && px.y >= 0 && px.x <= wide.width && px.y <= wide.height;
    if (i === 0) context.moveTo(px.x, px.y);
    else context.lineTo(px.x, px.y);
  }
  return inside;
}

/** A contour is heavy when its height is a whole number of `heavy_m`, to a millimetre. */
export function isHeavy(z_m: number, heavy_m: number): boolean {
  return Math.abs(z_m / heavy_m - Math.round(z_m / heavy_m)) * heavy_m < 0.001;
}

/** Strokes contours, heavy ones with their height written along them. */
export function strokeContours(
  context: CanvasRenderingContext2D,
  wide: View,
  contours: readonly Traced[],
  style: { colour: string; paper: string; heavy_m: number; figures: (z_m: number) => string },
): void {
  context.strokeStyle = style.colour;
  context.lineJoin = 'round';
  for (const { value, points } of contours) {
    const heavy = isHeavy(value, style.heavy_m);
    context.lineWidth = heavy ? 1.4 : 0.7;
    context.globalAlpha = heavy ? 0.95 : 0.75;
    if (!trace(context, wide, points)) continue;
    context.stroke();
    if (heavy) label(context, wide, points, style.figures(value), style);
  }
  context.globalAlpha = 1;
}

/** Writes a height at two fifths of the part in view, turned along the contour and upright. */
function label(
  context: CanvasRenderingContext2D,
  wide: View,
  points: Float32Array,
  words: string,
  style: { colour: string; paper: string },
): void {
  const count = points.length / 2;
  if (count < 8) return;
  const i = Math.floor(count * 0.4);
  const at = (n: number) => toPx(wide, { x_m: points[2 * n] as number, y_m: points[2 * n + 1] as number });
  const a = at(i - 1);
  const b = at(i + 1);
  let turn = Math.atan2(b.y - a.y, b.x - a.x);
  if (turn > Math.PI / 2) turn -= Math.PI;
  if (turn < -Math.PI / 2) turn += Math.PI;
  context.save();
  context.translate((a.x + b.x) / 2, (a.y + b.y) / 2);
  context.rotate(turn);
  context.font = '12px "Atkinson Hyperlegible Next", system-ui, sans-serif';
  context.textAlign = 'center';
  context.textBaseline = 'middle';
  context.lineWidth = 4;
  context.strokeStyle = style.paper;
  context.strokeText(words, 0, 0);
  context.fillStyle = style.colour;
  context.fillText(words, 0, 0);
  context.restore();
}

/** Strokes flow paths: the more ground drains through, the wider, by the square root. */
export function strokeFlow(
  context: CanvasRenderingContext2D,
  wide: View,
  paths: readonly Traced[],
  colour: string,
): void {
  context.strokeStyle = colour;
  context.lineCap = 'round';
  context.lineJoin = 'round';
  for (const { value, points } of paths) {
    if (!trace(context, wide, points)) continue;
    context.lineWidth = Math.min(5, 0.8 + Math.sqrt(value) / 16);
    context.globalAlpha = 0.8;
    context.stroke();
  }
  context.globalAlpha = 1;
}
