// Look at the ground: where water runs, how high a place is, what is there.
import { useEffect } from 'preact/hooks';
import { figure, metres } from '../../state/figures';
import { probed } from '../../state/probe';
import { contours, fail, loadFlow, relief, site } from '../../state/site';
import { words } from '../../words';
import { FindingList } from '../parts/Finding';
import { Term } from '../parts/Term';
import { showFlow } from '../Sheet';

/** The place that was tapped: its height, its slope. */
function Probed() {
  const there = probed.value;
  if (!there) return <p>{words.ground.tap}</p>;
  const { z_m, slope } = there.ground;
  return (
    <dl class="readings" aria-live="polite">
      <dt>{words.ground.here}</dt>
      <dd>{words.map.pencilAt(figure(there.place.x_m, 1), figure(there.place.y_m, 1))}</dd>
      <dt>{words.lines.height}</dt>
      <dd>{z_m === null ? words.ground.notMeasured : metres(z_m, 2)}</dd>
      {slope !== null && (
        <>
          <dt>{words.ground.slope}</dt>
          <dd>{words.ground.percent(figure(100 * slope, 0), figure((Math.atan(slope) * 180) / Math.PI, 0))}</dd>
        </>
      )}
    </dl>
  );
}

export function GroundPage() {
  const now = site.value;
  useEffect(() => {
    if (now?.has_ground) loadFlow().catch(fail);
  }, [now?.has_ground]);
  if (!now) return <p>{words.app.opening}</p>;
  const ground = relief.value;
  const heights = contours.value.map((line) => line.value);
  const about = now.findings.filter((finding) => finding.line === null);
  return (
    <>
      <h2>{words.ground.title}</h2>
      <p>{words.ground.lead}</p>
      <label class="tick">
        <input
          type="checkbox"
          checked={showFlow.value}
          onChange={(event) => {
            showFlow.value = event.currentTarget.checked;
          }}
        />
        {words.ground.flow}
      </label>
      <dl class="readings">
        {ground && (
          <>
            <dt>{words.ground.size}</dt>
            <dd>
              {metres(ground.cols * ground.cell_m, 0)} × {metres(ground.rows * ground.cell_m, 0)}
            </dd>
            <dt>{words.ground.cell}</dt>
            <dd>{metres(ground.cell_m, 2)}</dd>
          </>
        )}
        {heights.length > 0 && (
          <>
            <dt>
              <Term word="datum">{words.ground.heights}</Term>
            </dt>
            <dd>
              {figure(Math.min(...heights), 1)} … {metres(Math.max(...heights), 1)}
            </dd>
          </>
        )}
      </dl>
      <Probed />
      <h3>{words.ground.inTheWay}</h3>
      <ul class="plain">
        {[...now.keep_clears, ...now.services, ...now.barriers].map((thing) => (
          <li key={thing.name}>
            <strong>{thing.name}</strong> {words.kinds[thing.kind] ?? thing.kind}
          </li>
        ))}
      </ul>
      <h3>{words.ground.water}</h3>
      <ul class="plain">
        {now.sources.map((source) => (
          <li key={source.name}>
            <strong>{source.name}</strong> {words.map.sourceGoes(source)}
          </li>
        ))}
      </ul>
      <h3>{words.findings.title}</h3>
      <FindingList findings={about} />
    </>
  );
}
