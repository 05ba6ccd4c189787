// Lines with their kinds' marks, their sills, and where sills let water go.
import type { LineView, SillView } from '../../net/shapes';
import { slice, stationAt } from '../../sheet/along';
import { screen, selection, station, tool } from '../../state/look';
import { words } from '../../words';
import { k, local, pathOf } from './frame';
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

function choose(line: LineView) {
  selection.value = { what: 'line', name: line.name };
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
          choose(line);
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

/** A sill: a bar across the bank at each end of its crest, and the way its water takes. */
export function Sill({ line, sill, index }: { line: LineView; sill: SillView; index: number }) {
  const scale = k.value;
  const chosen = selection.value;
  const selected = chosen?.what === 'sill' && chosen.name === line.name && chosen.index === index;
  const half_m = sill.width_m / 2;
  const crest = slice(line.path, sill.at_m - half_m, sill.at_m + half_m);
  const bar = (at_m: number) => {
    const there = stationAt(line.path, at_m);
    if (!there) return '';
    const { x, y } = local(there.place, scale);
    const across = { x: -there.north * 8, y: -there.east * 8 };
    return `M${x - across.x} ${y - across.y}L${x + across.x} ${y + across.y}`;
  };
  return (
    <g
      class={`sill ${selected ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`sill:${line.name}:${index}`}
      aria-pressed={selected}
      aria-label={words.map.sill(line, sill)}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          selection.value = { what: 'sill', name: line.name, index };
        }
      }}
    >
      <path class="grip" d={pathOf(crest, scale)} />
      <path class="gap" d={pathOf(crest, scale)} />
      <path class="bars" d={bar(sill.at_m - half_m) + bar(sill.at_m + half_m)} />
      <path class="spill" d={pathOf(sill.spill_path, scale)} marker-end="url(#spill-head)" />
    </g>
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
