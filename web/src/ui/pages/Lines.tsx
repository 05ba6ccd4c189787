// Lay out the lines: each line's figures, pegs with typed places, sills, and what is wrong with it.
import type { LineView, PegView, SillView } from '../../net/shapes';
import { centimetres, figure, metres, volume } from '../../state/figures';
import { selection, station } from '../../state/look';
import { rainOn } from '../../state/rain';
import { edit, lines, site } from '../../state/site';
import { words } from '../../words';
import { NumberField, TextField } from '../parts/Field';
import { FindingList } from '../parts/Finding';
import { Picked } from '../parts/Picked';
import { Term } from '../parts/Term';
import { Wide } from '../parts/Wide';

function choose(line: LineView) {
  selection.value = { what: 'line', name: line.name };
}

function LineRow({ line, number }: { line: LineView; number: number }) {
  const rain = rainOn(line.name);
  const breaks = rain?.breakouts.length ?? 0;
  return (
    <li>
      <button type="button" class="line-row" onClick={() => choose(line)}>
        <span class="number">{number}</span>
        <span class="what">
          <strong>{line.name}</strong> {words.kinds[line.kind]}
        </span>
        <span class="figures">
          {metres(line.length_m, 0)}
          {line.holds_m3 && ` · ${words.lines.holds(volume(line.holds_m3.likely))}`}
        </span>
        {breaks > 0 && <span class="caution">{words.map.breaksOut}</span>}
      </button>
    </li>
  );
}

/** A figure that may not be known. */
function maybe(value: number | null, digits: number): string {
  return value === null ? '–' : figure(value, digits);
}

function PegTable({ line }: { line: LineView }) {
  // The file counts pegs from 1.
  const move = (peg: PegView, index: number, change: { x_m?: number; y_m?: number }) =>
    void edit({
      do: 'move_peg',
      line: line.name,
      peg: index + 1,
      x_m: peg.x_m ?? 0,
      y_m: peg.y_m ?? 0,
      ...change,
    });
  return (
    <Wide label={words.lines.pegTable(line.name)}>
      <table>
        <thead>
          <tr>
            <th scope="col">
              <Term word="peg">{words.lines.peg}</Term>
            </th>
            <th scope="col">
              <Term word="chainage">{words.lines.along}</Term>
            </th>
            <th scope="col">{words.lines.east}</th>
            <th scope="col">{words.lines.north}</th>
            <th scope="col">{words.lines.height}</th>
            <th scope="col">
              <Term word="reading">{words.lines.reading}</Term>
            </th>
            <th scope="col">
              <Term word="band">{words.lines.band}</Term>
            </th>
          </tr>
        </thead>
        <tbody>
          {line.pegs.map((peg, index) => {
            const typable = line.laid === 'pegged' || (line.laid === 'walked' && index === 0);
            return (
              <tr
                key={peg.chainage_m}
                onPointerEnter={() => {
                  station.value = peg.chainage_m;
                }}
              >
                <th scope="row">{index + 1}</th>
                <td>{metres(peg.chainage_m)}</td>
                <td>
                  {typable && peg.x_m !== null ? (
                    <NumberField
                      quiet
                      label={words.lines.eastOf(index + 1)}
                      unit="m"
                      value={peg.x_m}
                      digits={2}
                      onKeep={(x_m) => move(peg, index, { x_m })}
                    />
                  ) : (
                    maybe(peg.x_m, 2)
                  )}
                </td>
                <td>
                  {typable && peg.y_m !== null ? (
                    <NumberField
                      quiet
                      label={words.lines.northOf(index + 1)}
                      unit="m"
                      value={peg.y_m}
                      digits={2}
                      onKeep={(y_m) => move(peg, index, { y_m })}
                    />
                  ) : (
                    maybe(peg.y_m, 2)
                  )}
                </td>
                <td>{maybe(peg.z_m, 3)}</td>
                <td>{words.lines.mm(figure(peg.reading_mm, 0))}</td>
                <td>{peg.band_m === null ? '–' : `± ${centimetres(peg.band_m)}`}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </Wide>
  );
}

function SillRow({ line, sill, index }: { line: LineView; sill: SillView; index: number }) {
  const named = { line: line.name, sill: index + 1 };
  return (
    <li class="sill-row">
      <NumberField
        label={words.lines.sillAt(index + 1)}
        unit="m"
        value={sill.at_m}
        digits={1}
        onKeep={(at_m) => void edit({ do: 'move_sill', ...named, at_m })}
      />
      <NumberField
        label={words.lines.sillWidth(index + 1)}
        unit="m"
        value={sill.width_m}
        digits={1}
        onKeep={(width_m) => void edit({ do: 'size_sill', ...named, width_m })}
      />
      <p>
        {words.lines.sillSays(
          sill.crest_z_m === null ? '–' : metres(sill.crest_z_m, 2),
          centimetres(sill.below_bank_m),
          sill.to,
        )}{' '}
        <button
          type="button"
          onClick={() => void edit({ do: 'remove_sill', ...named })}
          aria-label={words.lines.removeSill(index + 1)}
        >
          {words.app.remove}
        </button>
      </p>
    </li>
  );
}

function Detail({ line }: { line: LineView }) {
  const rain = rainOn(line.name);
  const findings = (site.value?.findings ?? []).filter((finding) => finding.line === line.name);
  const set = (key: string) => (value: number) => void edit({ do: 'set', path: ['line', line.name, key], value });
  return (
    <>
      <p>
        <button
          type="button"
          onClick={() => {
            selection.value = null;
          }}
        >
          {words.lines.all}
        </button>
      </p>
      <h2>{words.lines.named(line.name, words.kinds[line.kind] ?? line.kind)}</h2>
      <dl class="readings">
        <dt>{words.lines.length}</dt>
        <dd>{metres(line.length_m)}</dd>
        {line.holds_m3 && (
          <>
            <dt>{words.lines.holdsBrimFull}</dt>
            <dd>{volume(line.holds_m3.likely)}</dd>
          </>
        )}
        {rain && (
          <>
            <dt>{words.rain.soaks}</dt>
            <dd>{volume(rain.soaked_m3.likely)}</dd>
            <dt>{words.rain.bankLeft}</dt>
            <dd>{rain.least_bank_m === null ? words.rain.dry : centimetres(rain.least_bank_m)}</dd>
          </>
        )}
        {line.to && (
          <>
            <dt>{words.lines.goesTo}</dt>
            <dd>{line.to}</dd>
          </>
        )}
      </dl>
      {line.stopped && <p class="caution">{line.stopped}</p>}
      <FindingList findings={findings} />
      <h3>{words.lines.shape}</h3>
      <div class="row fields">
        <TextField
          label={words.tools.name}
          value={line.name}
          onKeep={async (to) => {
            if (await edit({ do: 'rename', what: 'line', name: line.name, to }))
              selection.value = { what: 'line', name: to };
          }}
        />
        {line.section.bed_width_m !== null && (
          <NumberField
            label={words.lines.bedWidth}
            unit="m"
            value={line.section.bed_width_m}
            digits={2}
            onKeep={set('bed_width_m')}
          />
        )}
        {line.section.depth_m !== null && (
          <NumberField
            label={words.lines.depth}
            unit="m"
            value={line.section.depth_m}
            digits={2}
            onKeep={set('depth_m')}
          />
        )}
        {line.section.bank_height_m !== null && (
          <NumberField
            label={words.lines.bankHeight}
            unit="m"
            value={line.section.bank_height_m}
            digits={2}
            onKeep={set('bank_height_m')}
          />
        )}
        {line.laid === 'walked' && (
          <NumberField
            label={words.lines.walkLength}
            unit="m"
            value={line.length_m}
            digits={1}
            onKeep={set('length_m')}
          />
        )}
      </div>
      <h3>
        <Term word="sill">{words.lines.sills}</Term>
      </h3>
      {line.sills.length === 0 ? (
        <p>{words.lines.noSill}</p>
      ) : (
        <ul class="plain">
          {line.sills.map((sill, index) => (
            <SillRow key={sill.at_m} line={line} sill={sill} index={index} />
          ))}
        </ul>
      )}
      <h3>{words.lines.pegs}</h3>
      <p>{words.lines.pegHelp}</p>
      <PegTable line={line} />
      <p>
        <button
          type="button"
          class="away"
          onClick={() => {
            void edit({ do: 'remove', what: 'line', name: line.name });
            selection.value = null;
          }}
        >
          {words.lines.remove(line.name)}
        </button>
      </p>
    </>
  );
}

export function LinesPage() {
  const now = site.value;
  if (!now) return <p>{words.app.opening}</p>;
  const chosen = selection.value;
  const line =
    chosen?.what === 'line' || chosen?.what === 'sill' ? lines.value.find((each) => each.name === chosen.name) : null;
  if (line) return <Detail line={line} />;
  return (
    <>
      <Picked />
      <h2>{words.lines.title}</h2>
      <div class="lead">
        <p>{words.lines.lead}</p>
        <div class="row">
          {(['swale', 'drain', 'chute', 'sill', 'bank'] as const).map((word) => (
            <Term key={word} word={word} />
          ))}
        </div>
      </div>
      <ol class="lines plain">
        {lines.value.map((each, i) => (
          <LineRow key={each.name} line={each} number={i + 1} />
        ))}
      </ol>
      <h3>{words.findings.title}</h3>
      <FindingList findings={now.findings} />
    </>
  );
}
