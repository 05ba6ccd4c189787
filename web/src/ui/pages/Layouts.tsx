// Layouts side by side: what each gives in the rain of the dial, and adopting one.
import { useEffect, useState } from 'preact/hooks';
import { get, post, remove } from '../../net/ask';
import { figure, litres, litresASecond, metres, volume } from '../../state/figures';
import { dial } from '../../state/rain';
import { fail, site, takeChanged } from '../../state/site';
import type { AlternativesView, Estimate, Gives } from '../../wire';
import { words } from '../../words';
import { Wide } from '../parts/Wide';

function spread(value: Estimate, digits: number): string {
  const [low, high] = [figure(value.low, digits), figure(value.high, digits)];
  return low === high ? low : words.rain.range(low, high, figure(value.likely, digits));
}

/** What is compared, a row each: water for trees, safety, digging. */
const ROWS: readonly { name: string; tell: (of: Gives) => string; worse?: (of: Gives) => boolean }[] = [
  { name: words.layouts.beside, tell: (of) => (of.storm ? litres(of.storm.beside_trees_l) : '–') },
  {
    name: words.layouts.driest,
    tell: (of) => (of.storm?.beside_driest_tree_l == null ? '–' : litres(of.storm.beside_driest_tree_l)),
  },
  { name: words.layouts.soaked, tell: (of) => (of.storm ? volume(of.storm.soaked_m3) : '–') },
  { name: words.layouts.leaves, tell: (of) => (of.storm ? volume(of.storm.leaves_m3) : '–') },
  { name: words.layouts.peak, tell: (of) => (of.storm ? litresASecond(of.storm.peak_leaves_l_s) : '–') },
  {
    name: words.layouts.breakouts,
    tell: (of) => (of.storm ? String(of.storm.breakouts) : '–'),
    worse: (of) => (of.storm?.breakouts ?? 0) > 0,
  },
  {
    name: words.layouts.overtaxed,
    tell: (of) => (of.storm ? String(of.storm.sills_overtaxed) : '–'),
    worse: (of) => (of.storm?.sills_overtaxed ?? 0) > 0,
  },
  { name: words.layouts.stops, tell: (of) => String(of.stop_findings), worse: (of) => of.stop_findings > 0 },
  { name: words.layouts.looks, tell: (of) => String(of.warn_findings) },
  { name: words.layouts.days, tell: (of) => spread(of.person_days, 1) },
  { name: words.layouts.cut, tell: (of) => volume(of.cut_m3) },
  { name: words.layouts.holds, tell: (of) => volume(of.holds_m3) },
  { name: words.layouts.length, tell: (of) => metres(of.length_m, 0) },
];

function nameOf(layout: Gives): string {
  return layout.name === '' ? words.layouts.plan : layout.name;
}

export function LayoutsPage() {
  const [view, setView] = useState<AlternativesView | null>(null);
  const [turn, setTurn] = useState(0);
  const [name, setName] = useState('');
  const revision = site.value?.revision;
  const storm = dial.value;
  useEffect(() => {
    if (revision === undefined) return;
    let wanted = true;
    get<AlternativesView>('alternatives', { ...storm })
      .then((next) => wanted && setView(next))
      .catch((error) => wanted && fail(error));
    return () => {
      wanted = false;
    };
  }, [revision, turn, storm]);
  const then = (work: Promise<unknown>) => void work.then(() => setTurn((n) => n + 1)).catch(fail);
  const keep = () => {
    then(post('alternatives', { name: name.trim() }));
    setName('');
  };
  const adopt = async (layout: string) => {
    const path = `alternatives/${encodeURIComponent(layout)}/adopt`;
    takeChanged(await post(path, { base_revision: site.value?.revision ?? 0, keep_as: words.layouts.before }));
  };
  if (!view) return <p>{words.dial.asking}</p>;
  const layouts = view.compared.layouts;
  return (
    <>
      <h2>{words.layouts.title}</h2>
      <p>{words.layouts.lead(figure(view.compared.depth_mm, 0), figure(view.compared.hours, 1))}</p>
      <form
        class="row fields"
        onSubmit={(event) => {
          event.preventDefault();
          if (name.trim()) keep();
        }}
      >
        <label class="choice">
          <span>{words.layouts.name}</span>
          <input value={name} maxLength={40} onInput={(event) => setName(event.currentTarget.value)} />
        </label>
        <button type="submit" class="strong" disabled={name.trim() === ''}>
          {words.layouts.keep}
        </button>
      </form>
      <Wide label={words.layouts.title}>
        <table class="layouts">
          <thead>
            <tr>
              <td />
              {layouts.map((layout) => (
                <th key={layout.name} scope="col">
                  {nameOf(layout)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {ROWS.map((row) => (
              <tr key={row.name}>
                <th scope="row">{row.name}</th>
                {layouts.map((layout) => (
                  <td key={layout.name} class={row.worse?.(layout) ? 'caution-word' : ''}>
                    {row.tell(layout)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {layouts.length === 1 && <p>{words.layouts.none}</p>}
      <ul class="plain">
        {layouts.slice(1).map((layout) => (
          <li key={layout.name} class="row">
            <strong>{layout.name}</strong>
            <button type="button" onClick={() => then(adopt(layout.name))}>
              {words.layouts.adopt(layout.name)}
            </button>
            <button
              type="button"
              class="away"
              onClick={() => then(remove(`alternatives/${encodeURIComponent(layout.name)}`))}
            >
              {words.layouts.drop(layout.name)}
            </button>
          </li>
        ))}
      </ul>
      {view.faulty.map((faulty) => (
        <p key={faulty.name} class="caution-box">
          <strong>{faulty.name}</strong> {faulty.faults.map((fault) => fault.text).join(' ')}
        </p>
      ))}
      <p class="small">{words.layouts.yours}</p>
    </>
  );
}
