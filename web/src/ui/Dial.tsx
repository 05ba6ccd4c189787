// The next rain, always dialled in: a gauge lying on its side. Under it, in one sentence, what that rain does.
import { hours, metres, rainDepth, volume } from '../state/figures';
import { selection, station } from '../state/look';
import { DEEPEST_MM, dial, HOURS, rain, storms } from '../state/rain';
import { words } from '../words';

function turn(depth_mm: number): void {
  const now = dial.value;
  if (now) dial.value = { ...now, depth_mm };
}

function Verdict() {
  const now = rain.value;
  if (!now) return <p class="verdict">{words.dial.asking}</p>;
  const breaks = now.lines.flatMap((line) => line.breakouts);
  const first = now.first_breakout;
  return (
    <p class="verdict">
      <strong class="on-paper">{words.dial.value(rainDepth(now.depth_mm), hours(now.hours))}: </strong>
      <span class="soaks">{words.dial.soaks(volume(now.soaked_m3), volume(now.came_m3))}</span>{' '}
      <span>{words.dial.leaves(volume(now.leaves_m3))}</span>{' '}
      {breaks.length > 0 ? (
        <strong class="caution">
          {breaks.map((place) => words.dial.breaks(place.line, metres(place.at_m))).join(' ')}
        </strong>
      ) : (
        <span>{words.dial.holds}</span>
      )}{' '}
      {first && (
        <button
          type="button"
          class="link"
          onClick={() => {
            selection.value = { what: 'line', name: first.line };
            station.value = first.at_m;
          }}
        >
          {words.dial.first(first.line, metres(first.at_m), rainDepth(first.depth_mm))}
        </button>
      )}
    </p>
  );
}

export function RainDial() {
  const now = dial.value;
  if (!now) return null;
  const share = Math.min(1, now.depth_mm / DEEPEST_MM);
  const marks = [0, 25, 50, 75, 100, 125, 150];
  const chosen = storms.value.findIndex((storm) => storm.depth_mm === now.depth_mm && storm.hours === now.hours);
  const spans = HOURS.includes(now.hours) ? HOURS : [...HOURS, now.hours].sort((a, b) => a - b);
  return (
    <section class="dial" aria-label={words.dial.label}>
      <div class="turn">
        <output class="depth" aria-hidden="true">
          {rainDepth(now.depth_mm)}
        </output>
        <div class="gauge">
          <svg viewBox="0 0 1000 40" preserveAspectRatio="none" aria-hidden="true" focusable="false">
            <rect class="tube" x="0" y="9" width="1000" height="15" />
            <rect class="filled" x="0" y="9" width={1000 * share} height="15" />
          </svg>
          <div class="marks" aria-hidden="true">
            {marks.map((mark) => (
              <span key={mark} style={{ left: `${(100 * mark) / DEEPEST_MM}%` }}>
                {mark}
              </span>
            ))}
          </div>
          <input
            type="range"
            min="0"
            max={DEEPEST_MM}
            step="1"
            value={now.depth_mm}
            aria-label={words.dial.depth}
            aria-valuetext={words.dial.value(rainDepth(now.depth_mm), hours(now.hours))}
            onInput={(event) => turn(Number(event.currentTarget.value))}
          />
        </div>
        <label class="span">
          <span>{words.dial.within}</span>
          <select
            value={String(now.hours)}
            onChange={(event) => {
              dial.value = { ...now, hours: Number(event.currentTarget.value) };
            }}
          >
            {spans.map((span) => (
              <option key={span} value={String(span)}>
                {hours(span)}
              </option>
            ))}
          </select>
        </label>
        <label class="storm">
          <span>{words.dial.storm}</span>
          <select
            value={String(chosen)}
            onChange={(event) => {
              const storm = storms.value[Number(event.currentTarget.value)];
              if (storm) dial.value = { depth_mm: storm.depth_mm, hours: storm.hours, shape: storm.shape };
            }}
          >
            <option value="-1">{words.dial.own}</option>
            {storms.value.map((storm, i) => (
              <option key={storm.name} value={String(i)}>
                {storm.name}
              </option>
            ))}
          </select>
        </label>
      </div>
      <Verdict />
    </section>
  );
}
