// The pegs of a line. One Tab stop a line: arrows go from peg to peg; Enter takes a peg into the hand, arrows then move
// it, Enter sets it, Escape puts it back.
import type { Edit, LineView, PegView } from '../../net/shapes';
import { distance_m, nearestOn, stationAt } from '../../sheet/along';
import type { Place } from '../../sheet/view';
import { say, selection } from '../../state/look';
import { snapTargets } from '../../state/tools';
import { words } from '../../words';
import { k, local, placeOf } from './frame';
import { useGrip } from './grip';

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

function Peg({ line, peg, index, tabbable }: { line: LineView; peg: PegView; index: number; tabbable: boolean }) {
  const last = line.pegs.length - 1;
  const can = movable(line, index);
  const at = placeOf(peg);
  const grip = useGrip({
    key: `peg:${line.name}:${index === last ? 'last' : index}`,
    place: at ?? { x_m: 0, y_m: 0 },
    change: (place) => move(line, index, place),
    targets: () => snapTargets(line.name),
    onTap: () => {
      selection.value = { what: 'line', name: line.name };
      if (!can) say(words.map.groundDecides);
    },
    can: can && at !== null,
  });
  const inHand = grip.inHand;
  const stands = inHand?.place ?? at;
  const go = (event: KeyboardEvent, to: number) => {
    const group = (event.currentTarget as Element).parentElement;
    const next = group?.querySelector<SVGGElement>(`[data-peg="${to}"]`);
    event.stopPropagation();
    if (!next) return;
    event.preventDefault();
    next.focus();
  };
  const onKey = (event: KeyboardEvent) => {
    if (grip.key(event)) return;
    if (event.key === 'ArrowRight' || event.key === 'ArrowDown') go(event, index + 1);
    else if (event.key === 'ArrowLeft' || event.key === 'ArrowUp') go(event, index - 1);
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
      onKeyDown={onKey}
      {...grip.pointer}
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
        // Pegs have no name of their own: their place in the row is what they are; the last one stays the last while the
        // line under it grows or shrinks.
        <Peg
          key={index === line.pegs.length - 1 ? 'last' : index}
          line={line}
          peg={peg}
          index={index}
          tabbable={index === 0}
        />
      ))}
    </g>
  );
}
