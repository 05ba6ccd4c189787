// The sheet: painted ground below, live marks above, the neatline round it.
import { effect, signal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { FindingView, LineView } from '../net/shapes';
import { nearestOn, stationAt } from '../sheet/along';
import { listen } from '../sheet/gestures';
import { ContourLayer, paintRelief, pinRelief, strokeContours, strokeFlow } from '../sheet/layers';
import { eastSteps, northSteps, roundStep_m, type Step } from '../sheet/neatline';
import { fitted, type Place, type Px, panned, toM, toPx, zoomed } from '../sheet/view';
import { onMap, pointAt, seenAt } from '../state/book';
import { figure } from '../state/figures';
import { hold, letGo, setDown } from '../state/hand';
import { say, screen, selection, station, theme, tool } from '../state/look';
import { probe, probed } from '../state/probe';
import { rainOn } from '../state/rain';
import { contourStep_m, contours, flowPaths, lineNamed, lines, relief, site } from '../state/site';
import { drawHover, drawTap, lineUnder, pencil, round, sillBetween, stopDrawing } from '../state/tools';
import type { SeenView } from '../wire';
import { words } from '../words';
import { Draft } from './Draft';
import { anchor, far, k, local, pathOf, placeOf, view } from './marks/frame';
import { nudgeOf } from './marks/grip';
import { Line, LineName, Sill, StationRing } from './marks/Lines';
import { Pegs } from './marks/Pegs';
import { Corners, Source, Thing, Tree } from './marks/Things';
import { Breakout, Comb, Reach, Wash } from './marks/Water';
import { frameNow } from './Playback';
import { rgb } from './paint';

/** Width of the neatline's band, CSS pixels. */
const BAND_PX = 8;
/** What one press of an arrow key moves the view by. */
const PAN_PX = 60;
/** Room for the neatline and its figures. */
const FIT_MARGIN_PX = 34;

export const showFlow = signal(true);

/** True once the person has moved the view: from then on it stays where it is when the window changes. */
let moved = false;

export function showAll(): void {
  const now = view.value;
  const ground = site.value?.bounds_m;
  if (now && ground) view.value = fitted(ground, now.width, now.height, FIT_MARGIN_PX);
  moved = false;
}

/** Brings a place to the middle without changing the scale. */
export function centreOn(place: Place): void {
  const now = view.value;
  if (!now) return;
  moved = true;
  view.value = { ...now, cx_m: place.x_m, cy_m: place.y_m };
}

export function zoomBy(times: number): void {
  const now = view.value;
  if (!now) return;
  moved = true;
  view.value = zoomed(now, times, { x: now.width / 2, y: now.height / 2 });
}

function pan(dx: number, dy: number): void {
  const now = view.value;
  if (!now) return;
  moved = true;
  view.value = panned(now, dx, dy);
}

function choose(hit: string): void {
  const [what, name, index] = hit.split(':');
  if (name === undefined) return;
  if (what === 'sill') selection.value = { what, name, index: Number(index) };
  else if (what === 'line' || what === 'tree' || what === 'source' || what === 'thing') {
    selection.value = { what, name };
  }
}

/** Size of the sheet in the window; all of the ground is shown until the person moves the view. */
function useSize(root: { current: HTMLDivElement | null }) {
  useEffect(() => {
    const element = root.current;
    if (!element) return;
    const watch = new ResizeObserver(() => {
      const { clientWidth: width, clientHeight: height } = element;
      if (width === 0 || height === 0) return;
      const now = view.value;
      const ground = site.value?.bounds_m;
      if (now && (moved || !ground)) view.value = { ...now, width, height };
      else if (ground) view.value = fitted(ground, width, height, FIT_MARGIN_PX);
      else view.value = { cx_m: 0, cy_m: 0, k: 4, width, height };
    });
    watch.observe(element);
    const fitAnew = effect(() => {
      const ground = site.value?.bounds_m;
      if (!ground) return;
      if (anchor.peek().x_m === 0) anchor.value = { x_m: ground.west_m, y_m: ground.north_m };
      if (!moved && view.peek()) view.value = fitted(ground, element.clientWidth, element.clientHeight, FIT_MARGIN_PX);
    });
    return () => {
      watch.disconnect();
      fitAnew();
    };
  }, [root]);
}

/** Paints the canvases and moves the marks' group whenever the view, the ground or the theme changes. */
function usePainting(refs: {
  relief: { current: HTMLCanvasElement | null };
  traced: { current: HTMLCanvasElement | null };
  world: { current: SVGGElement | null };
}) {
  useEffect(() => {
    const ground = refs.relief.current;
    const traced = refs.traced.current;
    if (!ground || !traced) return;
    const layer = new ContourLayer(traced, Math.min(2, devicePixelRatio || 1));
    const fill = effect(() => {
      const now = relief.value;
      theme.value;
      if (now) paintRelief(ground, now, rgb('--shadow'), rgb('--light'));
    });
    const follow = effect(() => {
      const now = view.value;
      if (!now) return;
      if (relief.value) pinRelief(ground, relief.value, now);
      const at = toPx(now, anchor.value);
      refs.world.current?.setAttribute('transform', `translate(${at.x} ${at.y})`);
    });
    let drawnFor: unknown[] = [];
    const lineWork = effect(() => {
      const now = view.value;
      if (!now) return;
      const wanted = [contours.value, theme.value, showFlow.value && screen.value === 'ground', flowPaths.value];
      if (wanted.some((part, i) => part !== drawnFor[i])) layer.stale();
      drawnFor = wanted;
      const style = {
        colour: `rgb(${rgb('--contour').join(' ')})`,
        paper: `rgb(${rgb('--light').join(' ')})`,
        heavy_m: contourStep_m.value * 4,
        figures: (z_m: number) => figure(z_m, z_m % 1 === 0 ? 0 : 1),
      };
      const water = `rgb(${rgb('--water-3').join(' ')})`;
      layer.follow(now, (context, wide) => {
        strokeContours(context, wide, contours.value, style);
        if (wanted[2]) strokeFlow(context, wide, flowPaths.value, water);
      });
    });
    return () => {
      fill();
      follow();
      lineWork();
    };
  }, [refs.relief, refs.traced, refs.world]);
}

function Neatline() {
  const now = view.value;
  if (!now || now.width === 0) return null;
  const step_m = roundStep_m(now.k, 70);
  const digits = step_m < 1 ? 1 : 0;
  const across = eastSteps(now, step_m);
  const down = northSteps(now, step_m);
  const bar = (step: Step, edge: 'top' | 'bottom' | 'left' | 'right') => {
    const size = step.to - step.from;
    const place =
      edge === 'top'
        ? { x: step.from, y: 0, width: size, height: BAND_PX }
        : edge === 'bottom'
          ? { x: step.from, y: now.height - BAND_PX, width: size, height: BAND_PX }
          : edge === 'left'
            ? { x: 0, y: step.from, width: BAND_PX, height: size }
            : { x: now.width - BAND_PX, y: step.from, width: BAND_PX, height: size };
    return <rect key={`${edge}${step.at_m}`} class={step.inked ? 'inked' : 'bare'} {...place} />;
  };
  return (
    <svg class="neatline" aria-hidden="true" width={now.width} height={now.height}>
      {across.map((step) => bar(step, 'top'))}
      {across.map((step) => bar(step, 'bottom'))}
      {down.map((step) => bar(step, 'left'))}
      {down.map((step) => bar(step, 'right'))}
      <rect class="frame" x={BAND_PX} y={BAND_PX} width={now.width - 2 * BAND_PX} height={now.height - 2 * BAND_PX} />
      {across
        .filter((step) => step.from > 24 && step.from < now.width - 24)
        .map((step) => (
          <text key={step.at_m} x={step.from} y={BAND_PX + 14} text-anchor="middle">
            {figure(step.at_m, digits)}
          </text>
        ))}
      {down
        .filter((step) => step.from > 34 && step.from < now.height - 16)
        .map((step) => (
          <text key={step.at_m} x={BAND_PX + 5} y={step.from + 4}>
            {figure(step.at_m, digits)}
          </text>
        ))}
    </svg>
  );
}

/** A finding's place: its own, else along its line. */
function findingPlace(finding: FindingView): Place | null {
  if (finding.at) return finding.at;
  const line = lines.value.find((other) => other.name === finding.line);
  return line && finding.at_m !== null ? (stationAt(line.path, finding.at_m)?.place ?? null) : null;
}

export const openFinding = signal<FindingView | null>(null);

function FindingMark({ finding, index }: { finding: FindingView; index: number }) {
  const place = findingPlace(finding);
  if (!place) return null;
  const { x, y } = local(place, k.value);
  const open = () => {
    openFinding.value = finding;
  };
  return (
    <g
      class={`finding ${finding.severity}`}
      role="button"
      tabindex={0}
      data-hit={`finding:${index}`}
      aria-label={words.map.finding(finding)}
      transform={`translate(${x} ${y - 27})`}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') {
          event.preventDefault();
          open();
        }
      }}
    >
      <circle class="grip" r="15" />
      <path class="triangle" d="M0 -11L11 8H-11Z" />
      <text text-anchor="middle" dy="5">
        {finding.severity === 'stop' ? '!!' : finding.severity === 'warn' ? '!' : '·'}
      </text>
    </g>
  );
}

/** Something seen there: a small flag. */
function SeenMark({ seen, place }: { seen: SeenView; place: Place }) {
  const { x, y } = local(place, k.value);
  const name = words.book.seenHere(words.book.kinds[seen.kind] ?? seen.kind, seen.date);
  return (
    <g class={`seen ${seen.kind.replaceAll(' ', '-')}`} role="img" aria-label={name} transform={`translate(${x} ${y})`}>
      <path class="staff" d="M0 0V-22" />
      <path class="flag" d="M0 -22H13L9 -17.5L13 -13H0Z" />
    </g>
  );
}

/** The place asked about on the ground, and the way its water takes. */
function Probe() {
  const there = probed.value;
  if (!there) return null;
  const { x, y } = local(there.place, k.value);
  return (
    <g class="probe" aria-hidden="true">
      <path class="spill" d={pathOf(there.ground.water_way, k.value)} marker-end="url(#spill-head)" />
      <circle class="ring" cx={x} cy={y} r="10" />
    </g>
  );
}

/** The place pointed at for the field book. */
function Pointed() {
  const where = seenAt.value;
  if (!where) return null;
  const line = 'line' in where ? lineNamed(where.line) : null;
  const tree = 'tree' in where ? site.value?.trees.find((each) => each.name === where.tree) : null;
  const place =
    'x_m' in where
      ? where
      : line && 'line' in where
        ? stationAt(line.path, where.chainage_m)?.place
        : tree && placeOf(tree);
  if (!place) return null;
  const { x, y } = local(place, k.value);
  return <circle class="ring" cx={x} cy={y} r="12" aria-hidden="true" />;
}

/** What the rain does along a line; while it plays, its water at the time shown. */
function Water({ line }: { line: LineView }) {
  const rain = rainOn(line.name);
  return (
    <g>
      {rain && <Comb line={line} soaked={rain.soaked_along} />}
      <Playing line={line} />
      {rain && <Reach line={line} rain={rain} />}
    </g>
  );
}

function Playing({ line }: { line: LineView }) {
  const playing = screen.value === 'rain' ? frameNow.value : null;
  const level = playing ? playing.get(line.name) : rainOn(line.name)?.level;
  return level ? <Wash line={line} level={level} /> : null;
}

function Breakouts() {
  return (
    <>
      {lines.value.flatMap((line) =>
        (rainOn(line.name)?.breakouts ?? []).map((breakout) => (
          <Breakout key={`${line.name}${breakout.at_m}`} breakout={breakout} />
        )),
      )}
    </>
  );
}

function Marks() {
  const now = site.value;
  if (!now) return null;
  const drawn = lines.value;
  // Notes show where lines are laid out; warnings and stops everywhere.
  const shows = (finding: FindingView) => finding.severity !== 'note' || (screen.value === 'lines' && !far.value);
  const chosen = selection.value;
  const chosenLine = chosen && drawn.find((line) => line.name === chosen.name);
  return (
    <>
      {now.keep_clears.map((thing) => (
        <Thing key={thing.name} thing={thing} family="keep-clear" />
      ))}
      {now.services.map((thing) => (
        <Thing key={thing.name} thing={thing} family="service" />
      ))}
      {now.barriers.map((thing) => (
        <Thing key={thing.name} thing={thing} family="barrier" />
      ))}
      {drawn.map((line) => (
        <Water key={line.name} line={line} />
      ))}
      {drawn.map((line) => (
        <Line key={line.name} line={line} />
      ))}
      {drawn.flatMap((line) =>
        line.sills.map((sill, index) => (
          <Sill key={`${line.name}${sill.at_m}`} line={line} sill={sill} index={index} />
        )),
      )}
      {now.sources.map((source) => (
        <Source key={source.name} source={source} />
      ))}
      {now.trees.map((tree) => (
        <Tree key={tree.name} tree={tree} />
      ))}
      {drawn.map((line, i) => (
        <LineName key={line.name} line={line} number={i + 1} />
      ))}
      {screen.value === 'lines' && drawn.map((line) => <Pegs key={line.name} line={line} />)}
      <Breakouts />
      {
        now.findings
          .map(
            (finding, index) =>
              shows(finding) && (
                <FindingMark
                  key={`${finding.code}${finding.line}${finding.at_m}${finding.says}`}
                  finding={finding}
                  index={index}
                />
              ),
          )
          .reverse() /* they come gravest first: the gravest is drawn last, over the others */
      }
      {[...now.keep_clears, ...now.services, ...now.barriers].map((thing) => (
        <Corners key={thing.name} thing={thing} />
      ))}
      {(screen.value === 'book' || screen.value === 'ground') &&
        onMap.value.map(({ seen, place }) => <SeenMark key={seen.id} seen={seen} place={place} />)}
      {screen.value === 'book' && <Pointed />}
      {screen.value === 'ground' && <Probe />}
      {chosenLine && <StationRing line={chosenLine} />}
      <Draft />
    </>
  );
}

/** With a tool in the hand the keys lead a pencil: arrows move it, Enter puts down. True when the key was for it. */
function draws(event: KeyboardEvent): boolean {
  const now = view.value;
  if (!now) return false;
  const at = pencil.value ?? { x_m: Math.round(now.cx_m), y_m: Math.round(now.cy_m) };
  const nudge = nudgeOf(event);
  if (nudge) {
    const { way, by_m } = nudge;
    const next = { x_m: round(at.x_m + way[0] * by_m), y_m: round(at.y_m + way[1] * by_m) };
    pencil.value = next;
    const px = toPx(now, next);
    if (px.x < 30 || px.y < 30 || px.x > now.width - 30 || px.y > now.height - 30) centreOn(next);
    drawHover(next);
    say(words.map.pencilAt(figure(next.x_m, 1), figure(next.y_m, 1)));
    return true;
  }
  if (event.key !== 'Enter' && event.key !== ' ') return false;
  pencil.value = at;
  drawTap(at, now.k);
  return true;
}

export function Sheet() {
  const root = useRef<HTMLDivElement>(null);
  const ground = useRef<HTMLCanvasElement>(null);
  const traced = useRef<HTMLCanvasElement>(null);
  const world = useRef<SVGGElement>(null);
  useSize(root);
  usePainting({ relief: ground, traced, world });

  useEffect(() => {
    const element = root.current;
    if (!element) return;
    let sillFrom: { line: LineView; at_m: number } | null = null;
    const place = (at: Px) => (view.value ? toM(view.value, at) : null);
    return listen(element, {
      pan,
      zoom: (times, about) => {
        if (!view.value) return;
        moved = true;
        view.value = zoomed(view.value, times, about);
      },
      tap: (at, event) => {
        const where = place(at);
        if (where && drawTap(where, view.value?.k ?? 1, event.altKey)) return;
        const under = document.elementFromPoint(event.clientX, event.clientY)?.closest('[data-hit]');
        const hit = under?.getAttribute('data-hit') ?? null;
        if (screen.value === 'ground' && where) probe(where);
        if (screen.value === 'book' && where) pointAt(where, view.value?.k ?? 1, hit);
        if (hit?.startsWith('finding:')) {
          openFinding.value = site.value?.findings[Number(hit.slice('finding:'.length))] ?? null;
        } else if (hit) choose(hit);
        else selection.value = null;
      },
      claim: (at) => {
        const where = place(at);
        sillFrom = (tool.value === 'sill' && where && lineUnder(where, view.value?.k ?? 1)) || null;
        return sillFrom !== null;
      },
      lead: (at) => {
        const where = place(at);
        const line = sillFrom && lineNamed(sillFrom.line.name);
        const near = line && where && nearestOn(line.path, where);
        if (sillFrom && near) hold('sill:new', near.place, sillBetween(line, sillFrom.at_m, near.at_m));
      },
      leave: (_, given) => {
        sillFrom = null;
        if (given) void setDown().then(stopDrawing);
        else letGo();
      },
      hover: (at) => {
        const where = place(at);
        if (!where) return;
        drawHover(where);
        const line = lines.value.find((other) => other.name === selection.value?.name);
        const near = line && nearestOn(line.path, where);
        if (near && view.value && near.away_m * view.value.k < 16) station.value = near.at_m;
      },
    });
  }, []);

  const onKey = (event: KeyboardEvent) => {
    if (tool.value !== 'hand' && event.target === event.currentTarget && draws(event)) {
      event.preventDefault();
      return;
    }
    const moves: Record<string, () => void> = {
      ArrowLeft: () => pan(PAN_PX, 0),
      ArrowRight: () => pan(-PAN_PX, 0),
      ArrowUp: () => pan(0, PAN_PX),
      ArrowDown: () => pan(0, -PAN_PX),
      '+': () => zoomBy(1.25),
      '=': () => zoomBy(1.25),
      '-': () => zoomBy(0.8),
      '0': showAll,
    };
    const act = moves[event.key];
    if (!act || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    act();
  };

  return (
    <div class="sheet" ref={root}>
      <canvas class="ground" ref={ground} aria-hidden="true" />
      <canvas class="traced" ref={traced} aria-hidden="true" />
      <svg class="marks" role="group" tabindex={0} aria-label={words.map.label} onKeyDown={onKey}>
        <defs>
          <marker id="spill-head" viewBox="0 0 8 8" refX="6" refY="4" markerWidth="6" markerHeight="6" orient="auto">
            <path d="M0 0L8 4L0 8Z" />
          </marker>
          <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <path d="M0 0V6" />
          </pattern>
        </defs>
        <g ref={world} class={far.value ? 'far' : ''}>
          <Marks />
        </g>
      </svg>
      <Neatline />
    </div>
  );
}
