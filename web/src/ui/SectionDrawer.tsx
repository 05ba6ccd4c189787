// Under the map: the long section of the chosen line, on the screens where it is the question.
import { LongSection } from '../chart/LongSection';
import { screen, selectedLine } from '../state/look';
import { rainOn } from '../state/rain';
import { lineNamed } from '../state/site';
import { frameNow } from './Playback';

export function SectionDrawer() {
  const line = lineNamed(selectedLine.value);
  if (!line || (screen.value !== 'lines' && screen.value !== 'rain')) return null;
  const playing = screen.value === 'rain' ? frameNow.value?.get(line.name) : null;
  return <LongSection line={line} level={playing ?? rainOn(line.name)?.level ?? null} />;
}
