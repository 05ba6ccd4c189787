// One hand and two: pan, pinch, wheel and tap by pointer events alone.
//
// Elements inside an element with `data-drag` look after their own pointers. A press that moves less than the slop is
// a tap. Two fingers zoom about their moving midpoint.
import type { Px } from './view';

/** A finger rests less still than a mouse: up to here a press is a tap, CSS pixels. */
const SLOP_PX = { mouse: 3, touch: 8 };
/** One notch of a wheel, 100 px in most browsers, zooms by 2^(1/4). */
const WHEEL_PX_TO_DOUBLE = 400;

/** What the sheet does with a gesture. */
export interface Hand {
  pan(dx: number, dy: number): void;
  zoom(times: number, about: Px): void;
  tap(at: Px, event: PointerEvent): void;
  hover?(at: Px): void;
  /** True where a press begins something of its own instead of a pan; then `lead` and `leave` follow. */
  claim?(at: Px): boolean;
  lead?(at: Px): void;
  leave?(at: Px, given: boolean): void;
}

/** Listens on an element; returns what stops it. */
export function listen(element: HTMLElement | SVGElement, hand: Hand): () => void {
  const down = new Map<number, Px>();
  let began: Px | null = null;
  let moved = false;
  let claimed = false;

  const at = (event: { clientX: number; clientY: number }): Px => {
    const box = element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  };
  const ownDrag = (event: Event) => event.target instanceof Element && event.target.closest('[data-drag]') !== null;

  const onDown = (event: PointerEvent) => {
    if (event.button !== 0 || ownDrag(event)) return;
    down.set(event.pointerId, at(event));
    element.setPointerCapture(event.pointerId);
    began = down.size === 1 ? at(event) : null;
    moved = down.size > 1;
    claimed = down.size === 1 && (hand.claim?.(at(event)) ?? false);
  };
  const onMove = (event: PointerEvent) => {
    const before = down.get(event.pointerId);
    const now = at(event);
    if (!before) {
      hand.hover?.(now);
      return;
    }
    const slop = event.pointerType === 'mouse' ? SLOP_PX.mouse : SLOP_PX.touch;
    if (!moved && began && Math.hypot(now.x - began.x, now.y - began.y) <= slop) return;
    moved = true;
    if (claimed) {
      hand.lead?.(now);
    } else if (down.size === 1) {
      hand.pan(now.x - before.x, now.y - before.y);
    } else if (down.size === 2) {
      const other = [...down.entries()].find(([id]) => id !== event.pointerId)?.[1] as Px;
      const spread = Math.hypot(before.x - other.x, before.y - other.y);
      const newSpread = Math.hypot(now.x - other.x, now.y - other.y);
      hand.pan((now.x - before.x) / 2, (now.y - before.y) / 2);
      if (spread > 0) hand.zoom(newSpread / spread, { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 });
    }
    down.set(event.pointerId, now);
  };
  const onUp = (event: PointerEvent) => {
    if (!down.delete(event.pointerId)) return;
    if (claimed && moved) {
      claimed = false;
      hand.leave?.(at(event), event.type === 'pointerup');
    } else if (event.type === 'pointerup' && !moved && down.size === 0) hand.tap(at(event), event);
  };
  const onWheel = (event: WheelEvent) => {
    event.preventDefault();
    hand.zoom(2 ** (-event.deltaY / WHEEL_PX_TO_DOUBLE), at(event));
  };

  element.addEventListener('pointerdown', onDown as EventListener);
  element.addEventListener('pointermove', onMove as EventListener);
  element.addEventListener('pointerup', onUp as EventListener);
  element.addEventListener('pointercancel', onUp as EventListener);
  element.addEventListener('wheel', onWheel as EventListener, { passive: false });
  return () => {
    element.removeEventListener('pointerdown', onDown as EventListener);
    element.removeEventListener('pointermove', onMove as EventListener);
    element.removeEventListener('pointerup', onUp as EventListener);
    element.removeEventListener('pointercancel', onUp as EventListener);
    element.removeEventListener('wheel', onWheel as EventListener);
  };
}
