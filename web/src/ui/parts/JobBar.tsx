// A long work under way: how much of it is done, and a way to stop it.
import type { Job } from '../../state/jobs';
import { words } from '../../words';

export function JobBar({ job, label, body }: { job: Job<unknown>; label: string; body: unknown }) {
  const now = job.view.value;
  if (now?.state === 'running') {
    return (
      <p class="row job">
        <label>
          <span class="unseen">{label}</span>
          <progress max={1} value={now.done_frac} />
        </label>
        <button type="button" onClick={() => void job.stop()}>
          {words.jobs.stop}
        </button>
      </p>
    );
  }
  return (
    <p>
      <button type="button" onClick={() => void job.begin(body)} disabled={body === null}>
        {label}
      </button>
      {now?.says && <span class="caution-word"> {now.says}</span>}
    </p>
  );
}
