// Made from the program's own types: UPDATE_WIRE=1 cargo test -p hillsip wire. Not to be edited.

/** A layout that is to become the plan. */
export interface AdoptAsked {
  /** The revision of the site that the person saw. */
  base_revision: number;
  /** Under which name to keep what was the plan; none where it need not be kept aside. */
  keep_as?: string | null;
}

/** A place of the long section. */
export interface AlongView {
  /** Distance along the line from its first peg. */
  chainage_m: number;
  /** Height of the ground above the site datum. */
  ground_z_m: number;
  /** Height of the bed. */
  bed_z_m: number;
  /** Height of the settled bank. */
  bank_z_m: number;
}

/** The layouts side by side. */
export interface AlternativesView {
  /** The revision of the plan that they are compared with. */
  revision: number;
  /** What each gives, the plan first. */
  compared: CompareAnswer;
  /** Layouts that cannot be read, and why. */
  faulty: FaultyView[];
}

/** A point known both in site metres and on the map. */
export interface Anchor {
  /** Longitude of the site's zero point, degrees east. */
  longitude_deg: number;
  /** Latitude of the site's zero point, degrees north. */
  latitude_deg: number;
  /** Bearing of the site's y axis, degrees clockwise from true north. 0 where y is north. */
  bearing_deg: number;
}

/** A question. */
export type Ask = {
  ask: 'walk';
  /** First peg. */
  from: [number, number];
  /** A place towards which it sets off. */
  toward?: [number, number] | null;
  /** Fall: "level", "1:200", "1%". */
  grade?: Slope | null;
  /** How far to walk. */
  length_m: number;
} | {
  ask: 'rain';
  /** Rain of the whole storm. */
  depth_mm?: number | null;
  /** How long it lasts. */
  hours?: number | null;
  /** In what order it falls. */
  shape?: ShapeAsked | null;
  /** How wet the ground is before. */
  wet_before?: WetAsked | null;
  /** For ranges: how many draws of what is not known well, 1 to 1000; 50 where it is left out. */
  members?: number | null;
  /** For the animation: how many times, 2 to 400; 60 where it is left out. */
  times?: number | null;
} | {
  ask: 'drag';
  /** The edit. */
  edit: Asked;
  /** The rain to let fall on it; none for no rain. */
  rain?: RainAsked | null;
  /** On a large ground: work out what drains to the lines too, however long it takes; asked when the hand rests. */
  whole?: boolean;
};

/** A change of the site as a window asks for it: exactly what to write, or what a hand drew. */
export type Asked = Drawn | Edit;

/** |came − went| over what came: the worst of all members. */
export interface Balance {
  /** Of any line on any day. */
  lines_worst_day_frac: number;
  /** Of all lines over the whole run. */
  lines_whole_run_frac: number;
  /** Of any tree's soil on any day. */
  soil_worst_day_frac: number;
  /** Of any tree's soil over the whole run. */
  soil_whole_run_frac: number;
}

/** Something a line has to jump. */
export interface Barrier {
  /** What it is called. */
  name: string;
  /** fence, rock, wall or hedge. */
  kind: BarrierKind;
  /** Where it runs: [[x, y], …], site metres. */
  along: [number, number][];
}

/** What a line has to jump. */
export type BarrierKind = 'fence' | 'rock' | 'wall' | 'hedge';

/** What a site begins with. */
export type BeginAsked = {
  with: 'example';
} | {
  with: 'own';
  /** What the site is called. */
  name: string;
};

/** A rectangle in plan. */
export interface BoundsView {
  /** West edge. */
  west_m: number;
  /** South edge. */
  south_m: number;
  /** East edge. */
  east_m: number;
  /** North edge. */
  north_m: number;
}

/** A place where it spills although it was not meant to. */
export interface BreakoutView {
  /** The line. */
  line: string;
  /** Where it is worst. */
  at_m: number;
  /** Start of the stretch. */
  from_m: number;
  /** Its end. */
  to_m: number;
  /** Where in plan. */
  at: MapPlace | null;
  /** When it begins. */
  first_h: number;
  /** Greatest flow. */
  flow_l_s: number;
  /** All that goes over. */
  over_m3: number;
  /** By how much to raise the bank there. */
  raise_m: number;
  /** Share of the draws in which it happens. */
  chance_frac: number;
  /** Share of those in which the spill bites into the bank and grows. */
  washes_out_frac: number;
  /** Where the water goes. */
  to: string;
  /** In a sentence. */
  says: string;
}

/** A year of work. */
export interface CalendarAnswer {
  /** When the rain comes. */
  rain_season: RainSeason;
  /** First and last month of the wet season, 1 is January; of the cool half of the year where every month is wet. */
  wet_months: [number, number];
  /** Whether this is a guess by latitude alone. */
  guessed_by_latitude: boolean;
  /** The work, in the order in which a first year does it. */
  work: MonthWork[];
}

/** One of the four. */
export interface Case {
  /** Dry days of a mean year: unwatered, but for `as_carried`. */
  dry_days: number;
  /** To be carried in a mean year so that it is not dry. */
  litres_by_hand: number;
}

/** What the failing bank of a line takes along. */
export interface ChainReaction {
  /** The line whose bank fails: the first to break out, or else the one with the least bank left. */
  line: string;
  /** Where. */
  at_m: number;
  /** Whether it breaks out by itself in the whole storm, or its failure was only supposed. */
  by_itself: boolean;
  /** Lines that break out only because of it, in the order in which they go. */
  takes_along: string[];
  /** What leaves the site before. */
  leaves_before_m3: number;
  /** What leaves it with all of these banks gone. */
  leaves_after_m3: number;
}

/** A change that was made. */
export interface ChangedView {
  /** The revision that it made. */
  revision: number;
  /** What it did, and what went with it. */
  says: string;
  /** The site after it. */
  site: SiteView;
}

/** An ordinary year, January first: weather is drawn from it where the folder has no `weather.csv`. */
export interface Climate {
  /** Rain of each month, mm, January first. */
  rain_mm: [number, number, number, number, number, number, number, number, number, number, number, number];
  /** Days with rain in each month. */
  rain_days: [number, number, number, number, number, number, number, number, number, number, number, number];
  /** Mean of the days' least temperatures in each month, °C. */
  tmin_c: [number, number, number, number, number, number, number, number, number, number, number, number];
  /** Mean of the days' greatest temperatures in each month, °C. */
  tmax_c: [number, number, number, number, number, number, number, number, number, number, number, number];
  /** How much cooler the afternoon of a wet day is than that of a dry one, °C. Without it 0. */
  wet_cooler_c?: number | null;
  /** How far single days stray from the month's course, °C, one standard deviation. Without it 0. */
  spread_c?: number | null;
  /** Share of one day's stray that the next day keeps. Without it 0. */
  lasting_frac?: number | null;
}

/** A tree with and without what helps it: in its first three years, in the likely member. */
export interface Compare {
  /** Lines and mulch. */
  lines_and_mulch: Case;
  /** Lines and bare ground. */
  lines_only: Case;
  /** Mulch and no lines. */
  mulch_only: Case;
  /** Neither. */
  neither: Case;
  /**
   * Lines, mulch, and the rounds as they are walked: dry days that are left, and litres carried. With a limit to what
   * can be carried the dry days are what it costs.
   */
  as_carried: Case;
}

/** Several layouts side by side. */
export interface CompareAnswer {
  /** Rain of the storm that all were tried with. */
  depth_mm: number;
  /** Its length. */
  hours: number;
  /** One entry a layout, as they were given. */
  layouts: Gives[];
}

/** How far apart. */
export interface ContoursAsked {
  /**
   * From one contour to the next; a set with too many corners for a map comes at a wider interval, told in the
   * header `x-hillsip-interval-m`.
   */
  interval_m: number;
}

/** What one thing costs. */
export interface Cost {
  /** What. */
  thing: string;
  /** In the currency of the plan. */
  cost: Estimate;
}

/** Costs, in the currency of the plan. */
export interface Costs {
  /** The currency. */
  currency: string;
  /** One entry a thing that has a price. */
  things: Cost[];
  /** All of them. */
  total_cost: Estimate;
  /** What is needed and has no price. */
  without_price: string[];
}

/** What rock covers. */
export type Covers = 'landing' | 'bed';

/** One day. */
export interface Day {
  /** 1 is the first. */
  day: number;
  /** Trial trenches or whole sections. */
  stage: Stage;
  /** What is dug, in order. */
  work: Work[];
}

/** One storm. */
export interface DesignRain {
  /** Rain of the whole storm, mm. */
  depth_mm: number;
  /** How long it lasts, h. */
  hours: number;
  /** How often it comes: once in so many years. */
  once_in_years: number;
  /** The most that falls in ten minutes of it, mm. Without it three times the storm's mean rate. */
  worst_ten_minutes_mm?: number | null;
}

/** The work in its order, and what it needs. */
export interface DiggingAnswer {
  /** How many dig. */
  people: number;
  /** Lines to dig, the first first. */
  order: Turn[];
  /** Whether the days are too few for all: litres for trees ruled the order then, not the slope. */
  days_are_few: boolean;
  /** Lines that the days are too few for. */
  later: string[];
  /** Lines that are dug already, with the undug lines whose ground they spill on. */
  already_dug: Dug[];
  /** Digging of the lines in the order. */
  person_days: Estimate;
  /** Days from the first peg to the last sill, without waiting for rain. */
  needed_days: Estimate;
  /** The days one by one, at the likely pace. */
  days: Day[];
  /** What to bring in the hands. */
  tools: ToolToBring[];
  /** What the lines need. */
  supplies: Supplies;
  /** What the planting takes. */
  grove: Grove;
  /** What it costs, where the plan gives prices. */
  costs: Costs | null;
}

/** What an edit would make of the site. */
export interface DraftView {
  /** The lines that would be others than they are. */
  lines: LineView[];
  /**
   * Whether what drains to the lines was worked out for the draft. If not, what rests on it (catchments, sill flows,
   * findings, rain) is left out until it is asked for with `whole`.
   */
  catchments_known: boolean;
  /** The rain, if it was asked for and the catchments are known. */
  rain: RainView | null;
  /** Why there is no rain, if something is missing for it. */
  no_rain_because: string | null;
  /** How many findings would say stop. */
  stop_findings: number;
  /** How long the answer took here. */
  took_ms: number;
}

/** What a hand drew; what it leaves open is taken from the site. */
export type Drawn = {
  do: 'draw_line';
  /** swale, drain or chute. */
  kind: LineKind;
  /** First peg, site metres. */
  from: [number, number];
  /** A place towards which it sets off. */
  toward?: [number, number] | null;
  /** How far to walk, m. */
  length_m: number;
  /** Fall: "level", "1:200", "1%". */
  grade?: Slope | null;
} | {
  do: 'draw_sill';
  /** The line. */
  line: string;
  /** Distance of its middle from the first peg. */
  at_m: number;
  /** Length of its crest. */
  width_m: number;
} | {
  do: 'draw_tree';
  /** Species, in plain words. */
  species: string;
  /** The line it drinks from and where along it; or else a place. */
  line?: string | null;
  /** Where along that line. */
  at_m?: number | null;
  /** How far downhill of the pegs. */
  downhill_m?: number | null;
  /** East. */
  x_m?: number | null;
  /** North. */
  y_m?: number | null;
};

/** A line that is dug already. */
export interface Dug {
  /** Which line. */
  line: string;
  /** Undug lines onto whose ground it spills: its landing stands that. */
  spills_meanwhile_over: string[];
  /** Undug lines to dig first of all, because its landing does not stand what it pours. */
  pours_unsafely_on: string[];
}

/** One change of the plan. */
export type Edit = {
  do: 'move_peg';
  /** The line. */
  line: string;
  /** Which peg, 1 for the first. */
  peg: number;
  /** East. */
  x_m: number;
  /** North. */
  y_m: number;
} | {
  do: 'fix_pegs';
  /** The line. */
  line: string;
  /** Where its pegs stand, in walking order. */
  pegs: [number, number][];
} | {
  do: 'add_line';
  /** The line. */
  line: Line;
} | {
  do: 'cut_line';
  /** The line, which keeps the part from its first peg. */
  line: string;
  /** Where to cut, m from the first peg. */
  at_m: number;
  /** Name of the part beyond. */
  name: string;
  /** For a walked line: where the part beyond starts and towards what it goes. */
  onward?: Onward | null;
} | {
  do: 'join_lines';
  /** The line that stays, with its first peg. */
  line: string;
  /** The line that continues it and goes. */
  with: string;
} | {
  do: 'remove';
  /** Which kind of thing. */
  what: Thing;
  /** Its name. */
  name: string;
  /** For a line: the places of the trees that drink from it, so that they stay where they stand. */
  trees?: TreePlace[];
} | {
  do: 'rename';
  /** Which kind of thing. */
  what: Thing;
  /** Its name. */
  name: string;
  /** Its new name. */
  to: string;
} | {
  do: 'set';
  /** Where. */
  path: string[];
  /** What; null takes the key out. */
  value: unknown;
} | {
  do: 'add_sill';
  /** The line. */
  line: string;
  /** The sill. */
  sill: Sill;
} | {
  do: 'move_sill';
  /** The line. */
  line: string;
  /** Which, 1 for the first in the file. */
  sill: number;
  /** Where its middle comes to lie, m from the first peg. */
  at_m: number;
} | {
  do: 'size_sill';
  /** The line. */
  line: string;
  /** Which, 1 for the first in the file. */
  sill: number;
  /** Length of its crest, m; as it was, where it is left out. */
  width_m?: number | null;
  /** How far the crest lies below the settled bank, m; as it was, where it is left out. */
  below_bank_m?: number | null;
} | {
  do: 'remove_sill';
  /** The line. */
  line: string;
  /** Which, 1 for the first in the file. */
  sill: number;
} | {
  do: 'add_source';
  /** The source. */
  source: SourceAsked;
} | {
  do: 'add_soil';
  /** The soil. */
  soil: SoilAsked;
} | {
  do: 'add_tree';
  /** The tree. */
  tree: TreeAsked;
} | {
  do: 'add_trees';
  /** The trees. */
  trees: TreeAsked[];
} | {
  do: 'move_tree';
  /** The tree. */
  tree: string;
  /** To where. */
  to: TreeSpot;
} | {
  do: 'add_barrier';
  /** The barrier. */
  barrier: Barrier;
} | {
  do: 'add_keep_clear';
  /** The place. */
  keep_clear: KeepClear;
};

/** A change that is asked for. */
export interface EditAsked {
  /** The revision of the site that the person saw. */
  base_revision: number;
  /** What to change. */
  edit: Asked;
}

export interface Estimate {
  /** The least it may be. */
  low: number;
  /** The most likely value. */
  likely: number;
  /** The most it may be. */
  high: number;
}

/** A number, or a range of what it may be: low ≤ likely ≤ high. */
export type EstimateAsked = number | {
  /** The least it may be. */
  low: number;
  /** The most likely value. */
  likely: number;
  /** The most it may be. */
  high: number;
};

/** What is wrong with a file. */
export interface FaultView {
  /** The file. */
  file: string;
  /** Line, from 1. */
  line: number | null;
  /** Column in characters, from 1. */
  column: number | null;
  /** Which kind of fault. */
  code: string;
  /** What was found, and what to do. */
  text: string;
}

/** A layout that cannot be read. */
export interface FaultyView {
  /** What it is called. */
  name: string;
  /** What is wrong with it. */
  faults: FaultView[];
}

/** The field book. */
export interface FieldBookView {
  /** The revision of the site that it belongs to. */
  revision: number;
  /** What holds, in the order in which it was first written down. */
  entries: SeenView[];
  /** Kinds of things that can be seen. */
  kinds: SeenKindView[];
}

/** Something wrong or doubtful, in words. */
export interface FindingView {
  /** Which finding. */
  code: string;
  /** stop, warn or note. */
  severity: SeverityView;
  /** A few words that head it. */
  title: string;
  /** What is found. */
  says: string;
  /** Why it matters. */
  why: string;
  /** What to do. */
  do: string;
  /** Whom to ask. */
  ask: string;
  /** The publication behind the limit, or "common practice". */
  source: string;
  /** Which line. */
  line: string | null;
  /** Where along it. */
  at_m: number | null;
  /** Where in plan. */
  at: MapPlace | null;
  /** Which other thing. */
  thing: string | null;
}

/** The first of all breakouts. */
export interface FirstBreakout {
  /** The line. */
  line: string;
  /** Where along it. */
  at_m: number;
  /** When, from the first drop. */
  first_h: number;
  /** Rain that has fallen by then. */
  depth_mm: number;
  /** In a sentence. */
  says: string;
}

/** A share of one: half is 0.5. */
export type Fraction = number;

/** Water at some times, for the animation. */
export interface FramesView {
  /** Times from the first drop. */
  hours: number[];
  /** Rain so far at each. */
  rain_mm: number[];
  /** Mean rate of rain from each time to the next; 0 at the last. */
  rain_mm_h: number[];
  /** The lines. */
  lines: LineFrames[];
}

/** What one layout gives. */
export interface Gives {
  /** What it is called; empty for the one in the plan. */
  name: string;
  /** Swales, drains, chutes and pipes. */
  lines: number;
  /** Length of all of them. */
  length_m: number;
  /** What they hold before the first spills. */
  holds_m3: number;
  /** Digging of all lines. */
  person_days: Estimate;
  /** Undisturbed soil to dig. */
  cut_m3: number;
  /** Findings that say stop. */
  stop_findings: number;
  /** Findings that warn. */
  warn_findings: number;
  /** What the storm does; none where it could not be worked through. */
  storm: InStorm | null;
  /** Why it could not. */
  no_storm_because: string | null;
}

/**
 * What the ground is known from: one of a raster, points, or level books with places. Paths are relative to
 * the site folder.
 */
export interface GroundFiles {
  /** A raster of heights: GeoTIFF or ESRI ASCII grid. */
  raster?: string | null;
  /** A table of points: x_m, y_m, z_m, and line for points of a breakline. */
  points?: string | null;
  /** Level books; with `points` they give heights to points named in both. */
  books?: string[];
  /** How well heights are known, m, one standard error. */
  height_error_m?: number | null;
}

/** What the planting takes. */
export interface Grove {
  /** Trees by species and variety, in the order of the plan. */
  kinds: TreeKind[];
  /** All of them. */
  trees: number;
  /** More to have in reserve, whole trees. */
  spare_trees: Estimate;
  /** One for each tree: set before the hole is dug. */
  stakes: number;
  /** Nurse plants round the trees. Look at your country's list of invasive plants first. */
  nurse_plants: Estimate;
  /** Mulch in rings that leave the bark bare. */
  mulch_m3: Estimate;
  /** Water at planting. */
  planting_water_l: Estimate;
  /** Planting, each tree staked, watered and mulched. */
  planting_person_days: Estimate;
  /** Holes one person digs in a day, stony to light soil. */
  holes_per_person_day: Estimate;
  /** Bare seedlings one person sets in a day. */
  bare_seedlings_per_person_day: Estimate;
}

/** Who digs. */
export interface HandsAsked {
  /** How many people, 1 to 100. */
  people?: number;
  /** The days they have; as many as it takes where it is left out. */
  days?: number | null;
}

/** Where. */
export interface HeightAsked {
  /** East, site metres. */
  x: number;
  /** North, site metres. */
  y: number;
}

/** The ground at a place; all none where it was not measured. */
export interface HeightView {
  /** Height above the site datum. */
  z_m: number | null;
  /** Slope, rise over run. */
  slope: number | null;
  /** The way water takes from there. */
  water_way: MapPlace[];
}

/** What the storm does in one layout. */
export interface InStorm {
  /** Trees of the plan that stand at a line. */
  trees: number;
  /** Trees of the plan that stand at none, or at one that could not be worked through. */
  trees_without_line: number;
  /** Of the trees at lines, those beside which less than a litre soaks into the metre of line. */
  trees_dry: number;
  /** What soaks into the metre of line beside each tree, summed over the trees. */
  beside_trees_l: number;
  /** The same beside the tree that gets least. */
  beside_driest_tree_l: number | null;
  /** All that soaks in. */
  soaked_m3: number;
  /** All that leaves the works and what runs past them. */
  leaves_m3: number;
  /** Greatest flow that leaves. */
  peak_leaves_l_s: number;
  /** Places where water goes over a bank although it was not meant to. */
  breakouts: number;
  /** All that goes over banks there. */
  over_banks_m3: number;
  /** Where the least bank is left above the water. */
  least_freeboard: LeastBank | null;
  /** Sills that must pass more than they can before a bank goes under. */
  sills_overtaxed: number;
}

/** What air-dry crumbs did in rain water, not stirred. */
export type JarTest = 'holds' | 'slakes' | 'clouds';

/** How a work stands. */
export type JobState = 'running' | 'done' | 'failed' | 'cancelled';

/** A work as it is shown. */
export interface JobView {
  /** Its number. */
  id: number;
  /** What it is: `rain-range`, `rain-steps` … */
  kind: string;
  /** The revision of the site that it is about. */
  revision: number;
  /** How it stands. */
  state: JobState;
  /** How much of it is done. */
  done_frac: number;
  /** Why it could not be done. */
  says: string | null;
  /** Its answer, as the address that began it tells. */
  answer: unknown;
}

/** A name for the plan as it is. */
export interface KeepAsked {
  /** 1 to 40 letters, digits, spaces and hyphens. */
  name: string;
}

/** Something water must keep away from. */
export interface KeepClear {
  /** What it is called. */
  name: string;
  /** building, septic, well, boundary, road, service, steep drop or slip. */
  kind: KeepClearKind;
  /** One place: [x, y], site metres. */
  at?: [number, number] | null;
  /** Where it runs, for a boundary, road, service or drop: [[x, y], …]. */
  along?: [number, number][] | null;
  /** What it covers, for a building or field: a ring of places. */
  area?: [number, number][] | null;
  /** Your local distance, m, where it differs from the usual. */
  distance_m?: number | null;
}

/** What water must keep away from. */
export type KeepClearKind = 'building' | 'septic' | 'well' | 'boundary' | 'road' | 'service' | 'steep drop' | 'slip';

/** How the plan says where a line runs. */
export type Laid = 'walked' | 'pegged' | 'taped';

/** The least bank above the water. */
export interface LeastBank {
  /** Bank left above the water; below 0 water goes over it. */
  freeboard_m: number;
  /** On which line that is. */
  line: string;
}

/** A tree that could not be run. */
export interface LeftOut {
  /** Which. */
  tree: string;
  /** Why. */
  because: string;
}

/** A line that was left out. */
export interface LeftOutView {
  /** Its name. */
  name: string;
  /** Why. */
  because: string;
}

/** The water's surface at one place. */
export interface LevelView {
  /** Middle of the piece. */
  chainage_m: number;
  /** Height of the water above the site datum; none where it stays dry. */
  z_m: number | null;
}

/**
 * One line of the works. Where it runs is given in one of three ways: `pegs` (places), `from` (a start from
 * which it is walked over the ground) or `tape` (distances and heights, no places needed).
 */
export interface Line {
  /** What it is called on the papers. Other keys name it by this. */
  name: string;
  /** swale, drain, chute or pipe. */
  kind: LineKind;
  /** Where its pegs stand, in walking order: [[x, y], …], site metres. */
  pegs?: [number, number][] | null;
  /** First peg of a line to be walked over the ground, site metres. */
  from?: [number, number] | null;
  /** A place towards which the walk sets off; without it uphill stays on the left hand. */
  toward?: [number, number] | null;
  /** How far to walk, m. */
  length_m?: number | null;
  /** Fall along the line: "level", "1:200", "1%". A swale is level unless said otherwise. */
  grade?: Slope | null;
  /** Distances along a tape and heights by the tool, where nothing else is known. */
  tape?: TapePeg[] | null;
  /** Slope of the ground across the line; needed with `tape`, else read from the ground. */
  cross_slope?: Slope | null;
  /** Ground that drains to the line, m²; needed with `tape`, else read from the ground. */
  catchment_m2?: number | null;
  /** Width of the trench's bed, m. */
  bed_width_m?: number | null;
  /** Depth of the trench below the ground at the pegs, which stand on its downhill lip, m. */
  depth_m?: number | null;
  /** Batter of the trench's sides, metres out for each metre up. Without it 1. */
  cut_batter?: number | null;
  /** Undisturbed ledge between the trench's lip and the bank, m. Without it 0.25. */
  ledge_m?: number | null;
  /** Height of the settled bank above the ground at the pegs, m. 0 for a line without a bank. */
  bank_height_m?: number | null;
  /** Width of the bank's top, m. Without it 0.3. */
  bank_top_m?: number | null;
  /** Batter of the bank's faces, metres out for each metre up. Without it 2. */
  bank_batter?: number | null;
  /** What covers the bed: bare, sown, grass or rock. Without it bare. */
  lining?: Lining | null;
  /** Inner width of a pipe, m. */
  pipe_diameter_m?: number | null;
  /**
   * What takes the water at the end of a drain, chute or pipe: the name of a line, or "ground" for safe
   * ground. A swale ends closed; its water leaves over its sills.
   */
  to?: string | null;
  /** Where it is meant to spill. */
  sill?: Sill[];
}

/** Water in one line at those times. */
export interface LineFrames {
  /** Its name. */
  name: string;
  /** Middles of its pieces. */
  chainage_m: number[];
  /** At each time the level in each piece, above the site datum; the bed where it is dry. */
  z_m: number[][];
  /** At each time the flow over each sill. */
  sill_l_s: number[][];
}

/** What a line is for. */
export type LineKind = 'swale' | 'drain' | 'chute' | 'pipe';

/** What the years bring to one line: m³ of a mean year. */
export interface LineSeason {
  /** Its name. */
  line: string;
  /** From its own ground, surfaces and seeps, and the rain on it. */
  arrived_m3: Estimate;
  /** From other lines. */
  passed_in_m3: Estimate;
  /** Soaked in along it. */
  soaked_m3: Estimate;
  /** Passed to other lines. */
  passed_on_m3: Estimate;
  /** Left for the ground below the works. */
  left_m3: Estimate;
  /** Days of a mean year on which water soaks in it. */
  wet_days: Estimate;
  /** Days of a mean year on which it passes something on. */
  spill_days: Estimate;
}

/** At which rain one line does what; none where it does not up to the whole storm. */
export interface LineSteps {
  /** Its name. */
  line: string;
  /** Water stands to within a centimetre of the lowest sill or bank. */
  fills_mm: number | null;
  /** A litre has gone over a sill. */
  spills_mm: number | null;
  /** A litre has gone over the bank at some place. */
  breaks_out_mm: number | null;
}

/** A line. */
export interface LineView {
  /** Its name. */
  name: string;
  /** swale, drain, chute or pipe. */
  kind: LineKind;
  /** How the plan says where it runs. */
  laid: Laid;
  /** Fall along it, rise over run. */
  grade: number;
  /** From the first peg to the last. */
  length_m: number;
  /** Which side is downhill as one walks from the first peg: +1 left, −1 right. */
  downhill_side: number;
  /** What takes the water at its end; none for a swale. */
  to: string | null;
  /** The line in plan; empty for a line by tape. */
  path: PathPlace[];
  /** Its pegs; a line by tape has them without places. */
  pegs: PegView[];
  /** Its long section; empty where it is not known. */
  along: AlongView[];
  /** Its sills, in the order of the plan. */
  sills: SillView[];
  /** Its usual section. */
  section: SectionView;
  /** What it holds when it is full; none for what holds nothing. */
  holds_m3: Range | null;
  /** Rain that fills it. */
  holds_rain_mm: number | null;
  /** Ground that drains to it and to nothing above it. */
  catchment_m2: number | null;
  /** Days of one person's digging. */
  person_days: Range | null;
  /** Hours from full to empty by soaking alone. */
  empties_h: Range | null;
  /** Whether its levels were taken along the dug line. */
  as_dug: boolean;
  /** Why its walk ended early; none where it did not. */
  stopped: string | null;
  /** Why its section is not known; none where it is. */
  unknown_because: string | null;
}

/** What covers a bed or a landing. */
export type Lining = 'bare' | 'sown' | 'grass' | 'rock';

/** A place in plan. */
export interface MapPlace {
  /** East. */
  x_m: number;
  /** North. */
  y_m: number;
}

/** One kind of work and its months. */
export interface MonthWork {
  /** What. */
  task: Task;
  /** First month, 1 is January. */
  from_month: number;
  /** Last month; before the first where it runs over the new year. */
  to_month: number;
  /** What to mind. */
  note: string;
  /** Where that comes from. */
  source: string;
}

/** News for every window. */
export type News = {
  event: 'changed';
  /** Its revision now. */
  revision: number;
  /** What changed. */
  says: string;
} | {
  event: 'settled';
  /** Of which revision. */
  revision: number;
} | {
  event: 'job';
  /** Which. */
  id: number;
  /** How much of it is done. */
  done_frac: number;
  /** running, done, failed or cancelled. */
  state: JobState;
  /** Why it failed, if it did. */
  says: string | null;
};

/** How the part of a walked line beyond a cut goes on. */
export interface Onward {
  /** Its first peg, site metres. */
  from: [number, number];
  /** A place towards which it sets off, site metres. */
  toward: [number, number];
}

/** An opinion of a licensed person, on record. */
export interface Opinion {
  /** What was asked: the code of the finding it answers, such as "ground-too-steep". */
  about: string;
  /** Who gave it and in what capacity. */
  by: string;
  /** Day it was given, "2026-11-20". */
  date: string;
  /** The line it is about; without it the whole site. */
  line?: string | null;
  /** Steepest ground it allows, where it sets a limit. */
  up_to?: Slope | null;
}

/** A place where water leaves the works. */
export interface OutletView {
  /** The line it leaves. */
  line: string;
  /** sill, bank or end. */
  by: string;
  /** Where along it. */
  at_m: number;
  /** Where in plan. */
  at: MapPlace | null;
  /** All that leaves. */
  left_m3: number;
  /** Greatest flow. */
  peak_l_s: number;
}

/** A paper that can be drawn. */
export interface PaperView {
  /** Its name, as it is asked for: `plan` for `plan.svg`. */
  name: string;
  /** What is on it. */
  title: string;
  /** Width of the paper. */
  width_mm: number;
  /** Its height. */
  height_mm: number;
}

/** A place on a line. */
export interface PathPlace {
  /** East. */
  x_m: number;
  /** North. */
  y_m: number;
  /** Distance along the line from its first peg. */
  chainage_m: number;
}

/** A peg. */
export interface PegView {
  /** East; none for a line by tape. */
  x_m: number | null;
  /** North. */
  y_m: number | null;
  /** Height of the ground there above the site datum. */
  z_m: number | null;
  /** Distance along the line from its first peg. */
  chainage_m: number;
  /** How far to either side the true line may lie. */
  band_m: number | null;
  /** How much lower it is to stand than the peg before, mm: the reading to aim for. */
  reading_mm: number;
  /** From the ground down to the bed. */
  cut_m: number;
  /** Height to throw the loose bank up to. */
  bank_build_m: Range;
  /** Whether a barrier lies between the peg before and this one. */
  after_jump: boolean;
  /** Sills and trees near it. */
  notes: string[];
}

/** The days of a run. */
export interface Period {
  /** First day. */
  from: string;
  /** Last day. */
  to: string;
  /** How many. */
  days: number;
  /** Years of twelve months from the first day that are whole. */
  whole_years: number;
  /** Whether the weather was drawn by chance and never happened. */
  drawn: boolean;
  /** Rain of a mean year. */
  rain_per_year_mm: number;
  /** Reference evapotranspiration of a mean year. */
  eto_per_year_mm: number;
}

/** Of a photograph. */
export interface PhotoAsked {
  /** The day it was taken, 2026-11-25. */
  date: string;
}

/** A photograph that was kept. */
export interface PhotoKept {
  /** Its name, for the field book. */
  photo: string;
}

/** A line that picks up a share of a source. */
export interface PickUp {
  /** The line. */
  line: string;
  /** Where along it the water arrives, m from the first peg. Without it spread over the line. */
  at_m?: number | null;
  /**
   * Share of the source's water that it picks up. All shares of a source together are at most 1; what is left runs
   * past the works.
   */
  share_frac: Fraction;
}

/** Where the site lies. */
export interface Place {
  /** Latitude, degrees north; negative in the south. */
  latitude_deg: number;
  /** Height above the sea, m. */
  elevation_m: number;
  /**
   * Projected coordinate system of x and y, as an EPSG code such as "EPSG:25830". Without it x and y are
   * site metres from a corner of your choice.
   */
  crs?: string | null;
  /** Where site metres lie on the map, for sites without `crs`. */
  anchor?: Anchor | null;
}

/** One tree. */
export interface PlacedTree {
  /** Number of its stake, in walking order. */
  stake: number;
  /** What it is called. */
  tree: string;
  /** Species and, where the plan names one, variety. */
  species: string;
  /** The line it drinks from. */
  line: string | null;
  /** Where along that line. */
  chainage_m: number | null;
  /** How far downhill of the pegs; negative uphill. */
  downhill_m: number | null;
  /** East and north, where the site has places. */
  at_m: [number, number] | null;
  /** Its spot; none without a line, or where the line's section is not known. */
  spot: Spot | null;
  /** Ground there above the water when the line stands full. */
  above_full_water_m: number | null;
  /** Width of the grown crown; none for a species that is not in the list. */
  width_m: Estimate | null;
  /** Whether the spot suits it; none where spot or species is not known. */
  verdict: Verdict | null;
  /** What stands within its grown width. */
  too_near: TooNear[];
}

/** The plan of a site: `site.toml`. */
export interface Plan {
  /** What the site is called. */
  name: string;
  /** Where in the world it lies. */
  place: Place;
  /** What the ground is known from. */
  ground?: GroundFiles | null;
  /** What levels are set with. */
  tool: Tool;
  /** The soils. */
  soil?: Soil[];
  /** The rain to be ready for. */
  rain: Rain;
  /** The ordinary year, for drawing weather where there is no record. */
  climate?: Climate | null;
  /** Where water comes from. */
  source?: Source[];
  /** The works, in the order in which water meets them. */
  line?: Line[];
  /** The trees. */
  tree?: Tree[];
  /** What lines have to jump. */
  barrier?: Barrier[];
  /** What water must keep away from. */
  keep_clear?: KeepClear[];
  /** Opinions of licensed people that are on record. */
  opinion?: Opinion[];
  /** What things cost here, for the shopping list. */
  prices?: Prices | null;
}

/** Every tree's place, in walking order. */
export interface PlantingAnswer {
  /** The trees. */
  trees: PlacedTree[];
}

/** What things cost here: each may be left out, and is a number or a range. All in one currency. */
export interface Prices {
  /** The currency, as you write it behind a number: EUR, KES. */
  currency: string;
  /** One person's work for a day. Leave it out where the work is your own. */
  work_per_person_day?: Estimate | null;
  /** One tree, ready to plant. */
  tree_each?: Estimate | null;
  /** One nurse plant. */
  nurse_plant_each?: Estimate | null;
  /** One stake. */
  stake_each?: Estimate | null;
  /** Mulch, a cubic metre, brought to the site. */
  mulch_per_m3?: Estimate | null;
  /** Rock, a cubic metre as laid, brought to the site. */
  rock_per_m3?: Estimate | null;
  /** Seed for the banks, a kilogram. */
  seed_per_kg?: Estimate | null;
  /** Straw for the banks, a kilogram. */
  straw_per_kg?: Estimate | null;
}

/** The rain to be ready for. */
export interface Rain {
  /** The storm that sills must pass. */
  design: DesignRain;
  /** The official table of depths: a CSV of durations and return periods. */
  table?: string | null;
  /** A daily record: a CSV with date and rain_mm. */
  record?: string | null;
}

/** A storm as a window asks for it; what is left out is the plan's. */
export interface RainAsked {
  /** Rain of the whole storm. */
  depth_mm?: number | null;
  /** How long it lasts. */
  hours?: number | null;
  /** In what order it falls. */
  shape?: ShapeAsked | null;
  /** How wet the ground is before. */
  wet_before?: WetAsked | null;
  /** For ranges: how many draws of what is not known well, 1 to 1000; 50 where it is left out. */
  members?: number | null;
  /** For the animation: how many times, 2 to 400; 60 where it is left out. */
  times?: number | null;
}

/** What it does along one line. */
export interface RainLineView {
  /** Its name. */
  name: string;
  /** How far along it the water gets. */
  reach_m: Range;
  /** When it gets there. */
  reach_h: Range | null;
  /** Highest level of the water above the site datum; none for a pipe. */
  highest_z_m: number | null;
  /** Least bank left above the water; below 0 it goes over. */
  least_bank_m: number | null;
  /** What comes from its own ground, surfaces and seeps, and the rain on it. */
  arrived_m3: number;
  /** What other lines pass to it. */
  passed_in_m3: number;
  /** What soaks in along it. */
  soaked_m3: Range;
  /** What still stands in it at the end. */
  stands_m3: number;
  /** What goes on to other lines. */
  passed_on_m3: number;
  /** What leaves it for the ground below. */
  left_m3: number;
  /** Hours from the end of the rain until it is empty. */
  empties_h: number | null;
  /** The water's surface at its highest; none where it stays dry. */
  level: LevelView[];
  /** What soaks in along it. */
  soaked_along: SoakedView[];
  /** Where it spills although it was not meant to. */
  breakouts: BreakoutView[];
  /** Its sills, in the order of the plan. */
  sills: SillRainView[];
  /** Share of the draws in which it breaks out. */
  breaks_out_frac: number;
}

/** When the rain comes. */
export type RainSeason = 'winter' | 'summer' | 'all-year';

/** One storm over the works. */
export interface RainView {
  /** All of its rain. */
  depth_mm: number;
  /** Its length. */
  hours: number;
  /** How it falls, in words. */
  shape: string;
  /** What it does, in a sentence or two. */
  says: string;
  /** What the reader should know of the storm. */
  notes: string[];
  /** How many draws of what is not known well are behind the ranges; 1 is the plan as drawn. */
  members: number;
  /** The lines that were worked through. */
  lines: RainLineView[];
  /** Lines that could not be, and why. */
  left_out: LeftOutView[];
  /** Trees at lines. */
  trees: TreeRainView[];
  /** Where it breaks out first; none where it does not. */
  first_breakout: FirstBreakout | null;
  /** All that comes to the works. */
  came_m3: number;
  /** All that soaks in along them. */
  soaked_m3: number;
  /** What still stands in them at the end. */
  stands_m3: number;
  /** All that leaves them. */
  leaves_m3: number;
  /** Greatest flow off the same ground without the works. */
  peak_without_l_s: number;
  /** Greatest flow that leaves the works. */
  peak_with_l_s: number;
  /** Where water leaves. */
  outlets: OutletView[];
  /** What came in less what soaked, stands and left, over what came in. */
  balance_error_frac: number;
}

/** A number not known well. Of one run all three are the same. */
export interface Range {
  /** Nine in ten are above. */
  low: number;
  /** The middle. */
  likely: number;
  /** Nine in ten are below. */
  high: number;
}

/** How a seep answers past rain: a share of what sinks above it comes out later and falls off by halves. */
export interface Rises {
  /**
   * The source whose water sinks into the ground above it: of a hillside the rain that does not run off, of a hard
   * surface or a seep what no line picks up.
   */
  fed_by?: string | null;
  /** Or the ground above it on which the rain falls, m². */
  area_m2?: number | null;
  /** Share of that water which comes out here (0 to 1); the rest goes deeper or into the air. */
  share_frac: Estimate;
  /** Days from the rain to the rise. */
  delay_days: number;
  /** Days in which what it gives above its steady flow falls to half. */
  halves_in_days: number;
}

/** How a seep answers past rain: a share of what sinks above it comes out later and falls off by halves. */
export interface RisesAsked {
  /**
   * The source whose water sinks into the ground above it: of a hillside the rain that does not run off, of a hard
   * surface or a seep what no line picks up.
   */
  fed_by?: string | null;
  /** Or the ground above it on which the rain falls, m². */
  area_m2?: number | null;
  /** Share of that water which comes out here (0 to 1); the rest goes deeper or into the air. */
  share_frac: EstimateAsked;
  /** Days from the rain to the rise. */
  delay_days?: number;
  /** Days in which what it gives above its steady flow falls to half. */
  halves_in_days: number;
}

/** Rock to lay. */
export interface Rock {
  /** On which line. */
  line: string;
  /** The sill's place; none for the bed of a whole line. */
  at_m: number | null;
  /** What it covers. */
  covers: Covers;
  /** Middle size of the stones. */
  d50_mm: number;
  /** Thickness of the layer. */
  layer_m: number;
  /** Ground it covers, along the slope. */
  area_m2: number;
  /** Rock as laid. */
  rock_m3: number;
}

/** A walk with water, tree by tree. */
export interface Round {
  /** Day. */
  date: string;
  /** All of it. */
  litres: number;
  /** The trees that get some, in walking order, each with its litres. */
  trees: RoundTree[];
}

/** A tree of a round. */
export interface RoundTree {
  /** Which. */
  tree: string;
  /** How much. */
  litres: number;
}

/** What the years bring to every tree. */
export interface SeasonAnswer {
  /** The days that were lived through. */
  period: Period;
  /** Draws of what is not known well. */
  members: number;
  /** What they were drawn by. */
  seed: number;
  /** Days in a row that make a dry spell. */
  dry_spell_days: number;
  /** One entry a tree, in the order of the plan. */
  trees: TreeSeason[];
  /** One entry a line that holds or carries water, in the order of the plan. */
  lines: LineSeason[];
  /** Rounds of carrying water in the first three summers of the trees, in their order. */
  rounds: Round[];
  /** Litres of those rounds, summer by summer. */
  summers: Summer[];
  /** Trees that could not be run, and why. */
  left_out: LeftOut[];
  /** How well the water is accounted for. */
  balance: Balance;
  /** What was assumed, drawn or taken otherwise than the plan says. */
  notes: string[];
}

/** Which seasons. */
export interface SeasonAsked {
  /** So many years drawn by chance from the ordinary year instead of the record, 1 to 200. */
  years?: number | null;
  /** How many draws of what is not known well, 1 to 1000; 12 where it is left out. */
  members?: number | null;
  /** The most water that can be carried in a week, L; as much as is wanted where it is left out. */
  litres_per_week?: number | null;
}

/** A line's usual section, as decided. */
export interface SectionView {
  /** Width of the bed. */
  bed_width_m: number | null;
  /** Depth of the trench below the pegs. */
  depth_m: number | null;
  /** Height of the settled bank above the pegs. */
  bank_height_m: number | null;
}

/** Something seen that is to be written down. */
export interface SeenAsked {
  /** What was seen. */
  seen: SeenViewAsked;
  /** Whether it strikes out what was written under its id. */
  struck?: boolean;
}

/** A kind of thing that can be seen. */
export interface SeenKindView {
  /** As an entry names it. */
  kind: string;
  /** Unit of its figure; none where it has no figure. */
  unit: string | null;
}

/** One thing seen. */
export interface SeenView {
  /** Tells it from all others. Left out, a new one is made. */
  id: string;
  /** The day, 2026-11-25. */
  date: string;
  /** The clock of the place, 14:05; empty where it is not known. */
  time: string;
  /** What: rain, water edge, breakout … */
  kind: string;
  /** At which line. */
  line: string | null;
  /** How far along it. */
  chainage_m: number | null;
  /** Or at which place: east. */
  x_m: number | null;
  /** North. */
  y_m: number | null;
  /** Or at which tree. */
  tree: string | null;
  /** The figure, in the unit of its kind. */
  value: number | null;
  /** In the words of who saw it. */
  note: string;
  /** Name of a photograph. */
  photo: string | null;
  /** Who saw it. */
  who: string | null;
}

/** One thing seen. */
export interface SeenViewAsked {
  /** Tells it from all others. Left out, a new one is made. */
  id?: string;
  /** The day, 2026-11-25. */
  date: string;
  /** The clock of the place, 14:05; empty where it is not known. */
  time?: string;
  /** What: rain, water edge, breakout … */
  kind: string;
  /** At which line. */
  line?: string | null;
  /** How far along it. */
  chainage_m?: number | null;
  /** Or at which place: east. */
  x_m?: number | null;
  /** North. */
  y_m?: number | null;
  /** Or at which tree. */
  tree?: string | null;
  /** The figure, in the unit of its kind. */
  value?: number | null;
  /** In the words of who saw it. */
  note?: string;
  /** Name of a photograph. */
  photo?: string | null;
  /** Who saw it. */
  who?: string | null;
}

/** How much a finding weighs. */
export type SeverityView = 'stop' | 'warn' | 'note';

/** In what order rain falls. */
export type ShapeAsked = 'even' | 'blocks' | 'scs-i' | 'scs-ia' | 'scs-ii' | 'scs-iii';

/** A level place where a line is meant to spill. */
export interface Sill {
  /** Distance of its middle along the line from the first peg, m. */
  at_m: number;
  /** Length of its level crest along the bank, m. */
  width_m: number;
  /** How far its crest lies below the settled bank, m. */
  below_bank_m: number;
  /** What takes the water: the name of a line, or "ground" for safe ground. */
  to: string;
  /** What covers the landing below: bare, sown, grass or rock. Without it grass. */
  landing?: Lining | null;
  /** Breadth of the crest along the flow, m. Without it the bank's top. */
  crest_breadth_m?: number | null;
  /** Whether the sill stands on ground that was never dug. Without it unknown. */
  on_firm_ground?: boolean | null;
}

/** What passes over a sill. */
export interface SillRainView {
  /** Which, 1 for the first in the plan. */
  sill: number;
  /** Greatest flow. */
  peak_l_s: number;
  /** Greatest depth of water above its crest. */
  head_m: number;
  /** All that passes. */
  over_m3: number;
  /** Greatest flow over what it passes before the bank goes under. */
  use_frac: number | null;
}

/** A sill. */
export interface SillView {
  /** Distance of its middle along the line. */
  at_m: number;
  /** Length of its level crest. */
  width_m: number;
  /** How far its crest lies below the settled bank. */
  below_bank_m: number;
  /** Height of its crest above the site datum. */
  crest_z_m: number | null;
  /** What takes the water. */
  to: string;
  /** Where it stands. */
  at: MapPlace | null;
  /** The way its water takes over the ground. */
  spill_path: MapPlace[];
  /** The flow it must pass in the design storm. */
  design_l_s: number | null;
  /** Bank left above that water. */
  freeboard_m: number | null;
  /** What should be left. */
  freeboard_wanted_m: number;
  /** Length of crest that leaves it. */
  width_needed_m: number | null;
}

/** The site at one revision. */
export interface SiteView {
  /** Grows by one at each change, from here or from outside. */
  revision: number;
  /** What the site is called. */
  name: string;
  /** Bearing of the map's up, degrees clockwise from true north; none where it is not known. */
  north_deg: number | null;
  /** What the map has to show; none for a site without places. */
  bounds_m: BoundsView | null;
  /** Whether anything is known of the ground's shape. */
  has_ground: boolean;
  /**
   * Whether what drains to each line, and what follows from it, is known for the lines as they lie now; on a large
   * ground it follows a moment after a change.
   */
  catchments_known: boolean;
  /** The lines, in the order of the plan. */
  lines: LineView[];
  /** Where water comes from. */
  sources: SourceView[];
  /** The trees. */
  trees: TreeView[];
  /** What water keeps away from, buried services not among them. */
  keep_clears: ThingView[];
  /** What lines have to jump. */
  barriers: ThingView[];
  /** Buried pipes and cables. */
  services: ThingView[];
  /** What is wrong or doubtful, the gravest first. */
  findings: FindingView[];
  /** How many of them say stop. */
  stop_findings: number;
  /** What was understood and done while the files were read. */
  notes: string[];
  /** What comes before all digging. */
  cautions: string[];
  /** What is wrong with the files as they are now; the rest of this view is then the last that could be read. */
  faults: FaultView[];
  /** Whether a step can be taken back. */
  can_undo: boolean;
  /** Which. */
  undo_says: string | null;
  /** Whether a step that was taken back can be made again. */
  can_redo: boolean;
  /** Which. */
  redo_says: string | null;
  /** Everything that is decided, as in site.toml. */
  plan: Plan | null;
}

/** A slope with its unit: "1:200", "0.5%", "12deg" or "level". */
export type Slope = string;

/** What soaks in at one place. */
export interface SoakedView {
  /** Middle of the piece. */
  chainage_m: number;
  /** Litres for each metre of line. */
  l_m: number;
}

/** A soil. */
export interface Soil {
  /** What it is called. */
  name: string;
  /** Texture by feel or jar. */
  texture: SoilTexture;
  /**
   * Rate at which water soaks in once the ground is wet, mm/h, as you think without the tests in soak/, which narrow
   * it. Without it the texture's usual range.
   */
  soak_mm_h?: Estimate | null;
  /** Depth to rock, pan or water, m. */
  depth_m?: number | null;
  /** What crumbs did in rain water: holds, slakes or clouds. */
  jar_test?: JarTest | null;
  /** Share of stones and gravel by volume, as seen on the face of a pit. */
  gravel_frac?: Fraction | null;
  /** Where it lies, as a ring of places, site metres. Without it everywhere no other soil is. */
  area?: [number, number][] | null;
}

/** A soil. */
export interface SoilAsked {
  /** What it is called. */
  name: string;
  /** Texture by feel or jar. */
  texture: SoilTexture;
  /**
   * Rate at which water soaks in once the ground is wet, mm/h, as you think without the tests in soak/, which narrow
   * it. Without it the texture's usual range.
   */
  soak_mm_h?: EstimateAsked | null;
  /** Depth to rock, pan or water, m. */
  depth_m?: number | null;
  /** What crumbs did in rain water: holds, slakes or clouds. */
  jar_test?: JarTest | null;
  /** Share of stones and gravel by volume, as seen on the face of a pit. */
  gravel_frac?: Fraction | null;
  /** Where it lies, as a ring of places, site metres. Without it everywhere no other soil is. */
  area?: [number, number][] | null;
}

/** Soil by feel or by jar. */
export type SoilTexture = 'sand' | 'loamy sand' | 'sandy loam' | 'loam' | 'silt loam' | 'silt' | 'sandy clay loam' | 'clay loam' | 'silty clay loam' | 'sandy clay' | 'silty clay' | 'clay';

/** Where water comes from. */
export interface Source {
  /** What it is called. */
  name: string;
  /** hillside, hard surface or seep. */
  kind: SourceKind;
  /**
   * The line that takes its water; for a hillside without it, whatever line the ground leads to. Where several
   * lines pick it up, write [[source.pick_up]] instead.
   */
  into?: string | null;
  /** Where along that line the water arrives, m from the first peg. Without it spread over the line. */
  at_m?: number | null;
  /** Area that sheds rain, m². For a hillside without it, read from the ground. */
  area_m2?: number | null;
  /** The same as a ring of places, site metres. */
  area?: [number, number][] | null;
  /** Curve number of the ground (30 to 100). For a hillside. */
  curve_number?: Estimate | null;
  /** Rain that wets a hard surface before any runs off, mm. Without it 1. */
  first_wetting_mm?: number | null;
  /** Flow of a seep in the wet months, L/min; with `rises` what it gives when no rain has fallen for long. */
  flow_l_min?: Estimate | null;
  /** How a seep answers past rain. Without it its flow stays as it is. */
  rises?: Rises | null;
  /** Whether the water comes off a road that belongs to somebody else. */
  road_water?: boolean | null;
  /** Whether the owner of that road has agreed in writing. */
  consent?: boolean | null;
  /** The lines that pick up its water, where there are several, each with its share. */
  pick_up?: PickUp[];
}

/** Where water comes from. */
export interface SourceAsked {
  /** What it is called. */
  name: string;
  /** hillside, hard surface or seep. */
  kind: SourceKind;
  /**
   * The line that takes its water; for a hillside without it, whatever line the ground leads to. Where several
   * lines pick it up, write [[source.pick_up]] instead.
   */
  into?: string | null;
  /** Where along that line the water arrives, m from the first peg. Without it spread over the line. */
  at_m?: number | null;
  /** Area that sheds rain, m². For a hillside without it, read from the ground. */
  area_m2?: number | null;
  /** The same as a ring of places, site metres. */
  area?: [number, number][] | null;
  /** Curve number of the ground (30 to 100). For a hillside. */
  curve_number?: EstimateAsked | null;
  /** Rain that wets a hard surface before any runs off, mm. Without it 1. */
  first_wetting_mm?: number | null;
  /** Flow of a seep in the wet months, L/min; with `rises` what it gives when no rain has fallen for long. */
  flow_l_min?: EstimateAsked | null;
  /** How a seep answers past rain. Without it its flow stays as it is. */
  rises?: RisesAsked | null;
  /** Whether the water comes off a road that belongs to somebody else. */
  road_water?: boolean | null;
  /** Whether the owner of that road has agreed in writing. */
  consent?: boolean | null;
  /** The lines that pick up its water, where there are several, each with its share. */
  pick_up?: PickUp[];
}

/** Where water comes from. */
export type SourceKind = 'hillside' | 'hard surface' | 'seep';

/** A source of water. */
export interface SourceView {
  /** Its name. */
  name: string;
  /** hillside, hard surface or seep. */
  kind: SourceKind;
  /** The line it feeds. */
  into: string | null;
  /** Where along that line. */
  at_m: number | null;
  /** Where in plan. */
  at: MapPlace | null;
  /** Area that sheds rain. */
  area_m2: number | null;
  /** Where that area lies. */
  area: MapPlace[];
  /** Flow of a seep, L/min. */
  flow_l_min: Range | null;
}

/** Where a tree stands beside a line. */
export type Spot = 'trench' | 'bank' | 'toe' | 'above' | 'mound' | 'beyond';

/** Where a tree stands beside a line. */
export type SpotAsked = 'trench' | 'bank' | 'toe' | 'above' | 'mound';

/** What is dug. */
export type Stage = 'trial' | 'section';

/** A step back, or again. */
export interface StepAsked {
  /** The revision of the site that the person saw. */
  base_revision: number;
}

/** One step of rain. */
export interface StepOfRain {
  /** Rain of the whole storm. */
  rain_mm: number;
  /** What soaks in, all lines together. */
  soaked_m3: number;
  /** What leaves the site. */
  leaves_m3: number;
  /** Lines that are full, by name. */
  full: string[];
  /** Lines that spill over a sill. */
  spill: string[];
  /** Lines that break out. */
  break_out: string[];
}

/** At which rain what happens. */
export interface StepsAnswer {
  /** The deepest rain that was tried: all of the storm. */
  up_to_mm: number;
  /** One entry a line, in the order of the plan. */
  lines: LineSteps[];
  /** The table: what happens at each step of rain. */
  table: StepOfRain[];
  /** The line that breaks out at the least rain; none where none does. */
  fails_first: string | null;
  /** What the failing bank of a line takes along in the whole storm. */
  chain_reaction: ChainReaction;
}

/** A storm to begin with. */
export interface StormView {
  /** What it is called. */
  name: string;
  /** All of its rain. */
  depth_mm: number;
  /** Its length. */
  hours: number;
  /** In what order it falls, as it is asked for: `blocks`, `even`. */
  shape: string;
  /** In words. */
  says: string;
}

/** Whether a place suits a tree's roots. */
export type Suits = 'yes' | 'doubtful' | 'no';

/** What the rounds of one summer ask for. */
export interface Summer {
  /** First day of the year that holds it. */
  year_from: string;
  /** How many rounds. */
  rounds: number;
  /** All their litres: what must be stored where nothing flows in summer. */
  litres: Estimate;
  /** The most in seven days. */
  busiest_week_l: number;
}

/** What the lines to dig need. */
export interface Supplies {
  /** Face of the banks, to sow and cover. */
  bank_m2: number;
  /** Seed. */
  seed_kg: Estimate;
  /** Straw. */
  straw_kg: Estimate;
  /** Rock, place by place. */
  rock: Rock[];
  /** All rock as laid. */
  rock_m3: number;
  /** The same by weight. */
  rock_kg: Estimate;
  /** Pegs of the lines. */
  pegs: number;
  /** Loose soil left over (negative: wanting) when trench and bank are weighed against each other over all lines. */
  loose_left_over_m3: Estimate;
  /** Barrow trips for that soil and the rock. */
  barrow_trips: Estimate;
}

/** A peg on a tape. */
export interface TapePeg {
  /** Distance along the line from its first peg, m. */
  at_m: number;
  /** Height of the ground there above the site datum, m. */
  z_m: number;
}

/** Kinds of work. */
export type Task = 'peg' | 'dig' | 'seed-banks' | 'plant' | 'mulch' | 'check-after-rain' | 'lop' | 'carry-water';

/** A kind of thing that has a name. */
export type Thing = 'line' | 'tree' | 'source' | 'soil' | 'barrier' | 'keep_clear';

/** Something in the way or to keep clear of. */
export interface ThingView {
  /** Its name. */
  name: string;
  /** What it is. */
  kind: string;
  /** Where, if it is one place. */
  at: MapPlace | null;
  /** Where it runs. */
  along: MapPlace[];
  /** What it covers. */
  area: MapPlace[];
}

/** Something nearer to a tree than it should be. */
export interface TooNear {
  /** What. */
  thing: string;
  /** What kind of thing: "tree", "fence", "building" … */
  kind: string;
  /** How far off. */
  distance_m: number;
  /** How far it should be. */
  asked_m: number;
}

/** What levels are set with. */
export interface Tool {
  /** a-frame, hose, line level or level. */
  kind: ToolKind;
  /** Distance between its feet or staffs, m. */
  step_m: number;
  /** Random error of one step, mm, one standard error. Without it the tool's usual. */
  random_mm?: number | null;
  /** Constant error of one step, mm: what is left after calibration. Without it the tool's usual. */
  bias_mm?: number | null;
  /** How an A-frame goes along: pivoted or carried. Without it carried, the worse of the two. */
  walked?: WalkedHow | null;
}

/** The tool that levels are set with. */
export type ToolKind = 'a-frame' | 'hose' | 'line level' | 'level';

/** A tool, and how many. */
export interface ToolToBring {
  /** Which. */
  tool: string;
  /** How many. */
  count: number;
}

/** A tree. */
export interface Tree {
  /** What it is called. */
  name: string;
  /** Species, in plain words: fig, almond, pomegranate … */
  species: string;
  /** Variety. */
  variety?: string | null;
  /** The line it drinks from. */
  line?: string | null;
  /** Where along that line it stands, m from the first peg. */
  at_m?: number | null;
  /**
   * Where across the line it stands: trench, bank, toe, above (uphill of the trench) or mound. Without it at the toe
   * of the bank.
   */
  spot?: Spot | null;
  /** How far downhill of the pegs it stands, m, in place of a spot; negative uphill. */
  downhill_m?: number | null;
  /** Where it stands, site metres east, for a tree that is not given by its line. */
  x_m?: number | null;
  /** Where it stands, site metres north. */
  y_m?: number | null;
  /** Day of planting, "2026-11-20". */
  planted?: string | null;
}

/** A tree. */
export interface TreeAsked {
  /** What it is called. */
  name: string;
  /** Species, in plain words: fig, almond, pomegranate … */
  species: string;
  /** Variety. */
  variety?: string | null;
  /** The line it drinks from. */
  line?: string | null;
  /** Where along that line it stands, m from the first peg. */
  at_m?: number | null;
  /**
   * Where across the line it stands: trench, bank, toe, above (uphill of the trench) or mound. Without it at the toe
   * of the bank.
   */
  spot?: SpotAsked | null;
  /** How far downhill of the pegs it stands, m, in place of a spot; negative uphill. */
  downhill_m?: number | null;
  /** Where it stands, site metres east, for a tree that is not given by its line. */
  x_m?: number | null;
  /** Where it stands, site metres north. */
  y_m?: number | null;
  /** Day of planting, "2026-11-20". */
  planted?: string | null;
}

/** Trees of one species and variety. */
export interface TreeKind {
  /** Species. */
  species: string;
  /** Variety, where the plan names it. */
  variety: string | null;
  /** How many. */
  count: number;
}

/** Where a tree stands. */
export interface TreePlace {
  /** The tree. */
  tree: string;
  /** East. */
  x_m: number;
  /** North. */
  y_m: number;
}

/** What comes to a tree. */
export interface TreeRainView {
  /** Its name. */
  name: string;
  /** What soaks into the metre of line beside it. */
  litres: number | null;
  /** The same with what is known of it. */
  litres_range: Range | null;
}

/** What the years bring to one tree. */
export interface TreeSeason {
  /** What it is called. */
  tree: string;
  /** Its species and variety. */
  species: string;
  /** The line it drinks from. */
  line: string | null;
  /** Where along it. */
  chainage_m: number | null;
  /** Where it stands relative to it. */
  spot: Spot | null;
  /** Day of planting in this run. */
  planted: string;
  /** From the line into its roots' ground. A young tree's roots reach little of what soaks in. */
  litres_from_line: Estimate;
  /** From rain on its roots' ground. */
  litres_from_rain: Estimate;
  /** What it transpires of them, unwatered. */
  litres_drunk: Estimate;
  /** Carried to it in the first three summers together, not in a mean year. */
  litres_by_hand: Estimate;
  /** Days of a mean year on which it gets less than half of what it would use. */
  dry_days: Estimate;
  /** The same by month, January first. */
  dry_days_by_month: Estimate[];
  /** Days of a mean year on which its roots lack air. */
  wet_feet_days: Estimate;
  /** Longest run of them in any year of the likely member. */
  longest_wet_feet_days: number;
  /** Days in a row that its species bears. */
  bears_wet_feet_days: number;
  /** Share of years with a longer run than that. */
  chance_of_wet_feet_frac: number;
  /** Share of years with a dry spell. */
  chance_of_dry_spell_frac: number;
  /** Years one by one, of the likely member. */
  years: TreeYear[];
  /** When to carry water to it, and how much, in its first three summers. */
  water_rounds: WaterRound[];
  /** With and without lines and mulch, in the likely member. */
  compare: Compare;
}

/** Where a tree is moved to. */
export type TreeSpot = {
  /** The line it drinks from. */
  line: string;
  /** Where along it, m from the first peg. */
  at_m: number;
  /** How far downhill of the pegs, m; as it was, where it is left out. */
  downhill_m?: number | null;
} | {
  /** East. */
  x_m: number;
  /** North. */
  y_m: number;
};

/** A tree. */
export interface TreeView {
  /** Its name. */
  name: string;
  /** Species and variety. */
  species: string;
  /** The line it drinks from. */
  line: string | null;
  /** Where along that line. */
  at_m: number | null;
  /** East; none beside a line by tape. */
  x_m: number | null;
  /** North. */
  y_m: number | null;
  /** Its spot relative to its line. */
  spot: string | null;
  /** Width of the grown crown. */
  canopy_m: number | null;
}

/** One year of a tree. */
export interface TreeYear {
  /** Its first day. */
  from: string;
  /** From the line. */
  litres_from_line: number;
  /** From rain. */
  litres_from_rain: number;
  /** Dry days. */
  dry_days: number;
  /** Longest run of them. */
  longest_dry_days: number;
  /** Days with wet feet. */
  wet_feet_days: number;
  /** Longest run of them. */
  longest_wet_feet_days: number;
}

/** A trench a spade deep and wide, part of the section that comes after. */
export interface Trial {
  /** Along the line. */
  length_m: number;
  /** Soil to dig. */
  cut_m3: number;
  /** Digging. */
  person_days: number;
}

/** The body of every answer that is not a success. */
export interface TroubleView {
  /** What was found, and what to do. */
  says: string;
  /** Faults of files that are the reason. */
  faults: FaultView[];
  /** The site as it is now, where the request was made on an older state of it. */
  site?: SiteView | null;
}

/** A line's turn. */
export interface Turn {
  /** Which line. */
  line: string;
  /** What it is for. */
  kind: LineKind;
  /** All its digging. */
  person_days: Estimate;
  /** Undisturbed soil to dig. */
  cut_m3: number;
  /** The trial trench; none for a chute or pipe. */
  trial: Trial | null;
  /** Litres it holds for the trees that drink from it; of a plan without trees, all it holds. */
  for_trees_l: number;
  /** The same for each person-day of its digging. */
  for_trees_l_per_person_day: number;
  /** Undug lines onto whose ground it spills until they are dug: its landing stands that. */
  spills_meanwhile_over: string[];
  /** Undug lines that ought to be dug first, because its landing does not stand what it pours. */
  pours_unsafely_on: string[];
}

/** A verdict and its reason. */
export interface Verdict {
  /** Whether it suits. */
  suits: Suits;
  /** Why. */
  because: string;
}

/** A line that was walked. */
export interface WalkView {
  /** Where it runs. */
  path: PathPlace[];
  /** From the first peg to the last. */
  length_m: number;
  /** How far to either side the true line may lie at its end. */
  band_m: number | null;
  /** Fall from the first peg to the last. */
  drop_m: number;
  /** Steepest slope of the ground at its pegs, rise over run. */
  steepest_slope: number;
  /** Why the walk ended. */
  stopped: string | null;
}

/** How an A-frame goes along a line. */
export type WalkedHow = 'pivoted' | 'carried';

/** Water carried to one tree. */
export interface WaterRound {
  /** Day. */
  date: string;
  /** How much. */
  litres: number;
}

/** How wet the ground is before a storm. */
export type WetAsked = 'dry' | 'usual' | 'wet';

/** One line's digging on one day. */
export interface Work {
  /** Which line. */
  line: string;
  /** So much of it, all people together. */
  person_days: number;
  /** Share of this stage of the line that is done by the evening. */
  done_frac: number;
}
