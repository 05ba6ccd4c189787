// The pegs of a line. One Tab stop a line: arrows go from peg to peg; Enter takes a peg into the hand, arrows then move
// it, Enter sets it, Escape puts it back.
import { useRef } from 'preact/hooks';
import type { Edit, LineView, PegView } from '../../net/shapes';
import { distance_m, nearestOn, stationAt } from '../../sheet/along';
import { type SnapTo, snapped } from '../../sheet/snap';
import { type Place, toM } from '../../sheet/view';
import { held, hold, letGo, setDown } from '../../state/hand';
import { say, selection } from '../../state/look';
import { site } from '../../state/site';
import { words } from '../../words';
import { k, local, placeOf, view } from './frame';

/** One press of an arrow key, m: plain, with Shift, with Ctrl. */
const NUDGE_M = { plain: 1, fine: 0.1, far: 5 };
const WAYS: Record<string, readonly [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** A walked line is decided by its first and last peg; between them the ground decides. */
function movable(line: LineView, index: number): boolean {
  return line.laid === 'pegged' || index === 0 || index === line.pegs.length - 1;
}

function move(line: LineView, peg: number, place: Place): Edit {
  const [x_m, y_m] = [round(place.x_m), round(place.y_m)];
  const last = line.pegs.length - 1;
  if (line.laid === 'walked' && peg === last) {
    // How far a walked line goes is its length; the way there is the ground's.
    const near = nearestOn(line.path, place);
    const past_m = near ? distance_m(near.place, place) : 0;
    const length_m = Math.max(
      1,
      Math.round(((near?.at_m ?? line.length_m) + (beyond(line, place) ? past_m : 0)) * 2) / 2,
    );
    return { do: 'set', path: ['line', line.name, 'length_m'], value: length_m };
  }
  // The file counts pegs from 1.
  return { do: 'move_peg', line: line.name, peg: peg + 1, x_m, y_m };
}

/** Whether a place lies past the last peg, the way the line goes there. */
function beyond(line: LineView, place: Place): boolean {
  const end = stationAt(line.path, line.length_m);
  return !!end && (place.x_m - end.place.x_m) * end.east + (place.y_m - end.place.y_m) * end.north > 0;
}

/** To the centimetre: nobody sets a peg finer by hand. */
function round(value_m: number): number {
  return Math.round(value_m * 100) / 100;
}

/** What a peg may snap to: trees, and the ends of other lines. */
function targets(except: string): SnapTo[] {
  const now = site.value;
  if (!now) return [];
  const ends = now.lines
    .filter((line) => line.name !== except)
    .flatMap((line): SnapTo[] =>
      [line.path[0], line.path[line.path.length - 1]].flatMap((place) => (place ? [{ place, name: line.name }] : [])),
    );
  const trees = now.trees.flatMap((tree): SnapTo[] => {
    const place = placeOf(tree);
    return place ? [{ place, name: tree.name }] : [];
  });
  return [...ends, ...trees];
}

function Peg({ line, peg, index, tabbable }: { line: LineView; peg: PegView; index: number; tabbable: boolean }) {
  const key = `peg:${line.name}:${index}`;
  const inHand = held.value?.key === key ? held.value : null;
  const stands = inHand?.place ?? placeOf(peg);
  const can = movable(line, index);
  const dragging = useRef(false);
  const began = useRef<{ x: number; y: number } | null>(null);

  const under = (event: PointerEvent): Place | null => {
    const now = view.value;
    const sheet = (event.currentTarget as Element).closest('.sheet')?.getBoundingClientRect();
    return now && sheet ? toM(now, { x: event.clientX - sheet.left, y: event.clientY - sheet.top }) : null;
  };
  const drag = (event: PointerEvent) => {
    if (!dragging.current) return;
    const from = began.current;
    if (from && Math.hypot(event.clientX - from.x, event.clientY - from.y) < 3) return;
    began.current = null;
    const place = under(event);
    if (!place) return;
    const caught = event.altKey ? null : snapped(place, targets(line.name), k.value);
    hold(key, caught?.place ?? place, move(line, index, caught?.place ?? place));
  };
  const drop = (event: PointerEvent) => {
    if (!dragging.current) return;
    dragging.current = false;
    if (began.current) {
      began.current = null;
      selection.value = { what: 'line', name: line.name };
      return;
    }
    if (event.type === 'pointercancel') letGo();
    else void setDown();
  };
  const go = (event: KeyboardEvent, to: number) => {
    const group = (event.currentTarget as Element).parentElement;
    const next = group?.querySelector<SVGGElement>(`[data-peg="${to}"]`);
    if (!next) return;
    event.preventDefault();
    next.focus();
  };
  const onKey = (event: KeyboardEvent) => {
    const way = WAYS[event.key];
    if (inHand && way) {
      event.preventDefault();
      event.stopPropagation();
      const by_m = event.shiftKey ? NUDGE_M.fine : event.ctrlKey ? NUDGE_M.far : NUDGE_M.plain;
      const place = { x_m: inHand.place.x_m + way[0] * by_m, y_m: inHand.place.y_m + way[1] * by_m };
      hold(key, place, move(line, index, place));
    } else if (inHand && event.key === 'Escape') {
      event.stopPropagation();
      letGo();
      say(words.map.putBack);
    } else if (inHand && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault();
      void setDown();
    } else if (event.key === 'Enter' || event.key === ' ') {
      event.preventDefault();
      if (can) {
        hold(key, stands ?? { x_m: 0, y_m: 0 }, move(line, index, stands ?? { x_m: 0, y_m: 0 }));
        say(words.map.inHand);
      } else say(words.map.groundDecides);
    } else if (event.key === 'ArrowRight' || event.key === 'ArrowDown') {
      event.stopPropagation();
      go(event, index + 1);
    } else if (event.key === 'ArrowLeft' || event.key === 'ArrowUp') {
      event.stopPropagation();
      go(event, index - 1);
    }
  };
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  return (
    <g
      class={`peg ${can ? 'movable' : ''} ${inHand ? 'held' : ''}`}
      role="button"
      tabindex={tabbable ? 0 : -1}
      data-peg={index}
      data-drag={can ? '' : undefined}
      data-hit={`line:${line.name}`}
      aria-pressed={inHand !== null}
      aria-label={words.map.peg(line, inHand ? { ...peg, ...inHand.place } : peg, index, can)}
      transform={`translate(${x} ${y})`}
      onPointerDown={(event) => {
        if (!can || event.button !== 0) return;
        dragging.current = true;
        began.current = { x: event.clientX, y: event.clientY };
        (event.currentTarget as Element).setPointerCapture(event.pointerId);
      }}
      onPointerMove={drag}
      onPointerUp={drop}
      onPointerCancel={drop}
      onKeyDown={onKey}
      onBlur={() => {
        if (inHand && !dragging.current) void setDown();
      }}
    >
      {can && <circle class="grip" r="22" />}
      <circle class="head" r={can ? 6 : 3} />
    </g>
  );
}

export function Pegs({ line }: { line: LineView }) {
  return (
    <g
      class={`pegs ${selection.value?.name === line.name ? 'chosen' : ''}`}
      role="group"
      aria-label={words.map.pegsOf(line.name)}
    >
      {line.pegs.map((peg, index) => (
        // Pegs have no name of their own: their place in the row is what they are.
        <Peg key={index} line={line} peg={peg} index={index} tabbable={index === 0} />
      ))}
    </g>
  );
}
