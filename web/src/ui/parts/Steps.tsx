// At which rain what happens: fills, spills, breaks out; and what a failing bank takes along. With the ranges, how sure.
import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { RainView } from '../../net/shapes';
import { litres, metres, rainDepth, volume } from '../../state/figures';
import { Job } from '../../state/jobs';
import { dial } from '../../state/rain';
import { site } from '../../state/site';
import type { StepsAnswer } from '../../wire';
import { words } from '../../words';
import { JobBar } from './JobBar';
import { Wide } from './Wide';

const steps = new Job<StepsAnswer>('rain/steps');
const ranges = new Job<RainView>('rain/range');

const at = (depth_mm: number | null) => (depth_mm === null ? '–' : rainDepth(depth_mm));

function StepsTable({ answer }: { answer: StepsAnswer }) {
  const chain = answer.chain_reaction;
  return (
    <>
      <Wide label={words.steps.title}>
        <table>
          <thead>
            <tr>
              <th scope="col">{words.lines.line}</th>
              <th scope="col">{words.steps.fills}</th>
              <th scope="col">{words.steps.spills}</th>
              <th scope="col">{words.steps.breaksOut}</th>
            </tr>
          </thead>
          <tbody>
            {answer.lines.map((line) => (
              <tr key={line.line}>
                <th scope="row">{line.line}</th>
                <td>{at(line.fills_mm)}</td>
                <td>{at(line.spills_mm)}</td>
                <td class={line.breaks_out_mm === null ? '' : 'caution-word'}>{at(line.breaks_out_mm)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      <p>{words.steps.upTo(rainDepth(answer.up_to_mm))}</p>
      <p>
        {words.steps.chain(chain.line, metres(chain.at_m), chain.takes_along)}{' '}
        {words.steps.leaves(volume(chain.leaves_before_m3), volume(chain.leaves_after_m3))}
      </p>
    </>
  );
}

function RangesTable({ answer }: { answer: RainView }) {
  const spread = (value: { low: number; high: number; likely: number } | null, show: (n: number) => string) =>
    value === null ? '–' : words.rain.range(show(value.low), show(value.high), show(value.likely));
  return (
    <>
      <p>{words.steps.members(answer.members)}</p>
      <Wide label={words.steps.ranges}>
        <table>
          <thead>
            <tr>
              <th scope="col">{words.lines.line}</th>
              <th scope="col">{words.rain.reach}</th>
              <th scope="col">{words.rain.soaks}</th>
              <th scope="col">{words.steps.chance}</th>
            </tr>
          </thead>
          <tbody>
            {answer.lines.map((line) => (
              <tr key={line.name}>
                <th scope="row">{line.name}</th>
                <td>{spread(line.reach_m, (m) => metres(m, 0))}</td>
                <td>{spread(line.soaked_m3, volume)}</td>
                <td>{words.steps.percent(Math.round(100 * line.breaks_out_frac))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      <Wide label={words.rain.trees}>
        <table>
          <tbody>
            {answer.trees.map((tree) => (
              <tr key={tree.name}>
                <th scope="row">{tree.name}</th>
                <td>{spread(tree.litres_range, litres)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </>
  );
}

export function RainSteps() {
  useEffect(
    () =>
      effect(() => {
        dial.value;
        site.value?.revision;
        steps.forget();
        ranges.forget();
      }),
    [],
  );
  const storm = dial.value;
  return (
    <>
      <h3>{words.steps.title}</h3>
      <JobBar job={steps} label={words.steps.ask} body={storm} />
      {steps.answer.value && <StepsTable answer={steps.answer.value} />}
      <h3>{words.steps.ranges}</h3>
      <JobBar job={ranges} label={words.steps.askRanges} body={storm} />
      {ranges.answer.value && <RangesTable answer={ranges.answer.value} />}
    </>
  );
}
