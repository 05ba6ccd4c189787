// What can be put on the map, and what to do next with the tool in the hand.
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { metres, typed } from '../state/figures';
import { put, say, selection, type Tool, takeTool, tool } from '../state/look';
import {
  barrierKind,
  drainGrade,
  drawing,
  finish,
  joining,
  keepClearKind,
  lineKind,
  outlineEdit,
  sourceAt,
  stopDrawing,
  treeSpecies,
  walked,
} from '../state/tools';
import { words } from '../words';

const TOOLS: readonly Tool[] = [
  'swale',
  'drain',
  'chute',
  'pipe',
  'sill',
  'cut',
  'join',
  'source',
  'tree',
  'barrier',
  'keep-clear',
];
const GRADES = ['1:200', '1:100', '1:60'];
const BARRIERS = ['fence', 'rock', 'wall', 'hedge'];
const KEEP_CLEARS = ['building', 'road', 'boundary', 'well', 'septic', 'service', 'steep drop', 'slip'];

function Choice(props: { label: string; value: string; from: readonly string[]; onChoose: (value: string) => void }) {
  return (
    <label class="choice">
      <span>{props.label}</span>
      <select value={props.value} onChange={(event) => props.onChoose(event.currentTarget.value)}>
        {props.from.map((value) => (
          <option key={value} value={value}>
            {words.kinds[value] ?? value}
          </option>
        ))}
      </select>
    </label>
  );
}

/** A source's name, kind and size, once its place is tapped. */
function SourceForm() {
  const place = sourceAt.value;
  const [name, setName] = useState('');
  const [area, setArea] = useState('');
  if (!place) return null;
  const area_m2 = typed(area);
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        if (name.trim() === '' || area_m2 === null) return;
        void finish({
          do: 'add_source',
          source: { name: name.trim(), kind: 'hard surface', into: place.line, at_m: place.at_m, area_m2 },
        });
      }}
    >
      <label class="choice">
        <span>{words.tools.sourceName}</span>
        <input value={name} onInput={(event) => setName(event.currentTarget.value)} />
      </label>
      <label class="choice">
        <span>{words.tools.sourceArea}</span>
        <input inputMode="decimal" value={area} onInput={(event) => setArea(event.currentTarget.value)} />
      </label>
      <button type="submit" class="strong" disabled={name.trim() === '' || area_m2 === null}>
        {words.tools.keep}
      </button>
    </form>
  );
}

function OutlineForm() {
  const [name, setName] = useState('');
  const needed = tool.value === 'barrier' ? 2 : 1;
  const ready = name.trim() !== '' && put.value.length >= needed;
  return (
    <form
      class="row"
      onSubmit={(event) => {
        event.preventDefault();
        if (ready) void finish(outlineEdit(name.trim()));
      }}
    >
      {tool.value === 'barrier' ? (
        <Choice
          label={words.tools.kind}
          value={barrierKind.value}
          from={BARRIERS}
          onChoose={(kind) => {
            barrierKind.value = kind;
          }}
        />
      ) : (
        <Choice
          label={words.tools.kind}
          value={keepClearKind.value}
          from={KEEP_CLEARS}
          onChoose={(kind) => {
            keepClearKind.value = kind;
          }}
        />
      )}
      <label class="choice">
        <span>{words.tools.name}</span>
        <input value={name} onInput={(event) => setName(event.currentTarget.value)} />
      </label>
      <button type="submit" class="strong" disabled={!ready}>
        {words.tools.keep}
      </button>
    </form>
  );
}

function Instructions() {
  const now = tool.value;
  const kind = lineKind();
  let more: ComponentChildren = null;
  if (now === 'drain') {
    more = (
      <Choice
        label={words.tools.fall}
        value={drainGrade.value}
        from={GRADES}
        onChoose={(grade) => {
          drainGrade.value = grade;
        }}
      />
    );
  } else if (now === 'tree') {
    more = (
      <label class="choice">
        <span>{words.tools.species}</span>
        <input
          value={treeSpecies.value}
          onInput={(event) => {
            treeSpecies.value = event.currentTarget.value;
          }}
        />
      </label>
    );
  } else if (now === 'source') more = <SourceForm />;
  else if (now === 'barrier' || now === 'keep-clear') more = <OutlineForm />;
  const trail = walked.value;
  const says =
    now === 'join' && joining.value
      ? words.tools.joinWith(joining.value)
      : kind && put.value.length > 0
        ? words.tools.toward
        : words.tools.how[now];
  return (
    <div class="instructions">
      <p>
        {says}
        {trail && put.value.length > 0 && (
          <strong aria-hidden="true">{` ${words.tools.walked(metres(trail.length_m), trail.band_m === null ? null : metres(trail.band_m, 2))}`}</strong>
        )}
      </p>
      {more}
      <button type="button" onClick={stopDrawing}>
        {words.tools.stop}
      </button>
    </div>
  );
}

export function Toolbar() {
  return (
    <div class="tools">
      <div class="row" role="toolbar" aria-label={words.tools.label}>
        {TOOLS.map((each) => (
          <button
            key={each}
            type="button"
            aria-pressed={tool.value === each}
            onClick={(event) => {
              selection.value = null;
              if (tool.value === each) stopDrawing();
              else {
                stopDrawing();
                takeTool(each);
                // Pressed by keys: the map has the keys now, and its pencil is shown.
                if (event.detail === 0) {
                  document.querySelector<SVGSVGElement>('.marks')?.focus();
                  say(words.tools.byKeys);
                }
              }
            }}
          >
            {words.tools.names[each]}
          </button>
        ))}
      </div>
      {drawing.value && <Instructions />}
    </div>
  );
}
