// Drawing on the map: what a tap does with the tool in the hand. Every tool ends in one change of the plan.
import { computed, signal } from '@preact/signals';
import { Latest } from '../net/latest';
import { Dropped } from '../net/live';
import type { Edit, LineKind, LineView, WalkView, Xy } from '../net/shapes';
import { distance_m, nearestOn } from '../sheet/along';
import { type SnapTo, snapped } from '../sheet/snap';
import type { Place } from '../sheet/view';
import { words } from '../words';
import { live } from './live';
import { put, say, selection, takeTool, tool } from './look';
import { edit, fail, lines, site } from './site';

/** How near a tap must come to a line to mean it, CSS pixels: half of a finger's 44. */
const REACH_PX = 22;
/** A tree this near to a line is written as standing along it. */
const TREE_REACH_M = 8;
/** A new line is at least so long. */
const SHORTEST_M = 2;
const SILL_WIDTH_M = 4;
const SHORTEST_SILL_M = 0.5;
const FIRST_WALK_M = 30;

export const LINE_KINDS: readonly LineKind[] = ['swale', 'drain', 'chute', 'pipe'];

/** The fall asked of a new drain: as gentle as carries water in grass. */
export const drainGrade = signal('1:100');
export const treeSpecies = signal('fig');
export const barrierKind = signal('fence');
export const keepClearKind = signal('building');
export const walked = signal<WalkView | null>(null);
/** The line and place that a new source would flow into, waiting for its name. */
export const sourceAt = signal<{ line: string; at_m: number } | null>(null);
export const joining = signal<string | null>(null);

/** Where the keys would put something: the pencil, while a tool is in the hand and the keys are used. */
export const pencil = signal<Place | null>(null);

export const drawing = computed(() => tool.value !== 'hand');

export function lineKind(): LineKind | null {
  return LINE_KINDS.find((kind) => kind === tool.value) ?? null;
}

function gradeOf(kind: LineKind): string {
  return kind === 'swale' ? 'level' : drainGrade.value;
}

interface Walk {
  from: Place;
  toward: Place | null;
  length_m: number;
  kind: LineKind;
}

const latest = new Latest<Walk, WalkView>(
  ({ from, toward, length_m, kind }) =>
    live().ask<WalkView>({ ask: 'walk', from: xy(from), toward: toward && xy(toward), length_m, grade: gradeOf(kind) }),
  (answer) => {
    if (lineKind() && put.value.length > 0) walked.value = answer;
  },
  (error) => {
    if (!(error instanceof Dropped)) fail(error);
  },
);

function lengthTo(from: Place, to: Place): number {
  return Math.max(SHORTEST_M, Math.round(distance_m(from, to)));
}

/** A line walks over the ground when it is level or falls gently; a chute or pipe runs straight. */
function walks(kind: LineKind): boolean {
  return kind === 'swale' || kind === 'drain';
}

export function drawHover(place: Place): void {
  const kind = lineKind();
  const from = put.value[0];
  if (!kind || !from || put.value.length > 1) return;
  if (walks(kind)) latest.put({ from, toward: place, length_m: lengthTo(from, place), kind });
  else walked.value = straight(from, place);
}

function straight(from: Place, to: Place): WalkView {
  const length_m = distance_m(from, to);
  return {
    path: [
      { ...from, chainage_m: 0 },
      { ...to, chainage_m: length_m },
    ],
    length_m,
    band_m: null,
    stopped: null,
  };
}

/** The line under a tap. */
export function lineUnder(place: Place, k: number): { line: LineView; at_m: number } | null {
  let best: { line: LineView; at_m: number } | null = null;
  let best_m = REACH_PX / k;
  for (const line of lines.value) {
    const near = nearestOn(line.path, place);
    if (near && near.away_m < best_m) {
      best = { line, at_m: near.at_m };
      best_m = near.away_m;
    }
  }
  return best;
}

/** What a hand may snap to: the ends of lines but one's own, and trees. */
export function snapTargets(except: string | null): SnapTo[] {
  const ends = lines.value
    .filter((line) => line.name !== except)
    .flatMap((line): SnapTo[] =>
      [line.path[0], line.path[line.path.length - 1]].flatMap((place) => (place ? [{ place, name: line.name }] : [])),
    );
  const trees = (site.value?.trees ?? []).flatMap(({ x_m, y_m, name }): SnapTo[] =>
    x_m === null || y_m === null ? [] : [{ place: { x_m, y_m }, name }],
  );
  return [...ends, ...trees];
}

/** A tree's place: along the nearest line when one is near, else by itself. */
export function treeEdit(place: Place, species: string, among: readonly LineView[]): Edit {
  let best: { line: LineView; at_m: number; downhill_m: number; away_m: number } | null = null;
  for (const line of among) {
    const near = nearestOn(line.path, place);
    if (!near || near.away_m > TREE_REACH_M || (best && best.away_m <= near.away_m)) continue;
    const left_m = near.east * (place.y_m - near.place.y_m) - near.north * (place.x_m - near.place.x_m);
    best = { line, at_m: near.at_m, downhill_m: left_m * line.downhill_side, away_m: near.away_m };
  }
  const tree = { do: 'draw_tree' as const, species };
  return best
    ? {
        ...tree,
        line: best.line.name,
        at_m: round(best.at_m),
        downhill_m: round(best.downhill_m),
        x_m: null,
        y_m: null,
      }
    : { ...tree, line: null, at_m: null, downhill_m: null, x_m: round(place.x_m), y_m: round(place.y_m) };
}

/** To the tenth of a metre. */
export function round(value_m: number): number {
  return Math.round(value_m * 10) / 10;
}

function xy(place: Place): Xy {
  return [round(place.x_m), round(place.y_m)];
}

/** Sections of a first chute and a first pipe, as in the example site: common practice, no source. What is wrong with
 * them for the water that comes is found at once. */
const FIRST_SECTION = {
  chute: { bed_width_m: 0.5, depth_m: 0.2, bank_height_m: 0.1, lining: 'rock' },
  pipe: { pipe_diameter_m: 0.11 },
};

function freeName(kind: string): string {
  const taken = new Set(lines.value.map((line) => line.name));
  for (let n = 1; ; n++) if (!taken.has(`${kind} ${n}`)) return `${kind} ${n}`;
}

/** A chute or pipe from its top to its foot; where a line runs at the foot, it leads there. */
function straightEdit(kind: LineKind, top: Place, foot: Place): Edit {
  const section = kind === 'pipe' ? FIRST_SECTION.pipe : FIRST_SECTION.chute;
  const at = lines.value.find((line) => (nearestOn(line.path, foot)?.away_m ?? Infinity) < 1.5);
  const line = { name: freeName(kind), kind, pegs: [xy(top), xy(foot)], ...section, to: at?.name ?? 'ground' };
  return { do: 'add_line', line };
}

/** The line drawn so far as a change; null while it has no beginning or no end. */
export function lineEdit(kind: LineKind, places: readonly Place[], length_m?: number): Edit | null {
  const [from, toward] = places;
  if (!from || (!toward && length_m === undefined)) return null;
  if (!walks(kind)) return toward ? straightEdit(kind, from, toward) : null;
  return {
    do: 'draw_line',
    kind,
    from: xy(from),
    toward: toward ? xy(toward) : null,
    length_m: length_m ?? (toward ? lengthTo(from, toward) : FIRST_WALK_M),
    grade: gradeOf(kind),
  };
}

/** Ends the drawing and keeps what was drawn. */
export async function finish(change: Edit | null): Promise<void> {
  if (!change) return;
  const before = new Set(lines.value.map((line) => line.name));
  const [used, places] = [tool.value, put.value];
  const kept = await edit(change);
  // Meanwhile another tool may have been taken: it stays in the hand.
  if (!kept || tool.value !== used || put.value !== places) return;
  stopDrawing();
  const drawn = lines.value.find((line) => !before.has(line.name));
  if (drawn) selection.value = { what: 'line', name: drawn.name };
}

export function stopDrawing(): void {
  latest.drop();
  walked.value = null;
  sourceAt.value = null;
  joining.value = null;
  pencil.value = null;
  takeTool('hand');
}

/** Does what the tool in the hand does at a place; false when no tool is in the hand. */
export function drawTap(tapped: Place, k: number, free = false): boolean {
  const kind = lineKind();
  const place = kind && !free ? (snapped(tapped, snapTargets(null), k)?.place ?? tapped) : tapped;
  if (kind) {
    put.value = [...put.value, place];
    const [from] = put.value;
    if (put.value.length === 1 && from && walks(kind)) latest.put({ from, toward: null, length_m: FIRST_WALK_M, kind });
    if (put.value.length >= 2) void finish(lineEdit(kind, put.value));
    else say(words.tools.started);
    return true;
  }
  const under = lineUnder(place, k);
  switch (tool.value) {
    case 'hand':
      return false;
    case 'tree':
      void edit(treeEdit(place, treeSpecies.value, lines.value));
      return true;
    case 'barrier':
    case 'keep-clear':
      put.value = [...put.value, place];
      return true;
    default:
      if (!under) say(words.tools.tapALine);
      else toolOnLine(under.line.name, round(under.at_m));
      return true;
  }
}

/** The sill under a drag along a line: from where the hand came down to where it is. */
export function sillBetween(line: LineView, from_m: number, to_m: number): Edit {
  const half_m = Math.max(SHORTEST_SILL_M, Math.abs(to_m - from_m)) / 2;
  const at_m = Math.min(line.length_m - half_m, Math.max(half_m, (from_m + to_m) / 2));
  return { do: 'draw_sill', line: line.name, at_m: round(at_m), width_m: round(2 * half_m) };
}

/** Does what the tool in the hand does to a line at a distance along it. */
export function toolOnLine(line: string, at_m: number): void {
  if (tool.value === 'sill') void finish({ do: 'draw_sill', line, at_m, width_m: SILL_WIDTH_M });
  else if (tool.value === 'cut') void finish({ do: 'cut_line', line, at_m, name: freeName('line') });
  else if (tool.value === 'source') sourceAt.value = { line, at_m };
  else if (tool.value === 'join') {
    const first = joining.value;
    if (first === null) {
      joining.value = line;
      selection.value = { what: 'line', name: line };
      say(words.tools.joinWith(line));
    } else if (first !== line) void finish({ do: 'join_lines', line: first, with: line });
  }
}

/** The fence or keep-clear drawn so far, as a change. */
export function outlineEdit(name: string): Edit | null {
  const along = put.value.map(xy);
  const [at] = along;
  if (!at) return null;
  if (tool.value === 'barrier') return { do: 'add_barrier', barrier: { name, kind: barrierKind.value, along } };
  const kind = keepClearKind.value;
  if (along.length === 1) return { do: 'add_keep_clear', keep_clear: { name, kind, at } };
  if (kind === 'building' && along.length > 2) return { do: 'add_keep_clear', keep_clear: { name, kind, area: along } };
  return { do: 'add_keep_clear', keep_clear: { name, kind, along } };
}
