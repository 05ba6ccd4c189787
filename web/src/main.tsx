import './style/fonts.css';
import './style/tokens.css';
import './style/app.css';
import './style/marks.css';
import './style/print.css';
import { effect } from '@preact/signals';
import { render } from 'preact';
import { hasMap, nothingYet } from './state/begin';
import { screen, theme } from './state/look';
import { followRain, loadStorms } from './state/rain';
import { fail, loadGround, loadSite } from './state/site';
import { App } from './ui/App';

effect(() => {
  document.documentElement.dataset.theme = theme.value;
});

const root = document.getElementById('app');
if (root) render(<App />, root);

async function begin(): Promise<void> {
  await loadSite();
  // A site without places begins with the guide, unless the address says where to.
  if (!hasMap.value && !/^#\/\w/.test(location.hash)) screen.value = 'start';
  if (!nothingYet.value) await Promise.all([loadGround(), loadStorms()]);
  followRain();
}
begin().catch(fail);
