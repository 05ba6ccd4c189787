// What can be moved by hand: by pointer it follows at once, by keys it is taken in hand with Enter, moved with arrows,
// set with Enter and put back with Escape. Pegs, sills, trees, waters and outlines share this.
import { computed } from '@preact/signals';
import { useMemo, useRef } from 'preact/hooks';
import type { Edit } from '../../net/shapes';
import { type SnapTo, snapped } from '../../sheet/snap';
import { type Place, toM } from '../../sheet/view';
import { type Held, held, hold, letGo, setDown, take } from '../../state/hand';
import { say } from '../../state/look';
import { words } from '../../words';
import { k, view } from './frame';

/** One press of an arrow key, m: plain, with Shift, with Ctrl. */
const NUDGE_M = { plain: 1, fine: 0.1, far: 5 };
/** A press that moves less than this is a tap, CSS pixels. */
const SLOP_PX = 3;
const WAYS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

export function nudgeOf(event: KeyboardEvent): { way: readonly [number, number]; by_m: number } | null {
  const way = WAYS[event.key];
  if (!way) return null;
  return { way, by_m: event.shiftKey ? NUDGE_M.fine : event.ctrlKey ? NUDGE_M.far : NUDGE_M.plain };
}

export interface Grip {
  /** Tells this mark from all others. */
  key: string;
  place: Place;
  /** What setting it down at a place would do; null where it cannot stand. */
  change: (place: Place) => Edit | null;
  /** Where it is drawn while held: on its line, for what moves along one. */
  stands?: (place: Place) => Place;
  /** A step of the arrow keys; east and north where it is left out. */
  step?: (from: Place, way: readonly [number, number], by_m: number) => Place;
  targets?: () => SnapTo[];
  /** A press without a move, and what Enter does where it cannot be moved. */
  onTap: () => void;
  can: boolean;
}

/** Where the pointer is on the ground. */
export function under(event: PointerEvent): Place | null {
  const now = view.value;
  const sheet = (event.currentTarget as Element).closest('.sheet')?.getBoundingClientRect();
  return now && sheet ? toM(now, { x: event.clientX - sheet.left, y: event.clientY - sheet.top }) : null;
}

/** Handlers for a mark, and where it is held if it is. */
export function useGrip(grip: Grip) {
  const dragging = useRef(false);
  const began = useRef<{ x: number; y: number } | null>(null);
  // Through a computed of its own: what another mark does while held leaves this one alone.
  const mine = useMemo(() => computed(() => (held.value?.key === grip.key ? held.value : null)), [grip.key]);
  const inHand: Held | null = mine.value;

  const moveTo = (place: Place) => {
    const change = grip.change(place);
    if (change) hold(grip.key, grip.stands?.(place) ?? place, change);
  };
  const onPointerDown = (event: PointerEvent) => {
    if (!grip.can || event.button !== 0) return;
    dragging.current = true;
    began.current = { x: event.clientX, y: event.clientY };
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const onPointerMove = (event: PointerEvent) => {
    if (!dragging.current) return;
    const from = began.current;
    if (from && Math.hypot(event.clientX - from.x, event.clientY - from.y) < SLOP_PX) return;
    began.current = null;
    const place = under(event);
    if (!place) return;
    const caught = event.altKey || !grip.targets ? null : snapped(place, grip.targets(), k.value);
    moveTo(caught?.place ?? place);
  };
  const onPointerUp = (event: PointerEvent) => {
    if (!dragging.current) return;
    dragging.current = false;
    if (began.current) {
      began.current = null;
      grip.onTap();
      return;
    }
    if (event.type === 'pointercancel') letGo();
    else void setDown();
  };
  /** True when the key was for the hand. */
  const key = (event: KeyboardEvent): boolean => {
    const press = event.key === 'Enter' || event.key === ' ';
    const nudge = inHand && nudgeOf(event);
    if (inHand && nudge) {
      const { way, by_m } = nudge;
      const east_north = { x_m: inHand.place.x_m + way[0] * by_m, y_m: inHand.place.y_m + way[1] * by_m };
      moveTo(grip.step?.(inHand.place, way, by_m) ?? east_north);
    } else if (inHand && event.key === 'Escape') {
      letGo();
      say(words.map.putBack);
    } else if (inHand && press) {
      void setDown();
    } else if (press && grip.can) {
      take(grip.key, grip.place);
      grip.onTap();
      say(words.map.inHand);
    } else if (press) {
      grip.onTap();
    } else return false;
    event.preventDefault();
    event.stopPropagation();
    return true;
  };
  const onBlur = () => {
    if (inHand && !dragging.current) void setDown();
  };
  return { inHand, key, pointer: { onPointerDown, onPointerMove, onPointerUp, onPointerCancel: onPointerUp, onBlur } };
}
