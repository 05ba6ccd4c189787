// What must be seen before anything else: a stop finding, a file that cannot be read, a change that met another.
import { useEffect, useRef } from 'preact/hooks';
import { nothingYet } from '../state/begin';
import { conflict, connected, editAgain, outside, site, trouble } from '../state/site';
import { words } from '../words';
import { FindingText } from './parts/Finding';
import { openFinding } from './Sheet';

function Conflict() {
  const held = conflict.value;
  const first = useRef<HTMLButtonElement>(null);
  useEffect(() => first.current?.focus(), []);
  if (!held) return null;
  return (
    <div class="notice caution" role="alertdialog" aria-label={words.save.conflictTitle}>
      <p>
        <strong>{words.save.conflictTitle}</strong> {words.save.conflictSays(held.says)}
      </p>
      <div class="row">
        <button type="button" class="strong" ref={first} onClick={() => void editAgain()}>
          {words.save.makeAgain}
        </button>
        <button
          type="button"
          onClick={() => {
            conflict.value = null;
          }}
        >
          {words.save.leaveTheirs}
        </button>
      </div>
    </div>
  );
}

export function Notices() {
  const now = site.value;
  const stops = now?.findings.filter((finding) => finding.severity === 'stop') ?? [];
  return (
    <section class="notices" aria-label={words.app.notices}>
      {stops.length > 0 && (
        <div class="notice stop">
          <p>
            <strong>{words.findings.stop(stops.length)}</strong> {stops.map((finding) => finding.title).join(' · ')}
          </p>
          <div class="row">
            {stops.slice(0, 3).map((finding) => (
              <button
                type="button"
                key={`${finding.code}${finding.line}${finding.at_m}`}
                onClick={() => {
                  openFinding.value = finding;
                }}
              >
                {words.findings.look(finding.title)}
              </button>
            ))}
          </div>
        </div>
      )}
      {now && now.faults.length > 0 && !nothingYet.value && (
        <div class="notice caution">
          <p>
            <strong>{words.save.faults}</strong>
          </p>
          <ul>
            {now.faults.map((fault) => (
              <li key={`${fault.file}${fault.line}${fault.column}${fault.text}`}>
                {words.save.fault(fault.file, fault.line, fault.column)} {fault.text}
              </li>
            ))}
          </ul>
        </div>
      )}
      {conflict.value && <Conflict />}
      {outside.value && (
        <div class="notice">
          <p>{words.save.outside(outside.value)}</p>
          <button
            type="button"
            onClick={() => {
              outside.value = null;
            }}
          >
            {words.app.close}
          </button>
        </div>
      )}
      {!connected.value && (
        <div class="notice caution">
          <p>{words.save.lost}</p>
        </div>
      )}
      {trouble.value && (
        <div class="notice caution">
          <p>{trouble.value}</p>
          <button
            type="button"
            onClick={() => {
              trouble.value = null;
            }}
          >
            {words.app.close}
          </button>
        </div>
      )}
    </section>
  );
}

/** The finding that was touched on the map or in the list, whole. */
export function FindingNote() {
  const finding = openFinding.value;
  const close = useRef<HTMLButtonElement>(null);
  useEffect(() => close.current?.focus(), [finding]);
  if (!finding) return null;
  const shut = () => {
    openFinding.value = null;
  };
  return (
    <aside
      class={`finding-note ${finding.severity}`}
      aria-label={finding.title}
      onKeyDown={(event) => {
        if (event.key === 'Escape') shut();
      }}
    >
      <FindingText finding={finding} />
      <button type="button" ref={close} onClick={shut}>
        {words.app.close}
      </button>
    </aside>
  );
}
