// What stands in the way, where water comes from, and the trees.
import type { Edit, SourceView, ThingView, TreeView, Xy } from '../../net/shapes';
import { nearestOn } from '../../sheet/along';
import { boundsOf, type Place } from '../../sheet/view';
import { litres } from '../../state/figures';
import { screen, selection, tool } from '../../state/look';
import { rain } from '../../state/rain';
import { lineNamed, lines, site } from '../../state/site';
import { round, treeEdit } from '../../state/tools';
import { words } from '../../words';
import { k, local, pathOf, placeOf } from './frame';
import { useGrip } from './grip';

/** Things are moved where the layout is the question, with no other tool in the hand. */
function canMove(): boolean {
  return (screen.value === 'lines' || screen.value === 'plant') && tool.value === 'hand';
}

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
  const chosen = selection.value;
  const selected = chosen?.what === 'source' && chosen.name === source.name;
  const line = lineNamed(source.into);
  const grip = useGrip({
    key: `source:${source.name}`,
    place: source.at ?? { x_m: 0, y_m: 0 },
    change: (to) => {
      const near = line && nearestOn(line.path, to);
      return near ? { do: 'set', path: ['source', source.name, 'at_m'], value: round(near.at_m) } : null;
    },
    stands: (to) => (line && nearestOn(line.path, to)?.place) ?? to,
    onTap: () => {
      selection.value = { what: 'source', name: source.name };
    },
    can: canMove() && source.at_m !== null && line !== null,
  });
  const stands = grip.inHand?.place ?? source.at;
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  return (
    <g
      class={`source ${selected || grip.inHand ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`source:${source.name}`}
      data-drag={canMove() && source.at_m !== null && line ? '' : undefined}
      aria-pressed={selected}
      aria-label={words.map.source(source)}
      transform={`translate(${x} ${y - 12})`}
      onKeyDown={grip.key}
      {...grip.pointer}
    >
      <circle class="grip" r="18" />
      <path class="drop" d="M0 -9C4 -3 6 0 6 3A6 6 0 0 1 -6 3C-6 0 -4 -3 0 -9Z" />
    </g>
  );
}

/** Moves a tree to a place: along the nearest line when one is near, else by itself. */
function treeTo(tree: TreeView, place: Place): Edit {
  const drawn = treeEdit(place, tree.species, lines.value);
  if (drawn.do !== 'draw_tree' || drawn.line === null)
    return { do: 'move_tree', tree: tree.name, to: { x_m: round(place.x_m), y_m: round(place.y_m) } };
  const { line, at_m, downhill_m } = drawn;
  return { do: 'move_tree', tree: tree.name, to: { line, at_m: at_m ?? 0, downhill_m: downhill_m ?? 0 } };
}

export function Tree({ tree }: { tree: TreeView }) {
  const at = placeOf(tree);
  const chosen = selection.value;
  const selected = chosen?.what === 'tree' && chosen.name === tree.name;
  const grip = useGrip({
    key: `tree:${tree.name}`,
    place: at ?? { x_m: 0, y_m: 0 },
    change: (to) => treeTo(tree, to),
    onTap: () => {
      selection.value = { what: 'tree', name: tree.name };
    },
    can: canMove() && at !== null,
  });
  const stands = grip.inHand?.place ?? at;
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  const given = rain.value?.trees.find((other) => other.name === tree.name)?.litres ?? null;
  return (
    <g
      class={`tree ${selected || grip.inHand ? 'chosen' : ''}`}
      role="button"
      tabindex={0}
      data-hit={`tree:${tree.name}`}
      data-drag={canMove() ? '' : undefined}
      aria-pressed={selected}
      aria-label={words.map.tree(tree, given)}
      transform={`translate(${x} ${y})`}
      onKeyDown={grip.key}
      {...grip.pointer}
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

/** Corners of an outline, and single places, while it is chosen: each can be dragged. */
function Corner({ thing, index }: { thing: ThingView; index: number | null }) {
  const barrier = site.value?.barriers.some((each) => each.name === thing.name) ?? false;
  const key = thing.area.length > 0 ? 'area' : 'along';
  const places = thing.area.length > 0 ? thing.area : thing.along;
  const place = index === null ? thing.at : places[index];
  const grip = useGrip({
    key: `corner:${thing.name}:${index}`,
    place: place ?? { x_m: 0, y_m: 0 },
    change: (to) => {
      const xy = (each: Place): Xy => [round(each.x_m), round(each.y_m)];
      const path = [barrier ? 'barrier' : 'keep_clear', thing.name, index === null ? 'at' : key];
      return {
        do: 'set',
        path,
        value: index === null ? xy(to) : places.map((each, i) => xy(i === index ? to : each)),
      };
    },
    onTap: () => undefined,
    can: true,
  });
  const stands = grip.inHand?.place ?? place;
  if (!stands) return null;
  const { x, y } = local(stands, k.value);
  return (
    <g
      class={`peg movable ${grip.inHand ? 'held' : ''}`}
      role="button"
      tabindex={0}
      data-drag=""
      aria-pressed={grip.inHand !== null}
      aria-label={words.map.corner(thing.name, index)}
      transform={`translate(${x} ${y})`}
      onKeyDown={grip.key}
      {...grip.pointer}
    >
      <circle class="grip" r="22" />
      <circle class="head" r="6" />
    </g>
  );
}

export function Corners({ thing }: { thing: ThingView }) {
  const chosen = selection.value;
  if (!canMove() || chosen?.what !== 'thing' || chosen.name !== thing.name) return null;
  const places = thing.area.length > 0 ? thing.area : thing.along;
  return (
    <>
      {thing.at && <Corner thing={thing} index={null} />}
      {places.map((_, index) => (
        // Corners have no name: their place in the outline is what they are.
        <Corner key={index} thing={thing} index={index} />
      ))}
    </>
  );
}
