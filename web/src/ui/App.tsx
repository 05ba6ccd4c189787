// The frame: head, sheet, dial, section drawer and the ruled page. One page a screen; pages/index.ts lists them.
import { useEffect } from 'preact/hooks';
import { LongSection } from '../chart/LongSection';
import { hasMap, nothingYet } from '../state/begin';
import { letGo } from '../state/hand';
import { said, screen, tool } from '../state/look';
import { rainOn } from '../state/rain';
import { lines, redo, site, undo } from '../state/site';
import { stopDrawing } from '../state/tools';
import { words } from '../words';
import { RainDial } from './Dial';
import { Head } from './Head';
import { FindingNote, Notices } from './Notices';
import { pages } from './pages';
import { readyForPaper } from './printing';
import { SectionDrawer } from './SectionDrawer';
import { Sheet, showAll, zoomBy } from './Sheet';
import { Toolbar } from './Toolbar';

/** The one voice: said politely, never while something is dragged. */
function Voice() {
  const { text, count } = said.value;
  return (
    <p class="unseen" role="status" aria-live="polite">
      {text}
      {count % 2 === 0 ? '' : '\u00a0'}
    </p>
  );
}

/** In the map's place, where nothing has a place yet: the lines by their long sections. */
function ByTape() {
  const shown = lines.value.filter((line) => line.along.length > 1);
  return (
    <section class="map by-tape" aria-label={words.app.byTape}>
      <p>
        {words.app.noPlaces} <a href="#/start">{words.screens.start}</a>
      </p>
      {shown.map((line) => (
        <LongSection key={line.name} line={line} level={rainOn(line.name)?.level ?? null} />
      ))}
    </section>
  );
}

function typing(event: KeyboardEvent): boolean {
  return event.target instanceof HTMLElement && event.target.matches('input:not([type="range"]), textarea, select');
}

function onKey(event: KeyboardEvent): void {
  const key = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && !typing(event) && (key === 'z' || key === 'y')) {
    event.preventDefault();
    void (key === 'y' || event.shiftKey ? redo() : undo());
  } else if (event.key === 'Escape') {
    letGo();
    if (tool.value !== 'hand') stopDrawing();
  }
}

export function App() {
  useEffect(() => {
    document.addEventListener('keydown', onKey);
    return () => document.removeEventListener('keydown', onKey);
  }, []);
  useEffect(readyForPaper, []);
  // An empty folder has one question: what to begin with.
  const page = (nothingYet.value ? pages.start : pages[screen.value]) ?? pages.lines;
  const Page = page.component;
  useEffect(() => {
    document.title = `${words.screens[screen.value]} · ${site.value?.name ?? 'Hillsip'}`;
  }, [screen.value, site.value?.name]);
  return (
    <>
      <button type="button" class="skip" onClick={skip}>
        {words.app.skip}
      </button>
      <Head />
      <Notices />
      <div class={`desk ${page.map ? '' : 'no-map'}`}>
        {page.map && !hasMap.value && <ByTape />}
        {page.map && hasMap.value && (
          <section class="map" aria-label={words.app.map}>
            {screen.value === 'lines' && <Toolbar />}
            <div class="window">
              <Sheet />
              <div class="map-buttons">
                <button type="button" onClick={() => zoomBy(1.4)} aria-label={words.map.nearer}>
                  +
                </button>
                <button type="button" onClick={() => zoomBy(1 / 1.4)} aria-label={words.map.farther}>
                  −
                </button>
                <button type="button" onClick={showAll}>
                  {words.map.all}
                </button>
              </div>
              <FindingNote />
            </div>
          </section>
        )}
        {page.map && <RainDial />}
        {page.map && hasMap.value && <SectionDrawer />}
        <main class="page" id="page" tabIndex={-1}>
          <Page />
        </main>
      </div>
      <Voice />
    </>
  );
}

function skip(): void {
  document.getElementById('page')?.focus();
}
