// The seasons: how many dry days each tree has in each month, what the line gives it, and the rounds of carrying water.
import { effect } from '@preact/signals';
import { useEffect, useState } from 'preact/hooks';
import { figure, litres, typed } from '../../state/figures';
import { Job } from '../../state/jobs';
import { selection } from '../../state/look';
import { site } from '../../state/site';
import type { Estimate, SeasonAnswer, TreeSeason } from '../../wire';
import { words } from '../../words';
import { JobBar } from './JobBar';
import { Wide } from './Wide';

const seasons = new Job<SeasonAnswer>('season');
/** Days of a month that fill a cell of the chart. */
const MONTH_DAYS = 30;
/** Rounds that are listed: a summer's. */
const ROUNDS_SHOWN = 30;

function spread(value: Estimate, show: (n: number) => string): string {
  const [low, high] = [show(value.low), show(value.high)];
  return low === high ? low : words.rain.range(low, high, show(value.likely));
}

/** Dry days of a month as a bar with its figure: read by length and number, not by colour. */
function Month({ dry }: { dry: Estimate }) {
  const share = Math.min(1, dry.likely / MONTH_DAYS);
  const days = figure(dry.likely, 0);
  return (
    <td class="dry">
      <svg viewBox="0 0 10 30" width="16" height="30" aria-hidden="true" focusable="false">
        <rect class="of" x="1" y="0" width="8" height="30" />
        <rect class="dry-days" x="1" y={30 - 30 * share} width="8" height={30 * share} />
      </svg>
      {days === '0' ? <span class="unseen">0</span> : <span>{days}</span>}
    </td>
  );
}

function Chart({ trees }: { trees: readonly TreeSeason[] }) {
  return (
    <Wide label={words.seasons.dryDays}>
      <table class="seasons">
        <thead>
          <tr>
            <th scope="col">{words.seasons.tree}</th>
            {words.tend.months.map((month) => (
              <th key={month} scope="col">
                {month}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {trees.map((tree) => (
            <tr key={tree.tree}>
              <th scope="row">
                <button
                  type="button"
                  class="link"
                  onClick={() => {
                    selection.value = { what: 'tree', name: tree.tree };
                  }}
                >
                  {tree.tree}
                </button>
              </th>
              {tree.dry_days_by_month.map((dry, month) => (
                <Month key={words.tend.months[month]} dry={dry} />
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function Table({ trees }: { trees: readonly TreeSeason[] }) {
  const percent = (share: number) => words.steps.percent(Math.round(100 * share));
  return (
    <Wide label={words.seasons.aYear}>
      <table>
        <thead>
          <tr>
            <th scope="col">{words.seasons.tree}</th>
            <th scope="col">{words.seasons.fromLine}</th>
            <th scope="col">{words.seasons.byHand}</th>
            <th scope="col">{words.seasons.dry}</th>
            <th scope="col">{words.seasons.drySpell}</th>
            <th scope="col">{words.seasons.wetFeet}</th>
          </tr>
        </thead>
        <tbody>
          {trees.map((tree) => (
            <tr key={tree.tree}>
              <th scope="row">
                {tree.tree} {tree.species}
              </th>
              <td>{spread(tree.litres_from_line, litres)}</td>
              <td>{spread(tree.litres_by_hand, litres)}</td>
              <td>{spread(tree.dry_days, (n) => figure(n, 0))}</td>
              <td>{percent(tree.chance_of_dry_spell_frac)}</td>
              <td class={tree.chance_of_wet_feet_frac > 0.1 ? 'caution-word' : ''}>
                {percent(tree.chance_of_wet_feet_frac)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function Rounds({ answer }: { answer: SeasonAnswer }) {
  if (answer.rounds.length === 0) return <p>{words.seasons.noRounds}</p>;
  return (
    <>
      <ul class="plain">
        {answer.summers.map((summer) => (
          <li key={summer.year_from}>
            {words.seasons.summer(
              summer.year_from,
              summer.rounds,
              spread(summer.litres, litres),
              litres(summer.busiest_week_l),
            )}
          </li>
        ))}
      </ul>
      <Wide label={words.seasons.rounds}>
        <table>
          <thead>
            <tr>
              <td class="box" aria-hidden="true" />
              <th scope="col">{words.seasons.day}</th>
              <th scope="col">{words.seasons.carry}</th>
              <th scope="col" class="words">
                {words.seasons.toWhich}
              </th>
            </tr>
          </thead>
          <tbody>
            {answer.rounds.slice(-ROUNDS_SHOWN).map((round) => (
              <tr key={round.date}>
                <td class="box" aria-hidden="true" />
                <th scope="row">{round.date}</th>
                <td>{litres(round.litres)}</td>
                <td class="words">
                  {round.trees.map((tree) => words.seasons.share(tree.tree, litres(tree.litres))).join(', ')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

export function Seasons() {
  const [week, setWeek] = useState('');
  useEffect(
    () =>
      effect(() => {
        site.value?.revision;
        seasons.forget();
      }),
    [],
  );
  const litres_per_week = typed(week);
  const wrong = week.trim() !== '' && (litres_per_week === null || litres_per_week < 1);
  const answer = seasons.answer.value;
  return (
    <>
      <h3>{words.seasons.title}</h3>
      <p>{words.seasons.lead}</p>
      <div class="row fields">
        <label class="choice">
          <span>{words.seasons.most}</span>
          <input
            inputMode="decimal"
            value={week}
            aria-invalid={wrong}
            onInput={(event) => setWeek(event.currentTarget.value)}
          />
        </label>
        <JobBar
          job={seasons}
          label={words.seasons.ask}
          body={wrong ? null : litres_per_week === null ? {} : { litres_per_week }}
        />
      </div>
      {answer && (
        <>
          <p>
            {words.seasons.period(answer.period.from, answer.period.to, answer.period.drawn, answer.members)}{' '}
            {words.seasons.climate(figure(answer.period.rain_per_year_mm, 0), figure(answer.period.eto_per_year_mm, 0))}
          </p>
          {answer.notes.map((note) => (
            <p key={note} class="small">
              {note}
            </p>
          ))}
          <h3>{words.seasons.dryDays}</h3>
          <Chart trees={answer.trees} />
          <h3>{words.seasons.aYear}</h3>
          <Table trees={answer.trees} />
          {answer.left_out.map((out) => (
            <p key={out.tree}>{words.seasons.leftOut(out.tree, out.because)}</p>
          ))}
          <h3>{words.seasons.rounds}</h3>
          <Rounds answer={answer} />
          <p class="small">{words.seasons.promise}</p>
        </>
      )}
    </>
  );
}
