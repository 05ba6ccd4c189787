// Plant: where each tree stands beside its line, whether that suits it, what it needs, and rows of new trees.
import { useState } from 'preact/hooks';
import { useAnswer } from '../../state/answers';
import { centimetres, figure, litres, metres, typed } from '../../state/figures';
import { selection } from '../../state/look';
import { rain } from '../../state/rain';
import { edit, lines, site } from '../../state/site';
import type { DiggingAnswer, Estimate, PlacedTree, PlantingAnswer, Tree } from '../../wire';
import { words } from '../../words';
import { Picked } from '../parts/Picked';
import { Term } from '../parts/Term';
import { Wide } from '../parts/Wide';
import { centreOn } from '../Sheet';

/** From the least to the most, or one figure where they are the same. */
function range(value: Estimate, digits: number): string {
  const [low, high] = [figure(value.low, digits), figure(value.high, digits)];
  return low === high ? low : words.plant.range(low, high);
}

function show(tree: PlacedTree): void {
  selection.value = { what: 'tree', name: tree.tree };
  if (tree.at_m) centreOn({ x_m: tree.at_m[0], y_m: tree.at_m[1] });
}

function Row({ tree }: { tree: PlacedTree }) {
  const given = rain.value?.trees.find((other) => other.name === tree.tree)?.litres ?? null;
  const suits = tree.verdict?.suits ?? null;
  return (
    <tr>
      <td class="box" aria-hidden="true" />
      <th scope="row">
        <button type="button" class="link" onClick={() => show(tree)}>
          {tree.stake} {tree.tree}
        </button>
      </th>
      <td class="words">{tree.species}</td>
      <td class={suits === 'yes' || suits === null ? 'words' : 'words caution-word'}>
        {suits === null ? '–' : words.plant.suits[suits]}
      </td>
      <td>{given === null ? '–' : litres(given)}</td>
      <td class="words">{tree.spot === null ? '–' : words.plant.spots[tree.spot]}</td>
      <td class="words">{tree.line ?? '–'}</td>
      <td>{tree.chainage_m === null ? '–' : metres(tree.chainage_m)}</td>
      <td>{tree.downhill_m === null ? '–' : metres(tree.downhill_m)}</td>
      <td>{tree.above_full_water_m === null ? '–' : centimetres(tree.above_full_water_m)}</td>
      <td>{tree.width_m === null ? '–' : `${range(tree.width_m, 1)} m`}</td>
    </tr>
  );
}

function Doubts({ trees }: { trees: readonly PlacedTree[] }) {
  const doubtful = trees.filter((tree) => tree.too_near.length > 0 || (tree.verdict && tree.verdict.suits !== 'yes'));
  if (doubtful.length === 0) return <p>{words.plant.allSuit}</p>;
  return (
    <ul class="plain">
      {doubtful.map((tree) => (
        <li key={tree.tree}>
          <button type="button" class="link" onClick={() => show(tree)}>
            {tree.tree}
          </button>{' '}
          {tree.verdict && tree.verdict.suits !== 'yes' && <span>{tree.verdict.because}. </span>}
          {tree.too_near.map((near) => (
            <span key={near.thing}>
              {words.plant.near(near.kind, near.thing, metres(near.distance_m), metres(near.asked_m))}{' '}
            </span>
          ))}
        </li>
      ))}
    </ul>
  );
}

/** Names that are free: F4, F5 … */
function freeNames(species: string, count: number): string[] {
  const initial = (species.trim()[0] ?? 'T').toUpperCase();
  const taken = new Set(site.value?.trees.map((tree) => tree.name));
  const free: string[] = [];
  for (let n = 1; free.length < count; n++) if (!taken.has(`${initial}${n}`)) free.push(`${initial}${n}`);
  return free;
}

/** How wide a species grows, as its trees here or the list of trees tell; 4 m where nothing does, as the program takes. */
function apart(species: string, known: readonly PlacedTree[]): number {
  const same = known.find((tree) => tree.species.startsWith(species.trim()) && tree.width_m);
  return same?.width_m?.likely ?? 4;
}

function RowOfTrees({ known }: { known: readonly PlacedTree[] }) {
  const withPlace = lines.value.filter((line) => line.kind === 'swale' || line.kind === 'drain');
  const [line, setLine] = useState('');
  const [species, setSpecies] = useState('fig');
  const [from, setFrom] = useState('4');
  const [every, setEvery] = useState('');
  const [count, setCount] = useState('3');
  const chosen = withPlace.find((each) => each.name === line) ?? withPlace[0];
  if (!chosen) return null;
  const spacing = typed(every) ?? apart(species, known);
  const first = typed(from);
  const wanted = typed(count);
  const fits = first === null ? 0 : Math.floor((chosen.length_m - first) / spacing) + 1;
  const ready = species.trim() !== '' && first !== null && first >= 0 && spacing > 0 && (wanted ?? 0) >= 1 && fits >= 1;
  const put = () => {
    if (!ready || first === null) return;
    const names = freeNames(species, Math.min(wanted ?? 1, fits));
    const trees = names.map(
      (name, i): Tree => ({
        name,
        species: species.trim(),
        line: chosen.name,
        at_m: Math.round((first + i * spacing) * 10) / 10,
      }),
    );
    void edit({ do: 'add_trees', trees });
  };
  const entry = (label: string, value: string, onInput: (value: string) => void, hint?: string) => (
    <label class="choice">
      <span>{label}</span>
      <input
        inputMode="decimal"
        value={value}
        placeholder={hint ?? ''}
        onInput={(event) => onInput(event.currentTarget.value)}
      />
    </label>
  );
  return (
    <form
      class="row fields"
      onSubmit={(event) => {
        event.preventDefault();
        put();
      }}
    >
      <label class="choice">
        <span>{words.plant.alongLine}</span>
        <select value={chosen.name} onChange={(event) => setLine(event.currentTarget.value)}>
          {withPlace.map((each) => (
            <option key={each.name} value={each.name}>
              {each.name}
            </option>
          ))}
        </select>
      </label>
      <label class="choice">
        <span>{words.tools.species}</span>
        <input value={species} onInput={(event) => setSpecies(event.currentTarget.value)} />
      </label>
      {entry(words.plant.firstAt, from, setFrom)}
      {entry(words.plant.every, every, setEvery, figure(apart(species, known), 1))}
      {entry(words.plant.howMany, count, setCount)}
      <button type="submit" class="strong" disabled={!ready}>
        {words.plant.putRow(Math.max(0, Math.min(wanted ?? 0, fits)))}
      </button>
    </form>
  );
}

function ToBring() {
  const digging = useAnswer<DiggingAnswer>('digging');
  if (!digging || digging.grove.trees === 0) return null;
  const grove = digging.grove;
  return (
    <>
      <h3>{words.plant.bring}</h3>
      <dl class="readings">
        {grove.kinds.map((kind) => (
          <>
            <dt>{kind.variety ? `${kind.species} ${kind.variety}` : kind.species}</dt>
            <dd>{kind.count}</dd>
          </>
        ))}
        <dt>{words.plant.spare}</dt>
        <dd>{range(grove.spare_trees, 0)}</dd>
        <dt>{words.plant.stakes}</dt>
        <dd>{grove.stakes}</dd>
        <dt>{words.plant.nurse}</dt>
        <dd>{range(grove.nurse_plants, 0)}</dd>
        <dt>{words.plant.mulch}</dt>
        <dd>{range(grove.mulch_m3, 1)} m³</dd>
        <dt>{words.plant.water}</dt>
        <dd>{range(grove.planting_water_l, 0)} L</dd>
        <dt>{words.plant.days}</dt>
        <dd>{range(grove.planting_person_days, 1)}</dd>
      </dl>
      {digging.costs && (
        <>
          <h3>{words.plant.costs(digging.costs.currency)}</h3>
          <dl class="readings">
            {digging.costs.things.map((each) => (
              <>
                <dt>{each.thing}</dt>
                <dd>{range(each.cost, 0)}</dd>
              </>
            ))}
            <dt>{words.plant.total}</dt>
            <dd>{range(digging.costs.total_cost, 0)}</dd>
          </dl>
        </>
      )}
    </>
  );
}

export function PlantPage() {
  const planting = useAnswer<PlantingAnswer>('planting');
  if (!planting) return <p>{words.dial.asking}</p>;
  const trees = planting.trees;
  return (
    <>
      <h2>{words.plant.title}</h2>
      <p>{words.plant.lead}</p>
      <Picked />
      {trees.length === 0 ? (
        <p>{words.plant.none}</p>
      ) : (
        <>
          <Wide label={words.plant.list}>
            <table class="stakes">
              <thead>
                <tr>
                  <td class="box" aria-hidden="true" />
                  <th scope="col">{words.plant.stake}</th>
                  <th scope="col" class="words">
                    {words.plant.kind}
                  </th>
                  <th scope="col" class="words">
                    {words.plant.suitsIt}
                  </th>
                  <th scope="col">{words.plant.thisRain}</th>
                  <th scope="col" class="words">
                    <Term word="spot">{words.plant.spot}</Term>
                  </th>
                  <th scope="col" class="words">
                    {words.lines.line}
                  </th>
                  <th scope="col">
                    <Term word="chainage">{words.lines.along}</Term>
                  </th>
                  <th scope="col">{words.picked.downhill}</th>
                  <th scope="col">{words.plant.aboveWater}</th>
                  <th scope="col">{words.plant.wide}</th>
                </tr>
              </thead>
              <tbody>
                {trees.map((tree) => (
                  <Row key={tree.tree} tree={tree} />
                ))}
              </tbody>
            </table>
          </Wide>
          <h3>{words.plant.doubts}</h3>
          <Doubts trees={trees} />
        </>
      )}
      <h3>{words.plant.row}</h3>
      <p class="small">{words.plant.rowHelp}</p>
      <RowOfTrees known={trees} />
      <ToBring />
      <p class="small">{words.plant.stakesFirst}</p>
    </>
  );
}
