// Keep alive: the year's work month by month, beginning with this month, and what to look at after each rain.
import { useAnswer } from '../../state/answers';
import type { CalendarAnswer, MonthWork } from '../../wire';
import { words } from '../../words';
import { Seasons } from '../parts/Seasons';
import { Wide } from '../parts/Wide';

const MONTHS = Array.from({ length: 12 }, (_, i) => i + 1);

/** Whether work falls in a month; it may run over the new year. */
export function falls(work: Pick<MonthWork, 'from_month' | 'to_month'>, month: number): boolean {
  return work.from_month <= work.to_month
    ? work.from_month <= month && month <= work.to_month
    : work.from_month <= month || month <= work.to_month;
}

/** The year as a strip: a row a task, a column a month. Wet months are told by a mark and a word, not by colour alone. */
function Year({ calendar }: { calendar: CalendarAnswer }) {
  const now = new Date().getMonth() + 1;
  const [from_month, to_month] = calendar.wet_months;
  return (
    <Wide label={words.tend.year}>
      <table class="year">
        <thead>
          <tr>
            <th scope="col">{words.tend.work}</th>
            {MONTHS.map((month) => (
              <th key={month} scope="col" aria-current={month === now ? 'date' : undefined}>
                {words.tend.months[month - 1]}
              </th>
            ))}
          </tr>
          <tr>
            <th scope="row">{words.tend.wet}</th>
            {MONTHS.map((month) => (
              <td key={month} class={falls({ from_month, to_month }, month) ? 'rains' : ''}>
                {falls({ from_month, to_month }, month) && <span class="unseen">{words.tend.wet}</span>}
              </td>
            ))}
          </tr>
        </thead>
        <tbody>
          {calendar.work.map((work) => (
            <tr key={`${work.task}${work.from_month}${work.note}`}>
              <th scope="row">{words.tend.tasks[work.task]}</th>
              {MONTHS.map((month) => (
                <td key={month} class={falls(work, month) ? 'done-then' : ''}>
                  {falls(work, month) && <span class="unseen">{words.tend.yes}</span>}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

export function TendPage() {
  const calendar = useAnswer<CalendarAnswer>('calendar');
  if (!calendar) return <p>{words.dial.asking}</p>;
  const now = new Date().getMonth() + 1;
  const due = calendar.work.filter((work) => falls(work, now));
  return (
    <>
      <h2>{words.tend.title}</h2>
      <p>{words.tend.lead}</p>
      <h3>{words.tend.now(words.tend.longMonths[now - 1] ?? '')}</h3>
      {due.length === 0 ? (
        <p>{words.tend.nothing}</p>
      ) : (
        <ul class="plain due">
          {due.map((work) => (
            <li key={`${work.task}${work.note}`}>
              <strong>{words.tend.tasks[work.task]}</strong>: {work.note}{' '}
              <span class="source">{words.tend.source(work.source)}</span>
            </li>
          ))}
        </ul>
      )}
      <h3>{words.tend.year}</h3>
      <Year calendar={calendar} />
      {calendar.guessed_by_latitude && <p class="small">{words.tend.guessed}</p>}
      <Seasons />
      <h3>{words.tend.afterRain}</h3>
      <ol>
        {words.tend.checks.map((check) => (
          <li key={check}>{check}</li>
        ))}
      </ol>
      <p>
        <a href="#/book">{words.tend.toBook}</a>
      </p>
    </>
  );
}
