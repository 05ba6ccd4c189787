// The head: whose ground it is, the steps of the job, undo, and what must be looked at.

import { hasMap } from '../state/begin';
import { type Screen, STEPS, screen } from '../state/look';
import { redo, site, undo } from '../state/site';
import { words } from '../words';
import { pages } from './pages';

function Step({ to }: { to: Screen }) {
  return (
    <a href={`#/${to}`} aria-current={screen.value === to ? 'page' : undefined}>
      {words.screens[to]}
    </a>
  );
}

export function Head() {
  const now = site.value;
  return (
    <header class="head">
      <h1>{now ? now.name || words.app.nameless : words.app.opening}</h1>
      <div class="acts">
        <button type="button" disabled={!now?.can_undo} onClick={() => void undo()} title={now?.undo_says ?? undefined}>
          {words.app.undo}
        </button>
        <button type="button" disabled={!now?.can_redo} onClick={() => void redo()} title={now?.redo_says ?? undefined}>
          {words.app.redo}
        </button>
        {(['layouts', 'print', 'about'] as const)
          .filter((other) => pages[other])
          .map((other) => (
            <Step key={other} to={other} />
          ))}
      </div>
      <nav class="steps" aria-label={words.app.steps}>
        {!hasMap.value && <Step to="start" />}
        {STEPS.filter((step) => pages[step]).map((step) => (
          <Step key={step} to={step} />
        ))}
      </nav>
    </header>
  );
}
