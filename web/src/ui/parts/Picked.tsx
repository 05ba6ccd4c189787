// A tree, water, fence or keep-clear that was touched: what it is, in figures that can be typed, and taking it out.
import type { Edit, Removable, ThingView } from '../../net/shapes';
import { figure } from '../../state/figures';
import { type Selection, selection } from '../../state/look';
import { edit, site } from '../../state/site';
import { words } from '../../words';
import { NumberField, TextField } from './Field';

function whatOf(chosen: Selection): Removable | null {
  if (chosen.what === 'line' || chosen.what === 'sill') return null;
  if (chosen.what !== 'thing') return chosen.what;
  return site.value?.barriers.some((thing) => thing.name === chosen.name) ? 'barrier' : 'keep_clear';
}

const set = (path: string[]) => (value: number | string) =>
  void edit({ do: 'set', path, value: value === '' ? null : value });

function TreeFields({ name }: { name: string }) {
  const tree = site.value?.plan?.tree?.find((each) => each.name === name);
  if (!tree) return null;
  const field = (key: string) => set(['tree', name, key]);
  return (
    <div class="row fields">
      <TextField label={words.picked.species} value={tree.species} onKeep={field('species')} />
      <TextField label={words.picked.variety} value={tree.variety ?? ''} onKeep={field('variety')} />
      {tree.line != null && (
        <>
          <NumberField
            label={words.picked.along(tree.line)}
            unit="m"
            value={tree.at_m ?? 0}
            digits={1}
            onKeep={field('at_m')}
          />
          <NumberField
            label={words.picked.downhill}
            unit="m"
            value={tree.downhill_m ?? 2}
            digits={1}
            onKeep={field('downhill_m')}
          />
        </>
      )}
      {tree.x_m != null && (
        <NumberField label={words.lines.east} unit="m" value={tree.x_m} digits={1} onKeep={field('x_m')} />
      )}
      {tree.y_m != null && (
        <NumberField label={words.lines.north} unit="m" value={tree.y_m} digits={1} onKeep={field('y_m')} />
      )}
      <TextField label={words.picked.planted} type="date" value={tree.planted ?? ''} onKeep={field('planted')} />
    </div>
  );
}

function SourceFields({ name }: { name: string }) {
  const source = site.value?.plan?.source?.find((each) => each.name === name);
  const seen = site.value?.sources.find((each) => each.name === name);
  if (!source || !seen) return null;
  return (
    <>
      <p>{words.map.sourceGoes(seen)}</p>
      <div class="row fields">
        {source.at_m != null && (
          <NumberField
            label={words.picked.along(source.into ?? '')}
            unit="m"
            value={source.at_m}
            digits={1}
            onKeep={set(['source', name, 'at_m'])}
          />
        )}
        {source.area_m2 != null && (
          <NumberField
            label={words.picked.area}
            unit="m²"
            value={source.area_m2}
            digits={0}
            onKeep={set(['source', name, 'area_m2'])}
          />
        )}
      </div>
    </>
  );
}

/** Corners as typed places: what the map shows and the hand drags, in figures. */
function ThingFields({ thing, what }: { thing: ThingView; what: Removable }) {
  const key = thing.at ? 'at' : thing.area.length > 0 ? 'area' : 'along';
  const places = thing.at ? [thing.at] : thing.area.length > 0 ? thing.area : thing.along;
  const move = (index: number, change: { x_m?: number; y_m?: number }) => {
    const moved = places.map((place, i) => (i === index ? { ...place, ...change } : place));
    const value = moved.map(({ x_m, y_m }): [number, number] => [x_m, y_m]);
    void edit({ do: 'set', path: [what, thing.name, key], value: key === 'at' ? (value[0] ?? null) : value });
  };
  return (
    <ol class="plain corners">
      {places.map((place, i) => (
        <li key={`${figure(place.x_m, 2)},${figure(place.y_m, 2)}`} class="row">
          <NumberField
            label={words.picked.eastOf(i + 1)}
            unit="m"
            value={place.x_m}
            digits={1}
            onKeep={(x_m) => move(i, { x_m })}
          />
          <NumberField
            label={words.picked.northOf(i + 1)}
            unit="m"
            value={place.y_m}
            digits={1}
            onKeep={(y_m) => move(i, { y_m })}
          />
        </li>
      ))}
    </ol>
  );
}

export function Picked() {
  const chosen = selection.value;
  const now = site.value;
  const what = chosen && whatOf(chosen);
  if (!chosen || !now || !what) return null;
  const thing = [...now.keep_clears, ...now.services, ...now.barriers].find((each) => each.name === chosen.name);
  const change = async (made: Edit, then: Selection | null) => {
    if (await edit(made)) selection.value = then;
  };
  return (
    <section class="picked" aria-label={chosen.name}>
      <h3>{chosen.name}</h3>
      <TextField
        label={words.tools.name}
        value={chosen.name}
        onKeep={(to) =>
          void change({ do: 'rename', what, name: chosen.name, to }, { ...chosen, name: to } as Selection)
        }
      />
      {what === 'tree' && <TreeFields name={chosen.name} />}
      {what === 'source' && <SourceFields name={chosen.name} />}
      {thing && chosen.what === 'thing' && <ThingFields thing={thing} what={what} />}
      <p class="row">
        <button type="button" class="away" onClick={() => void change({ do: 'remove', what, name: chosen.name }, null)}>
          {words.lines.remove(chosen.name)}
        </button>
        <button
          type="button"
          onClick={() => {
            selection.value = null;
          }}
        >
          {words.app.close}
        </button>
      </p>
    </section>
  );
}
