// Start: from an A-frame, a tape and a rain gauge to a sized first swale. Each answer is saved as it is given, and what
// the line does is told beside it at once.
import { useState } from 'preact/hooks';
import { LongSection } from '../../chart/LongSection';
import type { LineView } from '../../net/shapes';
import { begin, nothingYet, tapeLine } from '../../state/begin';
import { centimetres, figure, hours, metres, typed, volume } from '../../state/figures';
import { rainOn } from '../../state/rain';
import { edit, site } from '../../state/site';
import type { Plan, TapePeg } from '../../wire';
import { words } from '../../words';
import { NumberField, TextField } from '../parts/Field';
import { FindingList } from '../parts/Finding';
import { Term } from '../parts/Term';
import { Wide } from '../parts/Wide';

const set =
  (...path: string[]) =>
  (value: string | number) =>
    void edit({ do: 'set', path, value });

function Choose(props: { label: string; value: string; from: readonly string[]; onChoose: (value: string) => void }) {
  return (
    <label class="choice">
      <span>{props.label}</span>
      <select value={props.value} onChange={(event) => props.onChoose(event.currentTarget.value)}>
        {props.from.map((each) => (
          <option key={each} value={each}>
            {words.start.names[each] ?? each}
          </option>
        ))}
      </select>
    </label>
  );
}

function Nothing() {
  const [name, setName] = useState('');
  return (
    <div class="read">
      <h2>{words.start.nothing}</h2>
      <p>{words.start.nothingLead}</p>
      <form
        class="row fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim()) void begin({ with: 'own', name: name.trim() });
        }}
      >
        <label class="choice">
          <span>{words.start.siteName}</span>
          <input value={name} onInput={(event) => setName(event.currentTarget.value)} />
        </label>
        <button type="submit" class="strong" disabled={name.trim() === ''}>
          {words.start.own}
        </button>
      </form>
      <p>{words.start.orExample}</p>
      <button type="button" onClick={() => void begin({ with: 'example' })}>
        {words.start.example}
      </button>
    </div>
  );
}

const TOOLS = ['a-frame', 'hose', 'line level', 'level'];
const TEXTURES = [
  'sand',
  'loamy sand',
  'sandy loam',
  'loam',
  'silt loam',
  'silt',
  'sandy clay loam',
  'clay loam',
  'silty clay loam',
  'sandy clay',
  'silty clay',
  'clay',
];
const CRUMBS = ['not tried', 'holds', 'slakes', 'clouds'];

function Where({ plan }: { plan: Plan }) {
  return (
    <div class="row fields">
      <TextField label={words.start.siteName} value={plan.name} onKeep={set('name')} />
      <NumberField
        label={words.start.latitude}
        unit="°"
        value={plan.place.latitude_deg}
        digits={1}
        onKeep={set('place', 'latitude_deg')}
      />
      <NumberField
        label={words.start.height}
        unit="m"
        value={plan.place.elevation_m}
        digits={0}
        onKeep={set('place', 'elevation_m')}
      />
    </div>
  );
}

function Ground({ plan }: { plan: Plan }) {
  const soil = plan.soil?.[0];
  return (
    <div class="row fields">
      {soil && (
        <>
          <Choose
            label={words.start.texture}
            value={soil.texture}
            from={TEXTURES}
            onChoose={set('soil', soil.name, 'texture')}
          />
          <Choose
            label={words.start.crumbs}
            value={soil.jar_test ?? 'not tried'}
            from={CRUMBS}
            onChoose={(value) =>
              void edit({
                do: 'set',
                path: ['soil', soil.name, 'jar_test'],
                value: value === 'not tried' ? null : value,
              })
            }
          />
          <NumberField
            label={words.start.soilDepth}
            unit="m"
            value={soil.depth_m ?? 1}
            digits={1}
            onKeep={set('soil', soil.name, 'depth_m')}
          />
        </>
      )}
    </div>
  );
}

function BigRain({ plan }: { plan: Plan }) {
  const design = plan.rain.design;
  return (
    <div class="row fields">
      <NumberField
        label={words.start.rainDepth}
        unit="mm"
        value={design.depth_mm}
        digits={0}
        onKeep={set('rain', 'design', 'depth_mm')}
      />
      <NumberField
        label={words.start.rainHours}
        unit="h"
        value={design.hours}
        digits={1}
        onKeep={set('rain', 'design', 'hours')}
      />
      <NumberField
        label={words.start.rainYears}
        unit=""
        value={design.once_in_years}
        digits={0}
        onKeep={set('rain', 'design', 'once_in_years')}
      />
    </div>
  );
}

/** The land above, as paced: how far it reaches uphill and how wide it is. */
function LandAbove({ line, area_m2 }: { line: LineView; area_m2: number }) {
  const [up, setUp] = useState('');
  const [wide, setWide] = useState('');
  const product = (typed(up) ?? 0) * (typed(wide) ?? 0);
  return (
    <form
      class="row fields"
      onSubmit={(event) => {
        event.preventDefault();
        if (product > 0) set('line', line.name, 'catchment_m2')(Math.round(product));
      }}
    >
      <NumberField
        label={words.start.landArea}
        unit="m²"
        value={area_m2}
        digits={0}
        onKeep={set('line', line.name, 'catchment_m2')}
      />
      <label class="choice">
        <span>{words.start.landUp}</span>
        <input inputMode="decimal" value={up} onInput={(event) => setUp(event.currentTarget.value)} />
      </label>
      <label class="choice">
        <span>{words.start.landWide}</span>
        <input inputMode="decimal" value={wide} onInput={(event) => setWide(event.currentTarget.value)} />
      </label>
      <button type="submit" disabled={product <= 0}>
        {product > 0 ? words.start.landTake(figure(product, 0)) : words.start.landTakeNone}
      </button>
    </form>
  );
}

/** Pegs set level with the tool stand at one height: only their length is asked. */
function levelTape(length_m: number, datum_m: number): TapePeg[] {
  const legs = Math.max(1, Math.round(length_m / 10));
  return Array.from({ length: legs + 1 }, (_, i) => ({
    at_m: Math.round((length_m * i * 10) / legs) / 10,
    z_m: datum_m,
  }));
}

function Tape({ line, tape }: { line: LineView; tape: readonly TapePeg[] }) {
  const [long, setLong] = useState('');
  const keep = (next: readonly TapePeg[]) =>
    void edit({ do: 'set', path: ['line', line.name, 'tape'], value: next.map((peg) => ({ ...peg })) });
  const last = tape[tape.length - 1] ?? { at_m: 0, z_m: 100 };
  const length_m = typed(long);
  return (
    <>
      <form
        class="row fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (length_m && length_m >= 2) keep(levelTape(length_m, tape[0]?.z_m ?? 100));
        }}
      >
        <label class="choice">
          <span>{words.start.levelLength}</span>
          <input
            inputMode="decimal"
            value={long}
            placeholder={figure(line.length_m, 0)}
            onInput={(event) => setLong(event.currentTarget.value)}
          />
        </label>
        <button type="submit" class="strong" disabled={!(length_m !== null && length_m >= 2)}>
          {words.start.levelTake}
        </button>
      </form>
      <details>
        <summary>{words.start.heights}</summary>
        <p class="small">{words.start.heightsHelp}</p>
        <Wide label={words.start.heights}>
          <table class="tape">
            <thead>
              <tr>
                <th scope="col">{words.lines.peg}</th>
                <th scope="col">
                  <Term word="chainage">{words.lines.along}</Term>
                </th>
                <th scope="col">{words.lines.height}</th>
              </tr>
            </thead>
            <tbody>
              {tape.map((peg, i) => (
                <tr key={peg.at_m}>
                  <th scope="row">{i + 1}</th>
                  <td>
                    <NumberField
                      quiet
                      label={words.start.alongOf(i + 1)}
                      unit="m"
                      value={peg.at_m}
                      digits={1}
                      onKeep={(at_m) => keep(tape.map((each, j) => (j === i ? { ...each, at_m } : each)))}
                    />
                  </td>
                  <td>
                    <NumberField
                      quiet
                      label={words.start.heightOf(i + 1)}
                      unit="m"
                      value={peg.z_m}
                      digits={3}
                      onKeep={(z_m) => keep(tape.map((each, j) => (j === i ? { ...each, z_m } : each)))}
                    />
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </Wide>
        <p class="row">
          <button type="button" onClick={() => keep([...tape, { at_m: last.at_m + 10, z_m: last.z_m }])}>
            {words.start.anotherPeg}
          </button>
          <button type="button" disabled={tape.length < 3} onClick={() => keep(tape.slice(0, -1))}>
            {words.start.lessPeg}
          </button>
        </p>
      </details>
    </>
  );
}

function Shape({ line, slope }: { line: LineView; slope: string }) {
  const percent = typed(slope.replace('%', ''));
  return (
    <div class="row fields">
      {percent !== null && (
        <NumberField
          label={words.start.crossSlope}
          unit="cm"
          value={percent}
          digits={0}
          onKeep={(value) => set('line', line.name, 'cross_slope')(`${value}%`)}
        />
      )}
      {line.section.bed_width_m !== null && (
        <NumberField
          label={words.lines.bedWidth}
          unit="m"
          value={line.section.bed_width_m}
          digits={2}
          onKeep={set('line', line.name, 'bed_width_m')}
        />
      )}
      {line.section.depth_m !== null && (
        <NumberField
          label={words.lines.depth}
          unit="m"
          value={line.section.depth_m}
          digits={2}
          onKeep={set('line', line.name, 'depth_m')}
        />
      )}
      {line.section.bank_height_m !== null && (
        <NumberField
          label={words.lines.bankHeight}
          unit="m"
          value={line.section.bank_height_m}
          digits={2}
          onKeep={set('line', line.name, 'bank_height_m')}
        />
      )}
    </div>
  );
}

/** What the line does: the answer to everything asked so far. */
function Sized({ line }: { line: LineView }) {
  const sill = line.sills[0];
  const rain = rainOn(line.name);
  const spread = (value: { low: number; high: number; likely: number }, show: (n: number) => string) =>
    value.high - value.low < 0.05 * value.likely
      ? show(value.likely)
      : words.rain.range(show(value.low), show(value.high), show(value.likely));
  const findings = (site.value?.findings ?? []).filter(
    (finding) => finding.line === line.name || finding.line === null,
  );
  return (
    <section class="sized" aria-label={words.start.sized(line.name)}>
      <h3>{words.start.sized(line.name)}</h3>
      <dl class="readings">
        {line.holds_m3 && (
          <>
            <dt>{words.lines.holdsBrimFull}</dt>
            <dd>{spread(line.holds_m3, volume)}</dd>
          </>
        )}
        {line.holds_rain_mm !== null && (
          <>
            <dt>{words.start.filledBy}</dt>
            <dd>{words.start.mm(figure(line.holds_rain_mm, 0))}</dd>
          </>
        )}
        {line.empties_h && (
          <>
            <dt>{words.start.empties}</dt>
            <dd>{spread(line.empties_h, (value) => hours(Math.round(value)))}</dd>
          </>
        )}
        {sill && (
          <>
            <dt>{words.start.sillNeeds}</dt>
            <dd>
              {sill.width_needed_m === null ? '–' : metres(sill.width_needed_m)}{' '}
              {words.start.sillHas(metres(sill.width_m))}
            </dd>
          </>
        )}
        {rain && rain.least_bank_m !== null && (
          <>
            <dt>{words.start.bankLeft}</dt>
            <dd>{centimetres(rain.least_bank_m)}</dd>
          </>
        )}
        {line.person_days && (
          <>
            <dt>{words.start.digging}</dt>
            <dd>{spread(line.person_days, (value) => figure(value, 1))}</dd>
          </>
        )}
      </dl>
      <div class="section">
        <LongSection line={line} level={rain?.level ?? null} />
      </div>
      <h3>{words.findings.title}</h3>
      <FindingList findings={findings} />
    </section>
  );
}

function Guided() {
  const now = site.value;
  const plan = now?.plan;
  if (!now || !plan) return <p>{words.dial.asking}</p>;
  const line = tapeLine.value;
  const written = line && plan.line?.find((each) => each.name === line.name);
  const steps = [
    { title: words.start.where, help: words.start.whereHelp, form: <Where plan={plan} /> },
    { title: words.start.ground, help: words.start.groundHelp, form: <Ground plan={plan} /> },
    { title: words.start.rain, help: words.start.rainHelp, form: <BigRain plan={plan} /> },
    {
      title: words.start.peg,
      help: words.start.pegHelp,
      form: line && written && (
        <>
          <div class="row fields">
            <Choose label={words.start.tool} value={plan.tool.kind} from={TOOLS} onChoose={set('tool', 'kind')} />
            <NumberField
              label={words.start.step}
              unit="m"
              value={plan.tool.step_m}
              digits={1}
              onKeep={set('tool', 'step_m')}
            />
          </div>
          <Tape line={line} tape={written.tape ?? []} />
        </>
      ),
    },
    {
      title: words.start.land,
      help: words.start.landHelp,
      form: line && written && <LandAbove line={line} area_m2={written.catchment_m2 ?? 0} />,
    },
    {
      title: words.start.trench,
      help: words.start.trenchHelp,
      form: line && written && <Shape line={line} slope={String(written.cross_slope ?? '')} />,
    },
  ];
  return (
    <div class="guided">
      <div>
        <h2>{words.start.title}</h2>
        <p>{words.start.lead}</p>
        <ol class="steps-of-start">
          {steps.map((step) => (
            <li key={step.title}>
              <h3>{step.title}</h3>
              <p>{step.help}</p>
              {step.form ?? <p class="small">{words.start.noTape}</p>}
            </li>
          ))}
        </ol>
        <p>
          {words.start.orExample}{' '}
          <button type="button" onClick={() => void begin({ with: 'example' })}>
            {words.start.example}
          </button>
        </p>
      </div>
      {line && <Sized line={line} />}
    </div>
  );
}

export function StartPage() {
  return nothingYet.value ? <Nothing /> : <Guided />;
}
