// Let it rain: the storm along map and section, what soaks, what leaves, where it breaks out and what to raise.
import type { RainLineView } from '../../net/shapes';
import { centimetres, hours, litres, litresASecond, metres, volume } from '../../state/figures';
import { selection, station } from '../../state/look';
import { rain } from '../../state/rain';
import { lines } from '../../state/site';
import { words } from '../../words';
import { Playback } from '../Playback';
import { RainSteps } from '../parts/Steps';
import { Term } from '../parts/Term';
import { Wide } from '../parts/Wide';

function reach(line: RainLineView): string {
  const { low, likely, high } = line.reach_m;
  if (high <= 0) return words.rain.dry;
  return high - low < 0.5 ? metres(likely, 0) : words.rain.range(metres(low, 0), metres(high, 0), metres(likely, 0));
}

function LineAnswer({ line, number }: { line: RainLineView; number: number }) {
  return (
    <tr>
      <th scope="row">
        <button
          type="button"
          class="link"
          onClick={() => {
            selection.value = { what: 'line', name: line.name };
          }}
        >
          {number} {line.name}
        </button>
      </th>
      <td>{volume(line.arrived_m3)}</td>
      <td>{volume(line.soaked_m3.likely)}</td>
      <td>{volume(line.passed_on_m3)}</td>
      <td>{reach(line)}</td>
      <td>{line.least_bank_m === null ? '–' : centimetres(line.least_bank_m)}</td>
      <td>{line.empties_h === null ? '–' : hours(Math.round(line.empties_h))}</td>
    </tr>
  );
}

function Breakouts({ from }: { from: readonly RainLineView[] }) {
  const places = from.flatMap((line) => line.breakouts);
  if (places.length === 0) return <p>{words.rain.nowhere}</p>;
  return (
    <ul class="plain">
      {places.map((place) => (
        <li key={`${place.line}${place.at_m}`} class="caution-box">
          <strong>{words.rain.breaksAt(place.line, metres(place.at_m), litresASecond(place.flow_l_s))}</strong>{' '}
          {words.rain.raise(centimetres(place.raise_m))}{' '}
          <button
            type="button"
            onClick={() => {
              selection.value = { what: 'line', name: place.line };
              station.value = place.at_m;
            }}
          >
            {words.findings.show}
          </button>
        </li>
      ))}
    </ul>
  );
}

export function RainPage() {
  const now = rain.value;
  const number = (name: string) => lines.value.findIndex((line) => line.name === name) + 1;
  return (
    <>
      <h2>{words.rain.title}</h2>
      <Playback />
      {!now ? (
        <p>{words.dial.asking}</p>
      ) : (
        <>
          <p>{now.says}</p>
          <dl class="readings">
            <dt>{words.rain.came}</dt>
            <dd>{volume(now.came_m3)}</dd>
            <dt>{words.rain.soaks}</dt>
            <dd>{volume(now.soaked_m3)}</dd>
            <dt>{words.rain.stands}</dt>
            <dd>{volume(now.stands_m3)}</dd>
            <dt>{words.rain.leaves}</dt>
            <dd>{volume(now.leaves_m3)}</dd>
            <dt>{words.rain.peak}</dt>
            <dd>{words.rain.peaks(litresASecond(now.peak_without_l_s), litresASecond(now.peak_with_l_s))}</dd>
          </dl>
          <h3>
            <Term word="breakout">{words.rain.breakouts}</Term>
          </h3>
          <Breakouts from={now.lines} />
          <h3>{words.rain.byLine}</h3>
          <Wide label={words.rain.byLine}>
            <table>
              <thead>
                <tr>
                  <th scope="col">{words.lines.line}</th>
                  <th scope="col">{words.rain.arrived}</th>
                  <th scope="col">{words.rain.soaks}</th>
                  <th scope="col">{words.rain.passedOn}</th>
                  <th scope="col">
                    <Term word="reach">{words.rain.reach}</Term>
                  </th>
                  <th scope="col">{words.rain.bankLeft}</th>
                  <th scope="col">{words.rain.empty}</th>
                </tr>
              </thead>
              <tbody>
                {now.lines.map((line) => (
                  <LineAnswer key={line.name} line={line} number={number(line.name)} />
                ))}
              </tbody>
            </table>
          </Wide>
          <h3>{words.rain.trees}</h3>
          <ul class="tree-litres plain">
            {now.trees.map((tree) => (
              <li key={tree.name}>
                <span>{tree.name}</span> <span>{tree.litres === null ? '–' : litres(tree.litres)}</span>
              </li>
            ))}
          </ul>
          <RainSteps />
          <p class="small">{words.rain.promise}</p>
        </>
      )}
    </>
  );
}
