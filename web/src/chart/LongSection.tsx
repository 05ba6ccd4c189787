// The long section of a line: ground, bed, bank and water along it, heights stretched.
import { useEffect, useRef, useState } from 'preact/hooks';
import type { LineView, RainLineView } from '../net/shapes';
import { figure, metres } from '../state/figures';
import { station } from '../state/look';
import { words } from '../words';
import { px, roundSteps, type Scale, value } from './axis';

const LEFT = 52;
const RIGHT = 14;
const TOP = 14;
const BOTTOM = 26;

function pathThrough(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');
}

function atChainage(line: LineView, at_m: number) {
  return line.along.reduce((best, place) =>
    Math.abs(place.chainage_m - at_m) < Math.abs(best.chainage_m - at_m) ? place : best,
  );
}

/** Bodies of water: each wet stretch closed along the bed. */
function waters(line: LineView, level: RainLineView['level'], x: Scale, y: Scale): string {
  let d = '';
  let run: { chainage_m: number; z_m: number }[] = [];
  const close = () => {
    if (run.length > 1) {
      const top = run.map((place) => [px(x, place.chainage_m), px(y, place.z_m)] as const);
      const bed = run
        .map((place) => [px(x, place.chainage_m), px(y, atChainage(line, place.chainage_m).bed_z_m)] as const)
        .reverse();
      d += `${pathThrough([...top, ...bed])}Z`;
    }
    run = [];
  };
  for (const { chainage_m, z_m } of level) {
    if (z_m === null) close();
    else run.push({ chainage_m, z_m });
  }
  close();
  return d;
}

export function LongSection({ line, level }: { line: LineView; level: RainLineView['level'] | null }) {
  const root = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 640, height: 170 });
  useEffect(() => {
    const element = root.current;
    if (!element) return;
    const watch = new ResizeObserver(() => setSize({ width: element.clientWidth, height: element.clientHeight }));
    watch.observe(element);
    return () => watch.disconnect();
  }, []);
  if (line.along.length < 2) return null;
  const heights = line.along.flatMap((place) => [place.ground_z_m, place.bed_z_m, place.bank_z_m]);
  const low = Math.min(...heights);
  const high = Math.max(...heights);
  const margin = Math.max(0.05, (high - low) * 0.1);
  const x: Scale = { from: 0, to: line.length_m, px0: LEFT, px1: size.width - RIGHT };
  const y: Scale = { from: low - margin, to: high + margin, px0: size.height - BOTTOM, px1: TOP };
  const along = (pick: 'ground_z_m' | 'bed_z_m' | 'bank_z_m') =>
    pathThrough(line.along.map((place) => [px(x, place.chainage_m), px(y, place[pick])] as const));
  const at_m = Math.min(line.length_m, station.value ?? 0);
  const here = atChainage(line, at_m);
  const water = level?.reduce<{ chainage_m: number; z_m: number | null } | null>(
    (best, place) => (!best || Math.abs(place.chainage_m - at_m) < Math.abs(best.chainage_m - at_m) ? place : best),
    null,
  );
  const reading = words.section.reading(
    metres(at_m),
    metres(here.bed_z_m, 2),
    metres(here.bank_z_m, 2),
    water?.z_m === null || water?.z_m === undefined ? null : metres(water.z_m, 2),
  );
  const point = (event: PointerEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect();
    station.value = Math.min(line.length_m, Math.max(0, value(x, event.clientX - box.left)));
  };
  const onKey = (event: KeyboardEvent) => {
    const by_m = event.shiftKey ? 10 : 1;
    const to =
      event.key === 'ArrowRight' || event.key === 'ArrowUp'
        ? at_m + by_m
        : event.key === 'ArrowLeft' || event.key === 'ArrowDown'
          ? at_m - by_m
          : event.key === 'Home'
            ? 0
            : event.key === 'End'
              ? line.length_m
              : null;
    if (to === null) return;
    event.preventDefault();
    station.value = Math.min(line.length_m, Math.max(0, to));
  };
  return (
    <figure class="section">
      <figcaption>
        <strong>{words.section.title(line.name)}</strong> <span aria-hidden="true">{reading}</span>
      </figcaption>
      <div
        ref={root}
        class="plot"
        role="slider"
        tabIndex={0}
        aria-label={words.section.label(line.name)}
        aria-valuemin={0}
        aria-valuemax={Math.round(line.length_m)}
        aria-valuenow={Math.round(at_m)}
        aria-valuetext={reading}
        onKeyDown={onKey}
        onPointerMove={point}
        onPointerDown={point}
      >
        <svg width={size.width} height={size.height} aria-hidden="true" focusable="false">
          {roundSteps(y.from, y.to, 4).map((z_m) => (
            <g key={z_m}>
              <path class="rule" d={`M${LEFT} ${px(y, z_m)}H${size.width - RIGHT}`} />
              <text x={LEFT - 6} y={px(y, z_m) + 4} text-anchor="end">
                {figure(z_m, 1)}
              </text>
            </g>
          ))}
          {roundSteps(0, line.length_m, Math.max(2, size.width / 90)).map((m) => (
            <text key={m} x={px(x, m)} y={size.height - 8} text-anchor="middle">
              {figure(m, 0)}
            </text>
          ))}
          {level && <path class="water" d={waters(line, level, x, y)} />}
          <path class="ground" d={along('ground_z_m')} />
          <path class="bank" d={along('bank_z_m')} />
          <path class="bed" d={along('bed_z_m')} />
          {line.sills.map((sill) => {
            if (sill.crest_z_m === null) return null;
            const [from, to] = [px(x, sill.at_m - sill.width_m / 2), px(x, sill.at_m + sill.width_m / 2)];
            return <path key={sill.at_m} class="crest" d={`M${from} ${px(y, sill.crest_z_m)}H${to}`} />;
          })}
          {station.value !== null && <path class="cursor" d={`M${px(x, at_m)} ${TOP}V${size.height - BOTTOM}`} />}
        </svg>
      </div>
    </figure>
  );
}
