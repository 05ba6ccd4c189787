// Lines with their kinds' marks, their sills, and where sills let water go.
import type { LineView, SillView } from '../../net/shapes';
import { nearestOn, slice, stationAt } from '../../sheet/along';
import type { Place } from '../../sheet/view';
import { screen, selection, station, tool } from '../../state/look';
import { round, toolOnLine } from '../../state/tools';
import { words } from '../../words';
import { k, local, pathOf } from './frame';
import { useGrip } from './grip';
import { arrows, rails, steps, ticks } from './symbols';

function Kind({ line, scale }: { line: LineView; scale: number }) {
  switch (line.kind) {
    case 'swale':
      return (
        <>
          <path class="line" d={pathOf(line.path, scale)} />
          <path class="ticks" d={ticks(line.path, line.downhill_side, scale)} />
        </>
      );
    case 'drain':
      return (
        <>
          <path class="line dashed" d={pathOf(line.path, scale)} />
          <path class="arrows" d={arrows(line.path, scale)} />
        </>
      );
    case 'chute':
      return <path class="rails" d={rails(line.path, scale) + steps(line.path, scale)} />;
    case 'pipe':
      return <path class="rails" d={rails(line.path, scale)} />;
  }
}

/** Chooses the line; with a tool in the hand, uses it where the long section points, or in the middle. */
function press(line: LineView) {
  if (tool.value === 'hand') selection.value = { what: 'line', name: line.name };
  else toolOnLine(line.name, round(station.value ?? line.length_m / 2));
}

export function Line({ line }: { line: LineView }) {
  const scale = k.value;
  const chosen = selection.value;
  const selected = chosen !== null && chosen.what === 'line' && chosen.name === line.name;
  return (
    <g
      class={selected ? 'chosen' : ''}
      role="button"
      tabindex={0}
      data-hit={`line:${line.name}`}
      aria-pressed={selected}
      aria-label={words.map.line(line)}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          press(line);
        }
      }}
    >
      <path class="grip" d={pathOf(line.path, scale)} />
      <path class="casing" d={pathOf(line.path, scale)} />
      <Kind line={line} scale={scale} />
    </g>
  );
}

export function LineName({ line, number }: { line: LineView; number: number }) {
  const first = line.path[0];
  if (!first) return null;
  const { x, y } = local(first, k.value);
  const second = line.path[Math.min(2, line.path.length - 1)] ?? first;
  const leftwards = second.x_m >= first.x_m;
  const offset = leftwards ? -16 : 16;
  return (
    <g class="name" aria-hidden="true" transform={`translate(${x + offset} ${y - 14})`}>
      <circle r="9" />
      <text class="number" text-anchor="middle" dy="4">
        {number}
      </text>
      <text class="word" x={leftwards ? -13 : 13} dy="5" text-anchor={leftwards ? 'end' : 'start'}>
        {line.name}
      </text>
    </g>
  );
}

/** Shortest crest that a hand may drag, m. */
const SHORTEST_CREST_M = 0.5;

/** Across the line at a distance along it. */
function barAt(line: LineView, at_m: number, scale: number): string {
  const there = stationAt(line.path, at_m);
  if (!there) return '';
  const { x, y } = local(there.place, scale);
  const across = { x: -there.north * 8, y: -there.east * 8 };
  return `M${x - across.x} ${y - across.y}L${x + across.x} ${y + across.y}`;
}

/** A place moved along the line: right and up are onward. */
function alongBy(line: LineView) {
  return (from: Place, way: readonly [number, number], by_m: number): Place => {
    const at_m = (nearestOn(line.path, from)?.at_m ?? 0) + (way[0] + way[1]) * by_m;
    return stationAt(line.path, Math.max(0, at_m))?.place ?? from;
  };
}

/** An end of a sill's crest: dragged along the bank it makes the sill wider or narrower about its middle. */
function SillEnd({ line, sill, index, end }: { line: LineView; sill: SillView; index: number; end: -1 | 1 }) {
  const place = stationAt(line.path, sill.at_m + (end * sill.width_m) / 2)?.place;
  const grip = useGrip({
    key: `sill-end:${line.name}:${index}:${end}`,
    place: place ?? { x_m: 0, y_m: 0 },
    change: (to) => {
      const near = nearestOn(line.path, to);
      const width_m = near && Math.max(SHORTEST_CREST_M, 2 * end * (near.at_m - sill.at_m));
      return width_m === null ? null : { do: 'size_sill', line: line.name, sill: index + 1, width_m: round(width_m) };
    },
    stands: (to) => nearestOn(line.path, to)?.place ?? to,
    step: alongBy(line),
    onTap: () => chooseSill(line, index),
    can: true,
  });
  const stands = grip.inHand?.place ?? place;
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  return (
    <g
      class={`peg sill-end ${grip.inHand ? 'held' : ''}`}
      role="button"
      tabindex={0}
      data-drag=""
      aria-pressed={grip.inHand !== null}
      aria-label={words.map.sillEnd(line, sill, end)}
      transform={`translate(${x} ${y})`}
      onKeyDown={grip.key}
      {...grip.pointer}
    >
      <circle class="grip" r="16" />
      <rect class="head" x="-5" y="-5" width="10" height="10" />
    </g>
  );
}

function chooseSill(line: LineView, index: number): void {
  selection.value = { what: 'sill', name: line.name, index };
}

/** A sill: a bar across the bank at each end of its crest, and the way its water takes. */
export function Sill({ line, sill, index }: { line: LineView; sill: SillView; index: number }) {
  const scale = k.value;
  const chosen = selection.value;
  const selected = chosen?.what === 'sill' && chosen.name === line.name && chosen.index === index;
  const place = stationAt(line.path, sill.at_m)?.place;
  const grip = useGrip({
    key: `sill:${line.name}:${index}`,
    place: place ?? { x_m: 0, y_m: 0 },
    change: (to) => {
      const near = nearestOn(line.path, to);
      return near && { do: 'move_sill', line: line.name, sill: index + 1, at_m: round(near.at_m) };
    },
    stands: (to) => nearestOn(line.path, to)?.place ?? to,
    step: alongBy(line),
    onTap: () => chooseSill(line, index),
    can: screen.value === 'lines' && tool.value === 'hand' && place !== undefined,
  });
  const at_m = (grip.inHand && nearestOn(line.path, grip.inHand.place)?.at_m) ?? sill.at_m;
  const half_m = sill.width_m / 2;
  const crest = slice(line.path, at_m - half_m, at_m + half_m);
  return (
    <>
      <g
        class={`sill ${selected || grip.inHand ? 'chosen' : ''}`}
        role="button"
        tabindex={0}
        data-hit={`sill:${line.name}:${index}`}
        data-drag={screen.value === 'lines' && tool.value === 'hand' ? '' : undefined}
        aria-pressed={selected}
        aria-label={words.map.sill(line, sill)}
        onKeyDown={grip.key}
        {...grip.pointer}
      >
        <path class="grip" d={pathOf(crest, scale)} />
        <path class="gap" d={pathOf(crest, scale)} />
        <path class="bars" d={barAt(line, at_m - half_m, scale) + barAt(line, at_m + half_m, scale)} />
        <path class="spill" d={pathOf(sill.spill_path, scale)} marker-end="url(#spill-head)" />
      </g>
      {selected && screen.value === 'lines' && tool.value === 'hand' && (
        <>
          <SillEnd line={line} sill={sill} index={index} end={-1} />
          <SillEnd line={line} sill={sill} index={index} end={1} />
        </>
      )}
    </>
  );
}

/** The ring at the place along the chosen line that the chart points at. */
export function StationRing({ line }: { line: LineView }) {
  const at_m = station.value;
  if (at_m === null || (screen.value !== 'lines' && screen.value !== 'rain') || tool.value !== 'hand') return null;
  const there = stationAt(line.path, at_m);
  if (!there) return null;
  const { x, y } = local(there.place, k.value);
  return <circle class="ring" cx={x} cy={y} r="10" aria-hidden="true" />;
}
