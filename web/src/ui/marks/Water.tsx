// Water in the lines: how deep it stands at the highest, how far it gets, what soaks in, where it breaks out.
import type { BreakoutView, LineView, RainLineView } from '../../net/shapes';
import { slice, stationAt } from '../../sheet/along';
import { words } from '../../words';
import { k, local, pathOf } from './frame';
import { beside } from './symbols';

/** Width of the wash beside a line, on the map only: a trench half a metre wide would be three pixels. */
const WASH_PX = 9;
/** A comb tooth for so many litres soaked into a metre. */
const TOOTH_L_M_PX = 60;
const LONGEST_TOOTH_PX = 26;

/** Water is one of five depths of wash, by the share of the way from bed to bank it fills. */
function washOf(share: number): number {
  return Math.min(5, Math.max(1, Math.ceil(share * 5)));
}

interface Stretch {
  from_m: number;
  to_m: number;
  wash: number;
}

/** The wet stretches of a line, neighbours of the same wash joined. */
export function stretches(line: LineView, level: readonly { chainage_m: number; z_m: number | null }[]): Stretch[] {
  const found: Stretch[] = [];
  for (let i = 0; i + 1 < level.length; i++) {
    const a = level[i];
    const b = level[i + 1];
    if (!a || !b || a.z_m === null) continue;
    const bed = nearest(line, a.chainage_m);
    if (!bed || a.z_m <= bed.bed_z_m) continue;
    const wash = washOf((a.z_m - bed.bed_z_m) / Math.max(0.01, bed.bank_z_m - bed.bed_z_m));
    const last = found[found.length - 1];
    if (last && last.wash === wash && last.to_m === a.chainage_m) last.to_m = b.chainage_m;
    else found.push({ from_m: a.chainage_m, to_m: b.chainage_m, wash });
  }
  return found;
}

function nearest(line: LineView, chainage_m: number) {
  const along = line.along;
  let low = 0;
  let high = along.length - 1;
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((along[mid]?.chainage_m ?? 0) < chainage_m - 1e-6) low = mid + 1;
    else high = mid;
  }
  return along[low];
}

/** The wash itself, uphill of the pegs where the trench is. */
export function Wash({ line, level }: { line: LineView; level: RainLineView['level'] }) {
  const scale = k.value;
  const uphill = -line.downhill_side * (WASH_PX / 2);
  return (
    <g class="wash" aria-hidden="true">
      {stretches(line, level).map((stretch) => (
        <path
          key={stretch.from_m}
          class={`water-${stretch.wash}`}
          d={pathOf(beside(slice(line.path, stretch.from_m, stretch.to_m), uphill, scale), scale)}
        />
      ))}
    </g>
  );
}

/** What soaked in: a comb on the uphill side, a longer tooth for more litres a metre. */
export function Comb({ line, soaked }: { line: LineView; soaked: RainLineView['soaked_along'] }) {
  const scale = k.value;
  const teeth = soaked
    .map(({ chainage_m, l_m }) => {
      const there = stationAt(line.path, chainage_m);
      if (!there || l_m <= 0) return '';
      const { x, y } = local(there.place, scale);
      const length = Math.min(LONGEST_TOOTH_PX, l_m / TOOTH_L_M_PX);
      const up = { x: there.north * line.downhill_side, y: there.east * line.downhill_side };
      return `M${(x + up.x * WASH_PX).toFixed(1)} ${(y + up.y * WASH_PX).toFixed(1)}l${(up.x * length).toFixed(1)} ${(up.y * length).toFixed(1)}`;
    })
    .join('');
  return <path class="comb" d={teeth} aria-hidden="true" />;
}

/** How far the water gets when that is not the whole line: a bracket from the least to the most it may be. */
export function Reach({ line, rain }: { line: LineView; rain: RainLineView }) {
  const reach = rain.reach_m;
  if (reach.low >= line.length_m - 0.5 || reach.high <= 0) return null;
  const scale = k.value;
  const there = stationAt(line.path, reach.likely);
  if (!there) return null;
  const { x, y } = local(there.place, scale);
  const across = { x: -there.north * 14, y: -there.east * 14 };
  return (
    <g class="reach" aria-hidden="true">
      <path class="may" d={pathOf(slice(line.path, reach.low, reach.high), scale)} />
      <path class="likely" d={`M${x - across.x} ${y - across.y}L${x + across.x} ${y + across.y}`} />
    </g>
  );
}

/** Where water goes over the bank: a burst, its flow, and what to raise. */
export function Breakout({ breakout }: { breakout: BreakoutView }) {
  if (!breakout.at) return null;
  const { x, y } = local(breakout.at, k.value);
  return (
    <g class="breakout" role="img" aria-label={words.map.breakout(breakout)} transform={`translate(${x} ${y})`}>
      <path class="burst" d="M0 -13L3.5 -4.5L12 -8L6 0L13 6L4 5L2 14L-3 6L-11 9L-6.5 1L-13 -4L-4 -4.5Z" />
      <text x="16" dy="5">
        {words.map.breaksOut}
      </text>
    </g>
  );
}
