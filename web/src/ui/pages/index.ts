// One page a file. A page that has the map beside it says so; the head lists what stands here.
import type { ComponentType } from 'preact';
import type { Screen } from '../../state/look';
import { AboutPage } from './About';
import { BookPage } from './Book';
import { GroundPage } from './Ground';
import { LayoutsPage } from './Layouts';
import { LinesPage } from './Lines';
import { PlantPage } from './Plant';
import { PrintPage } from './Print';
import { RainPage } from './Rain';
import { StartPage } from './Start';
import { TendPage } from './Tend';

export interface PageEntry {
  component: ComponentType;
  map: boolean;
}

const linesPage: PageEntry = { component: LinesPage, map: true };

export const pages: Partial<Record<Screen, PageEntry>> & { lines: PageEntry } = {
  ground: { component: GroundPage, map: true },
  lines: linesPage,
  rain: { component: RainPage, map: true },
  plant: { component: PlantPage, map: true },
  tend: { component: TendPage, map: true },
  book: { component: BookPage, map: true },
  start: { component: StartPage, map: false },
  layouts: { component: LayoutsPage, map: false },
  print: { component: PrintPage, map: false },
  about: { component: AboutPage, map: false },
};
