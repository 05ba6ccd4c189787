// What stands in the way, where water comes from, and the trees.
import type { SourceView, ThingView, TreeView } from '../../net/shapes';
import { boundsOf, type Place } from '../../sheet/view';
import { litres } from '../../state/figures';
import { selection } from '../../state/look';
import { rain } from '../../state/rain';
import { words } from '../../words';
import { k, local, pathOf, placeOf } from './frame';

function middle(thing: ThingView): Place | null {
  if (thing.at) return thing.at;
  const places = thing.area.length > 0 ? thing.area : thing.along;
  if (thing.area.length === 0 && places.length > 1) return places[Math.floor((places.length - 1) / 2)] ?? null;
  const bounds = boundsOf(places, 0);
  return bounds && { x_m: (bounds.west_m + bounds.east_m) / 2, y_m: (bounds.south_m + bounds.north_m) / 2 };
}

/** A keep-clear, barrier or service. Its class carries its kind. */
export function Thing({ thing, family }: { thing: ThingView; family: 'keep-clear' | 'barrier' | 'service' }) {
  const scale = k.value;
  const label = middle(thing);
  const chosen = selection.value;
  const selected = chosen?.what === 'thing' && chosen.name === thing.name;
  const at = label && local(label, scale);
  return (
    <g
      class={`thing ${family} ${thing.kind.replaceAll(' ', '-')} ${selected ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`thing:${thing.name}`}
      aria-pressed={selected}
      aria-label={words.map.thing(thing.name, thing.kind)}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          selection.value = { what: 'thing', name: thing.name };
        }
      }}
    >
      {thing.area.length > 0 && <path class="area" d={pathOf(thing.area, scale, true)} />}
      {thing.along.length > 1 && <path class="grip" d={pathOf(thing.along, scale)} />}
      {thing.along.length > 1 && <path class="along" d={pathOf(thing.along, scale)} />}
      {thing.at && at && <circle class="spot" cx={at.x} cy={at.y} r="6" />}
      {thing.at && at && <circle class="dot" cx={at.x} cy={at.y} r="1.6" />}
      {at && (
        <text class="thing-name" x={at.x} y={at.y - (thing.area.length > 0 ? -5 : 9)} text-anchor="middle">
          {thing.name}
        </text>
      )}
    </g>
  );
}

export function Source({ source }: { source: SourceView }) {
  if (!source.at) return null;
  const { x, y } = local(source.at, k.value);
  const chosen = selection.value;
  const selected = chosen?.what === 'source' && chosen.name === source.name;
  return (
    <g
      class={`source ${selected ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`source:${source.name}`}
      aria-pressed={selected}
      aria-label={words.map.source(source)}
      transform={`translate(${x} ${y - 12})`}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          selection.value = { what: 'source', name: source.name };
        }
      }}
    >
      <circle class="grip" r="22" />
      <path class="drop" d="M0 -9C4 -3 6 0 6 3A6 6 0 0 1 -6 3C-6 0 -4 -3 0 -9Z" />
    </g>
  );
}

export function Tree({ tree }: { tree: TreeView }) {
  const stands = placeOf(tree);
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  const given = rain.value?.trees.find((other) => other.name === tree.name)?.litres ?? null;
  const chosen = selection.value;
  const selected = chosen?.what === 'tree' && chosen.name === tree.name;
  return (
    <g
      class={`tree ${selected ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`tree:${tree.name}`}
      aria-pressed={selected}
      aria-label={words.map.tree(tree, given)}
      transform={`translate(${x} ${y})`}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          selection.value = { what: 'tree', name: tree.name };
        }
      }}
    >
      <circle class="grip" r="22" />
      <circle class="crown" r="7" />
      <path class="cross" d="M-7 0H7M0 -7V7" />
      <text class="tree-name" x="11" dy="5">
        {tree.name}
        {given !== null && <tspan class="given">{` ${litres(given)}`}</tspan>}
      </text>
    </g>
  );
}
