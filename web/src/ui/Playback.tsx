// The rain in time: frames of water levels along every line, played, stopped, or turned by hand.
import { computed, effect, signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { get } from '../net/ask';
import type { RainLineView } from '../net/shapes';
import { figure, hours } from '../state/figures';
import { say, screen, stillness } from '../state/look';
import { type Dial, dial } from '../state/rain';
import { fail, site } from '../state/site';
import { words } from '../words';

interface Frames {
  hours: number[];
  rain_mm_h: number[];
  lines: { name: string; chainage_m: number[]; z_m: (number | null)[][] }[];
}

/** The whole storm plays in about twelve seconds. */
const SHOW_S = 12;
/** Where nothing should move by itself, a press takes the rain on by a share of the film. */
const STILL_STEPS = 12;

const frames = signal<Frames | null>(null);
const at = signal<number | null>(null);
const playing = signal(false);
let asked: Dial | null = null;

/** Levels of every line at the frame shown; null when the highest water is shown instead. */
export const frameNow = computed<Map<string, RainLineView['level']> | null>(() => {
  const film = frames.value;
  const n = at.value;
  if (!film || n === null) return null;
  const i = Math.min(film.hours.length - 1, Math.floor(n));
  const share = n - i;
  // Between two times that were computed the surface is drawn on its way from one to the other.
  return new Map(
    film.lines.map((line) => {
      const [from, to] = [line.z_m[i] ?? [], line.z_m[i + 1] ?? line.z_m[i] ?? []];
      const level = line.chainage_m.map((chainage_m, j) => {
        const [a, b] = [from[j] ?? null, to[j] ?? null];
        return { chainage_m, z_m: a === null || b === null ? a : a + share * (b - a) };
      });
      return [line.name, level];
    }),
  );
});

/** How many hours after the first drop the shown frame is. */
export const frameHour = computed(() => {
  const film = frames.value;
  const n = at.value;
  return film && n !== null ? (film.hours[Math.min(film.hours.length - 1, Math.floor(n))] ?? null) : null;
});

async function load(): Promise<void> {
  const wanted = dial.value;
  if (!wanted) return;
  asked = wanted;
  try {
    const film = await get<Frames>('rain/frames', { ...wanted });
    if (asked === wanted) frames.value = film;
  } catch (error) {
    fail(error);
  }
}

async function play(): Promise<void> {
  if (playing.value) {
    playing.value = false;
    return;
  }
  if (!frames.value) await load();
  const film = frames.value;
  if (!film) return;
  if (stillness.value) {
    const last = film.hours.length - 1;
    const next = at.value === null || at.value >= last ? 0 : Math.min(last, at.value + Math.ceil(last / STILL_STEPS));
    at.value = next;
    say(words.rain.after(hours(film.hours[next] ?? 0)));
    return;
  }
  playing.value = true;
  if (at.value === null || at.value >= film.hours.length - 1) at.value = 0;
  say(words.rain.playing);
  let before = performance.now();
  const step = (now: number) => {
    if (!playing.value) return;
    const next = (at.value ?? 0) + ((now - before) / 1000 / SHOW_S) * film.hours.length;
    before = now;
    if (next >= film.hours.length - 1) {
      at.value = film.hours.length - 1;
      playing.value = false;
      say(words.rain.played);
      return;
    }
    at.value = next;
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}

async function turn(to: number): Promise<void> {
  playing.value = false;
  if (!frames.value) await load();
  at.value = to;
}

export function Playback() {
  useEffect(() => {
    // A new storm or a changed plan makes the film stale; the highest water shows again.
    const stale = effect(() => {
      dial.value;
      site.value;
      frames.value = null;
      at.value = null;
      playing.value = false;
    });
    const leave = effect(() => {
      if (screen.value !== 'rain') playing.value = false;
    });
    return () => {
      stale();
      leave();
    };
  }, []);
  const film = frames.value;
  const last = film ? film.hours.length - 1 : 1;
  const n = at.value === null ? last : Math.floor(at.value);
  const hour = frameHour.value;
  const intensity = film && at.value !== null ? (film.rain_mm_h[n] ?? 0) : null;
  return (
    <div class="playback">
      <button type="button" class="strong" onClick={() => void play()} aria-pressed={playing.value}>
        {playing.value ? words.rain.pause : stillness.value && at.value !== null ? words.rain.onward : words.rain.play}
      </button>
      <label>
        <span class="unseen">{words.rain.time}</span>
        <input
          type="range"
          min="0"
          max={last}
          step="1"
          value={n}
          aria-valuetext={hour === null ? words.rain.highest : words.rain.after(hours(hour))}
          onInput={(event) => void turn(Number(event.currentTarget.value))}
        />
      </label>
      <span class="reading" aria-hidden="true">
        {hour === null ? words.rain.highest : words.rain.after(hours(hour))}
        {intensity !== null && ` · ${words.rain.falling(figure(intensity, 0))}`}
      </span>
      {at.value !== null && (
        <button
          type="button"
          onClick={() => {
            playing.value = false;
            at.value = null;
          }}
        >
          {words.rain.showHighest}
        </button>
      )}
    </div>
  );
}
