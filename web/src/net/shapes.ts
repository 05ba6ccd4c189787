// What goes over the wire, as the page reads it.
import type { Bounds, Place } from '../sheet/view';
import type { Plan, TapePeg, Tree } from '../wire';

/** What is known of a number: nine in ten fall between low and high. */
export interface Estimate {
  low: number;
  likely: number;
  high: number;
}

export type LineKind = 'swale' | 'drain' | 'chute' | 'pipe';
export type Severity = 'stop' | 'warn' | 'note';

export interface PathPlace extends Place {
  chainage_m: number;
}

export interface PegView {
  /** None for a line by tape. */
  x_m: number | null;
  y_m: number | null;
  z_m: number | null;
  chainage_m: number;
  /** How far to either side the true line may lie. */
  band_m: number | null;
  /** What the tool should show, mm lower than the peg before. */
  reading_mm: number;
}

export interface AlongView {
  chainage_m: number;
  ground_z_m: number;
  bed_z_m: number;
  bank_z_m: number;
}

export interface SillView {
  at_m: number;
  width_m: number;
  below_bank_m: number;
  crest_z_m: number | null;
  to: string;
  at: Place | null;
  spill_path: Place[];
  /** The flow it must pass in the design storm. */
  design_l_s: number | null;
  freeboard_m: number | null;
  freeboard_wanted_m: number;
  width_needed_m: number | null;
}

export interface LineView {
  name: string;
  kind: LineKind;
  laid: 'walked' | 'pegged' | 'taped';
  grade: number;
  length_m: number;
  downhill_side: number;
  to: string | null;
  path: PathPlace[];
  pegs: PegView[];
  along: AlongView[];
  sills: SillView[];
  section: { bed_width_m: number | null; depth_m: number | null; bank_height_m: number | null };
  holds_m3: Estimate | null;
  holds_rain_mm: number | null;
  catchment_m2: number | null;
  person_days: Estimate | null;
  empties_h: Estimate | null;
  stopped: string | null;
  unknown_because: string | null;
}

export interface SourceView {
  name: string;
  kind: string;
  into: string | null;
  at_m: number | null;
  at: Place | null;
  area_m2: number | null;
}

export interface TreeView {
  name: string;
  species: string;
  line: string | null;
  at_m: number | null;
  /** None beside a line by tape. */
  x_m: number | null;
  y_m: number | null;
  spot: string | null;
  canopy_m: number | null;
}

/** Something in the way: a fence, a building, a well, a buried pipe. */
export interface ThingView {
  name: string;
  kind: string;
  at: Place | null;
  along: Place[];
  area: Place[];
}

export interface FindingView {
  code: string;
  severity: Severity;
  title: string;
  says: string;
  why: string;
  do: string;
  ask: string;
  source: string;
  line: string | null;
  at_m: number | null;
  at: Place | null;
}

export interface FaultView {
  file: string;
  line: number | null;
  column: number | null;
  code: string;
  text: string;
}

export interface SiteView {
  revision: number;
  name: string;
  north_deg: number | null;
  bounds_m: Bounds | null;
  has_ground: boolean;
  catchments_known: boolean;
  cautions: string[];
  notes: string[];
  lines: LineView[];
  sources: SourceView[];
  trees: TreeView[];
  keep_clears: ThingView[];
  barriers: ThingView[];
  services: ThingView[];
  findings: FindingView[];
  faults: FaultView[];
  stop_findings: number;
  can_undo: boolean;
  undo_says: string | null;
  can_redo: boolean;
  redo_says: string | null;
  /** Everything that is decided, as in site.toml. */
  plan: Plan | null;
}

export interface BreakoutView {
  line: string;
  at_m: number;
  at: Place | null;
  flow_l_s: number;
  over_m3: number;
  raise_m: number;
  to: string;
  says: string;
}

export interface RainLineView {
  name: string;
  reach_m: Estimate;
  highest_z_m: number | null;
  least_bank_m: number | null;
  arrived_m3: number;
  passed_in_m3: number;
  soaked_m3: Estimate;
  passed_on_m3: number;
  empties_h: number | null;
  /** The water's surface at the peak; null where it stays dry. */
  level: { chainage_m: number; z_m: number | null }[];
  soaked_along: { chainage_m: number; l_m: number }[];
  breakouts: BreakoutView[];
  /** Share of the draws in which it breaks out. */
  breaks_out_frac: number;
  /** Numbered from 1. */
  sills: { sill: number; peak_l_s: number; over_m3: number }[];
}

export interface RainView {
  depth_mm: number;
  hours: number;
  shape: string;
  says: string;
  notes: string[];
  left_out: { name: string; because: string }[];
  members: number;
  lines: RainLineView[];
  trees: { name: string; litres: number | null; litres_range: Estimate | null }[];
  first_breakout: { line: string; at_m: number; first_h: number; depth_mm: number; says: string } | null;
  leaves_m3: number;
  came_m3: number;
  soaked_m3: number;
  stands_m3: number;
  peak_without_l_s: number;
  peak_with_l_s: number;
}

export interface StormView {
  name: string;
  depth_mm: number;
  hours: number;
  shape: string;
  says: string;
}

export interface WalkView {
  path: PathPlace[];
  length_m: number;
  band_m: number | null;
  stopped: string | null;
}

/** What the drag of a peg would give. */
export interface DraftView {
  lines: LineView[];
  catchments_known: boolean;
  rain: RainView | null;
  no_rain_because: string | null;
  stop_findings: number;
  took_ms: number;
}

/** Easting and northing, as the plan writes a place. */
export type Xy = [number, number];

/** One change of the plan. Pegs and sills are numbered from 1. */
export type Edit =
  | { do: 'draw_line'; kind: LineKind; from: Xy; toward: Xy | null; length_m: number; grade: string | null }
  | { do: 'draw_sill'; line: string; at_m: number; width_m: number }
  | {
      do: 'draw_tree';
      species: string;
      line: string | null;
      at_m: number | null;
      downhill_m: number | null;
      x_m: number | null;
      y_m: number | null;
    }
  | { do: 'add_line'; line: Record<string, unknown> }
  | { do: 'move_peg'; line: string; peg: number; x_m: number; y_m: number }
  | { do: 'cut_line'; line: string; at_m: number; name: string }
  | { do: 'join_lines'; line: string; with: string }
  | { do: 'remove'; what: Removable; name: string }
  | { do: 'rename'; what: Removable; name: string; to: string }
  | { do: 'set'; path: string[]; value: string | number | boolean | null | Xy | Xy[] | TapePeg[] }
  | { do: 'move_sill'; line: string; sill: number; at_m: number }
  | { do: 'size_sill'; line: string; sill: number; width_m: number }
  | { do: 'remove_sill'; line: string; sill: number }
  | { do: 'add_trees'; trees: Tree[] }
  | { do: 'add_source'; source: Record<string, unknown> }
  | {
      do: 'move_tree';
      tree: string;
      to: { line: string; at_m: number; downhill_m?: number } | { x_m: number; y_m: number };
    }
  | { do: 'add_barrier'; barrier: { name: string; kind: string; along: Xy[] } }
  | { do: 'add_keep_clear'; keep_clear: { name: string; kind: string; at?: Xy; along?: Xy[]; area?: Xy[] } };

export type Removable = 'line' | 'source' | 'tree' | 'barrier' | 'keep_clear';
