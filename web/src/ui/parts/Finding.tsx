// A finding in full, and the list of them.
import type { FindingView } from '../../net/shapes';
import { stationAt } from '../../sheet/along';
import { metres } from '../../state/figures';
import { selection, station } from '../../state/look';
import { lines } from '../../state/site';
import { words } from '../../words';
import { centreOn } from '../Sheet';

export function FindingText({ finding }: { finding: FindingView }) {
  return (
    <>
      <h3>
        <span class={`sign ${finding.severity}`}>{words.findings.severity[finding.severity]}</span> {finding.title}
      </h3>
      <p>{finding.says}</p>
      <dl class="reasons">
        <dt>{words.findings.why}</dt>
        <dd>{finding.why}</dd>
        <dt>{words.findings.do}</dt>
        <dd>{finding.do}</dd>
        <dt>{words.findings.ask}</dt>
        <dd>{finding.ask}</dd>
        <dt>{words.findings.source}</dt>
        <dd class="source">{finding.source}</dd>
      </dl>
    </>
  );
}

function show(finding: FindingView): void {
  const line = lines.value.find((other) => other.name === finding.line);
  if (line) {
    selection.value = { what: 'line', name: line.name };
    station.value = finding.at_m;
  }
  const place = finding.at ?? (line && finding.at_m !== null ? stationAt(line.path, finding.at_m)?.place : null);
  if (place) centreOn(place);
}

const ORDER = { stop: 0, warn: 1, note: 2 };

export function FindingList({ findings }: { findings: readonly FindingView[] }) {
  const sorted = [...findings].sort((a, b) => ORDER[a.severity] - ORDER[b.severity]);
  if (sorted.length === 0) return <p>{words.findings.none}</p>;
  return (
    <ul class="findings">
      {sorted.map((finding) => (
        <li key={`${finding.code}${finding.line}${finding.at_m}${finding.says}`} class={finding.severity}>
          <details>
            <summary>
              <span class={`sign ${finding.severity}`}>{words.findings.severity[finding.severity]}</span>
              <span>
                {finding.title}
                {finding.line && (
                  <span class="where">
                    {words.findings.where(finding.line, finding.at_m === null ? null : metres(finding.at_m))}
                  </span>
                )}
              </span>
            </summary>
            <FindingText finding={finding} />
            {(finding.line !== null || finding.at !== null) && (
              <button type="button" onClick={() => show(finding)}>
                {words.findings.show}
              </button>
            )}
          </details>
        </li>
      ))}
    </ul>
  );
}
