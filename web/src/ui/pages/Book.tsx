// The field book: log a rain, a water's edge, a breakout, a tree; by day, the newest first.
import { useEffect, useState } from 'preact/hooks';
import { address } from '../../net/ask';
import { book, loadBook, type SeenWhere, seenAt, strike, writeDown } from '../../state/book';
import { figure, metres, typed } from '../../state/figures';
import { fail, site } from '../../state/site';
import type { SeenKindView, SeenView, SeenViewAsked } from '../../wire';
import { words } from '../../words';

function today(): string {
  const now = new Date();
  const two = (n: number) => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

const WHO = 'hillsip.who';
function lastWho(): string {
  try {
    return localStorage.getItem(WHO) ?? '';
  } catch {
    return ''; // storage may be shut
  }
}
function keepWho(name: string): void {
  try {
    localStorage.setItem(WHO, name);
  } catch {
    // see lastWho()
  }
}

function whereWords(where: SeenWhere | null): string {
  if (!where) return words.book.nowhere;
  if ('tree' in where) return words.book.atTree(where.tree);
  if ('line' in where) return words.book.atLine(where.line, metres(where.chainage_m));
  return words.book.atPlace(figure(where.x_m, 1), figure(where.y_m, 1));
}

function Where() {
  const where = seenAt.value;
  const now = site.value;
  if (!now) return null;
  const chosen = where && 'line' in where ? `line:${where.line}` : where && 'tree' in where ? `tree:${where.tree}` : '';
  return (
    <div class="row">
      <label class="choice">
        <span>{words.book.where}</span>
        <select
          value={chosen}
          onChange={(event) => {
            const [what, name] = event.currentTarget.value.split(':');
            if (what === 'line' && name) seenAt.value = { line: name, chainage_m: 0 };
            else seenAt.value = what === 'tree' && name ? { tree: name } : null;
          }}
        >
          <option value="">{where && 'x_m' in where ? whereWords(where) : words.book.nowhere}</option>
          {now.lines.map((line) => (
            <option key={line.name} value={`line:${line.name}`}>
              {line.name}
            </option>
          ))}
          {now.trees.map((tree) => (
            <option key={tree.name} value={`tree:${tree.name}`}>
              {words.book.treeNamed(tree.name, tree.species)}
            </option>
          ))}
        </select>
      </label>
      {where && 'line' in where && (
        <label class="choice">
          <span>{words.book.along}</span>
          <input
            inputMode="decimal"
            value={String(where.chainage_m)}
            onInput={(event) => {
              const chainage_m = typed(event.currentTarget.value);
              if (chainage_m !== null && chainage_m >= 0) seenAt.value = { ...where, chainage_m };
            }}
          />
        </label>
      )}
    </div>
  );
}

/** What the form holds, as the program takes it. */
function asSeen(kind: SeenKindView, form: { date: string; time: string; value: string; note: string; who: string }) {
  const seen: SeenViewAsked = { date: form.date, time: form.time, kind: kind.kind, note: form.note.trim() };
  if (kind.unit !== null && form.value.trim() !== '') seen.value = typed(form.value);
  if (form.who.trim() !== '') seen.who = form.who.trim();
  return { ...seen, ...(seenAt.value ?? {}) };
}

function WriteDown({ kinds }: { kinds: readonly SeenKindView[] }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [form, setForm] = useState({ date: today(), time: '', value: '', note: '', who: lastWho() });
  const [picture, setPicture] = useState<File | null>(null);
  const kind = kinds.find((each) => each.kind === chosen) ?? null;
  const change = (part: Partial<typeof form>) => setForm({ ...form, ...part });
  const wrong = form.value.trim() !== '' && typed(form.value) === null;
  const keep = async () => {
    if (!kind || wrong) return;
    keepWho(form.who.trim());
    if (await writeDown(asSeen(kind, form), picture)) {
      setForm({ ...form, value: '', note: '' });
      setPicture(null);
      setChosen(null);
      seenAt.value = null;
    }
  };
  return (
    <form
      class="write-down"
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <fieldset>
        <legend>{words.book.what}</legend>
        <div class="row kinds">
          {kinds.map((each) => (
            <button
              key={each.kind}
              type="button"
              aria-pressed={each.kind === chosen}
              onClick={() => setChosen(each.kind === chosen ? null : each.kind)}
            >
              {words.book.kinds[each.kind] ?? each.kind}
            </button>
          ))}
        </div>
      </fieldset>
      {kind && (
        <>
          <p>{words.book.hints[kind.kind] ?? ''}</p>
          <div class="row">
            {kind.unit !== null && (
              <label class="choice">
                <span>{words.book.value(kind.unit)}</span>
                <input
                  inputMode="decimal"
                  value={form.value}
                  aria-invalid={wrong}
                  onInput={(event) => change({ value: event.currentTarget.value })}
                />
              </label>
            )}
            <label class="choice">
              <span>{words.book.day}</span>
              <input type="date" value={form.date} onInput={(event) => change({ date: event.currentTarget.value })} />
            </label>
            <label class="choice">
              <span>{words.book.clock}</span>
              <input type="time" value={form.time} onInput={(event) => change({ time: event.currentTarget.value })} />
            </label>
          </div>
          <Where />
          <p class="small">{words.book.tapMap}</p>
          <label class="choice wide">
            <span>{words.book.note}</span>
            <textarea rows={2} value={form.note} onInput={(event) => change({ note: event.currentTarget.value })} />
          </label>
          <div class="row">
            <label class="choice">
              <span>{words.book.photo}</span>
              <input
                type="file"
                accept="image/*"
                capture="environment"
                onChange={(event) => setPicture(event.currentTarget.files?.[0] ?? null)}
              />
            </label>
            <label class="choice">
              <span>{words.book.who}</span>
              <input value={form.who} onInput={(event) => change({ who: event.currentTarget.value })} />
            </label>
            <button type="submit" class="strong" disabled={wrong || form.date === ''}>
              {words.book.write}
            </button>
          </div>
        </>
      )}
    </form>
  );
}

function seenWhere(seen: SeenView): SeenWhere | null {
  if (seen.tree !== null) return { tree: seen.tree };
  if (seen.line !== null) return { line: seen.line, chainage_m: seen.chainage_m ?? 0 };
  return seen.x_m !== null && seen.y_m !== null ? { x_m: seen.x_m, y_m: seen.y_m } : null;
}

function Entry({ seen, unit }: { seen: SeenView; unit: string | null }) {
  const where = seenWhere(seen);
  return (
    <li class="entry">
      <p>
        {seen.time && <span class="clock">{seen.time} </span>}
        <strong>{words.book.kinds[seen.kind] ?? seen.kind}</strong>
        {seen.value !== null && ` ${figure(seen.value, seen.value % 1 === 0 ? 0 : 1)}\u2009${unit ?? ''}`}
        {where && `, ${whereWords(where)}`}
        {seen.who && <span class="small"> {words.book.by(seen.who)}</span>}
      </p>
      {seen.note && <p>{seen.note}</p>}
      {seen.photo && (
        <a href={address(`photo/${encodeURIComponent(seen.photo)}`)} target="_blank" rel="noreferrer">
          <img
            class="seen"
            src={address(`photo/${encodeURIComponent(seen.photo)}`)}
            alt={words.book.pictureOf(seen.kind)}
          />
        </a>
      )}
      <button
        type="button"
        onClick={() => void strike(seen)}
        aria-label={words.book.strikeOf(words.book.kinds[seen.kind] ?? seen.kind, seen.date)}
      >
        {words.book.strike}
      </button>
    </li>
  );
}

export function BookPage() {
  const revision = site.value?.revision;
  useEffect(() => {
    if (revision !== undefined) loadBook().catch(fail);
  }, [revision]);
  const now = book.value;
  if (!now) return <p>{words.dial.asking}</p>;
  const days = [...new Set(now.entries.map((seen) => seen.date))].sort().reverse();
  const unitOf = (kind: string) => now.kinds.find((each) => each.kind === kind)?.unit ?? null;
  return (
    <>
      <h2>{words.book.title}</h2>
      <p>{words.book.lead}</p>
      <WriteDown kinds={now.kinds} />
      {days.length === 0 && <p>{words.book.empty}</p>}
      {days.map((day) => (
        <section key={day} aria-label={day}>
          <h3>{day}</h3>
          <ul class="plain">
            {now.entries
              .filter((seen) => seen.date === day)
              .sort((a, b) => b.time.localeCompare(a.time))
              .map((seen) => (
                <Entry key={seen.id} seen={seen} unit={unitOf(seen.kind)} />
              ))}
          </ul>
        </section>
      ))}
    </>
  );
}
