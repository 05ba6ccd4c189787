// Nothing here knows water: limits come with the sheet, readings are subtracted from aims and compared.
const words = given.words;
const PREFIX = 'hillsip-field-sheet:' + given.site + ':';
const KEY = PREFIX + given.sheet;
// A reading further off than this many times what is allowed is asked about: a unit or a sign is wrong.
const FAR_OFF_MM = 300;

const id = (name) => document.getElementById(name);
const say = (name, values) => words[name].replace(/\{(\w+)\}/g, (_, key) => values?.[key] ?? '');
const make = (tag, attributes, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
};
const plain = (value, digits = 0) => Number(value.toFixed(digits)).toString();
// A comma is a decimal point on half the world's keyboards.
const number = (text) => {
  const clean = String(text ?? '').trim().replace(',', '.');
  return clean !== '' && Number.isFinite(Number(clean)) ? Number(clean) : null;
};
const now = () => new Date().toISOString();

// ---- what is kept
const empty = () => ({ pegs: {}, proofs: {}, notes: [], draft: {} });
let state = empty();
let keeps = true;
const read = (key) => {
  try {
    const found = JSON.parse(localStorage.getItem(key));
    return found && typeof found === 'object' && found.pegs && Array.isArray(found.notes) ? { ...empty(), ...found } : null;
  } catch { return null; }
};
const keep = () => {
  try { localStorage.setItem(KEY, JSON.stringify(state)); } catch { keeps = false; }
  id('keep').textContent = say(keeps ? 'kept' : 'not_kept');
  id('keep').className = keeps ? 'small keep' : 'bar keep';
};
state = read(KEY) ?? empty();

// ---- what is off, and whether it matters
const pegKey = (line, peg) => line.name + '#' + peg.peg;
const entry = (line, peg) => state.pegs[pegKey(line, peg)] ?? {};
const signed = (mm, higher) => (mm === null ? null : higher ? -mm : mm);
const readingOf = (line, peg) => signed(number(entry(line, peg).mm), entry(line, peg).higher);
const fromLast = given.read_from === 'last_peg';

// How far below its height a peg stands, by what was read up to it.
const offOf = (line, at) => {
  const difference = (peg) => {
    const reading = readingOf(line, peg);
    return reading === null ? 0 : reading - peg.fall_mm;
  };
  if (!fromLast) return difference(line.pegs[at]);
  return line.pegs.slice(1, at + 1).reduce((sum, peg) => sum + difference(peg), 0);
};
const fallFromLast = (line, at) => {
  const peg = line.pegs[at];
  if (fromLast) return readingOf(line, peg) ?? peg.fall_mm;
  const here = readingOf(line, peg) ?? peg.fall_mm;
  const before = line.pegs[at - 1];
  return here - (at === 1 ? 0 : readingOf(line, before) ?? before.fall_mm);
};

const judgePeg = (line, at) => {
  const peg = line.pegs[at];
  const reading = readingOf(line, peg);
  if (at === 0 || reading === null) return [];
  const limits = line.limits;
  const step = reading - peg.fall_mm;
  const off = offOf(line, at);
  const size = Math.abs(off);
  const told = [];
  if (Math.abs(step) > FAR_OFF_MM) return [['ask', say('far_off', { d: plain(Math.abs(step)) })]];
  const moved = peg.cross_slope ? plain(size / 1000 / peg.cross_slope, 1) : null;
  const figures = { d: plain(Math.abs(step)), off: plain(size), cm: plain(Math.ceil(size / 10)) };
  const move = (way) => (moved === null ? '' : say(way, { m: moved }));
  if (off > limits.low_spare_mm) {
    told.push(['bad', say('low_matters', { ...figures, move_up: move('move_up') })]);
    if (limits.low_brim_mm !== null && off >= limits.low_brim_mm) told.push(['bad', say('low_over')]);
  } else if (-off > limits.high_spare_mm) {
    told.push(['bad', say('high_matters', { ...figures, move_down: move('move_down') })]);
  } else if (Math.abs(step) <= peg.chance_mm) {
    told.push(['good', say('chance', figures)]);
  } else {
    told.push(['good', say(off >= 0 ? 'low_fine' : 'high_fine', figures)]);
  }
  if (limits.must_fall && !peg.after_jump && fallFromLast(line, at) <= 0) {
    told.push(['bad', say('stands', { n: line.pegs[at - 1].peg })]);
  }
  if (fromLast && line.pegs.slice(1, at).some((before) => readingOf(line, before) === null)) {
    told.push(['ask', say('unread')]);
  }
  return told;
};

// A spade is no finer than this.
const SPADE_CM = 2;
const DEEP_CM = 5;
const judgeCut = (line, at) => {
  const peg = line.pegs[at];
  const cut = number(entry(line, peg).cut);
  if (cut === null) return [];
  const told = [];
  if (cut < peg.cut_cm - SPADE_CM) told.push(['bad', say('cut_short', { cm: plain(peg.cut_cm - cut, 1) })]);
  else if (cut > peg.cut_cm + DEEP_CM) told.push(['ask', say('cut_deep', { cm: plain(cut - peg.cut_cm, 1) })]);
  else told.push(['good', say('cut_good')]);
  const before = at > 0 ? number(entry(line, line.pegs[at - 1]).cut) : null;
  if (line.limits.must_fall && before !== null && !peg.after_jump) {
    if (fallFromLast(line, at) + 10 * (cut - before) <= 0) told.push(['bad', say('bed_stands', { n: line.pegs[at - 1].peg })]);
  }
  return told;
};
const judgeBank = (peg, bank) => {
  if (bank === null || peg.bank_settled_cm === 0) return [];
  if (bank >= peg.bank_loose_cm) return [['good', say('bank_good')]];
  if (bank >= peg.bank_loose_least_cm) return [['ask', say('bank_maybe', { cm: plain(peg.bank_loose_cm - bank, 1) })]];
  return [['bad', say('bank_low', { cm: plain(peg.bank_loose_least_cm - bank, 1) })]];
};
const judgeProof = (line, found) => {
  if (found === null) return [];
  const off = Math.abs(found - line.proof.expected_fall_mm);
  return off <= line.proof.allowed_mm
    ? [['good', say('proof_good', { off: plain(off) })]]
    : [['bad', say('proof_bad', { off: plain(off) })]];
};

// ---- the pegs
const show = (node, told) => {
  node.replaceChildren(...told.map(([weight, text]) => make('p', { class: 'verdict ' + weight }, text)));
};
const figure = (label, name, value, hint, change) => {
  const input = make('input', { inputmode: 'decimal', autocomplete: 'off', name, id: name, value: value ?? '',
    oninput: (event) => change(event.target.value) });
  return make('label', { for: name }, label, input, hint ? make('span', null, hint) : null);
};

const drawLine = (line, index) => {
  const judges = [];
  const count = make('p', { class: 'small', role: 'status' });
  const refresh = () => {
    judges.forEach((judge) => judge());
    const done = line.pegs.filter((peg) => entry(line, peg).done).length;
    count.textContent = say('done_count', { done, all: line.pegs.length });
  };
  const touch = (peg, change) => {
    const key = pegKey(line, peg);
    // What it was asked for stands beside what was read: the plan may change before this comes home.
    state.pegs[key] = { ...(state.pegs[key] ?? {}), line: line.name, peg: peg.peg, chainage_m: peg.chainage_m, z_m: peg.z_m,
      fall_aimed_mm: peg.fall_mm, ...change, at: now() };
    keep();
    refresh();
  };
  const section = make('section', { 'aria-label': line.name, id: 'line-' + index }, make('h2', null, line.name), make('p', { class: 'small' }, line.facts), count);
  if (line.no_pegs_because) section.append(make('p', null, say('no_pegs', { why: line.no_pegs_because })));
  line.pegs.forEach((peg, at) => section.append(drawPeg(line, at, `${index}-${peg.peg}`, touch, judges)));
  if (line.proof) section.append(drawProof(line, index));
  refresh();
  return section;
};

const drawPeg = (line, at, mark, touch, judges) => {
  const peg = line.pegs[at];
  const kept = entry(line, peg);
  const verdict = make('div', { 'aria-live': 'polite' });
  const dug = make('div', { 'aria-live': 'polite' });
  const title = say('peg', { n: peg.peg });
  const tick = make('input', { type: 'checkbox', id: 'done-' + mark, checked: kept.done,
    onchange: (event) => touch(peg, { done: event.target.checked }) });
  const card = make('article', { class: 'peg', 'aria-label': title },
    make('div', { class: 'top' },
      make('h3', null, `${title} · ${say('along', { m: plain(peg.chainage_m, 1) })}`),
      make('label', { class: 'tick', for: 'done-' + mark }, tick, say('done'))),
    make('p', { class: 'aim' }, peg.aim),
    peg.after_jump ? make('p', { class: 'verdict bad' }, say('jump')) : null,
    ...peg.notes.map((note) => make('p', { class: 'small' }, note)));
  if (at > 0) {
    const way = make('select', { id: 'way-' + mark, 'aria-label': `${say('lower')} / ${say('higher')}`,
      onchange: (event) => touch(peg, { higher: event.target.value === 'higher' }) },
    make('option', { value: 'lower' }, say('lower')), make('option', { value: 'higher', selected: kept.higher }, say('higher')));
    card.append(make('div', { class: 'hand' },
      figure(say('reading'), 'mm-' + mark, kept.mm, null, (mm) => touch(peg, { mm, higher: way.value === 'higher' })), way), verdict);
    // Where the peg is to stand higher, that is what will be read.
    if (kept.higher === undefined && peg.fall_mm < 0) way.value = 'higher';
  }
  const bankHint = peg.bank_settled_cm === 0 ? say('no_bank') : say('aim_bank', { cm: plain(peg.bank_loose_cm) });
  card.append(make('details', { open: kept.cut !== undefined || kept.bank !== undefined },
    make('summary', null, say('dug')),
    make('div', { class: 'hand' },
      figure(say('cut'), 'cut-' + mark, kept.cut, say('aim_cut', { cm: plain(peg.cut_cm) }), (cut) => touch(peg, { cut })),
      figure(say('bank'), 'bank-' + mark, kept.bank, bankHint, (bank) => touch(peg, { bank }))),
    dug));
  judges.push(() => {
    card.classList.toggle('is-set', Boolean(entry(line, peg).done));
    show(verdict, judgePeg(line, at));
    show(dug, [...judgeCut(line, at), ...judgeBank(peg, number(entry(line, peg).bank))]);
  });
  return card;
};

const drawProof = (line, index) => {
  const verdict = make('div', { 'aria-live': 'polite' });
  const judge = () => show(verdict, judgeProof(line, number(state.proofs[line.name]?.mm)));
  const { expected_fall_mm: fall, allowed_mm: allowed } = line.proof;
  const box = make('article', { class: 'peg', 'aria-label': say('proof') }, make('h3', null, say('proof')),
    make('p', null, say('proof_says', { fall: plain(fall), allowed: plain(allowed) })),
    make('div', { class: 'hand' }, figure(say('proof_found'), 'proof-' + index, state.proofs[line.name]?.mm, null, (mm) => {
      state.proofs[line.name] = { mm, at: now() };
      keep();
      judge();
    })), verdict);
  judge();
  return box;
};

// ---- what was seen
const two = (n) => String(n).padStart(2, '0');
const today = () => { const d = new Date(); return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`; };
const hour = () => { const d = new Date(); return `${two(d.getHours())}:${two(d.getMinutes())}`; };
const fresh = () => ({ kind: given.seen[0].kind, line: '', chainage: '', value: '', date: today(), time: hour(), tree: '', note: '', photo: '', who: state.draft.who ?? '' });
const seenOf = (kind) => given.seen.find((seen) => seen.kind === kind) ?? given.seen[given.seen.length - 1];

const drawSeen = () => {
  const section = id('seen');
  state.draft = { ...fresh(), ...state.draft };
  const draft = state.draft;
  const field = (label, name, input) => {
    input.id = 'seen-' + name;
    input.name = name;
    input.addEventListener('input', () => {
      draft[name] = input.value;
      keep();
      if (name === 'kind') drawSeen();
      if (name === 'kind') id('seen-kind').focus();
    });
    return make('label', { for: input.id, class: name === 'note' || name === 'kind' ? 'wide' : null }, label, input);
  };
  const options = (list, chosen) => list.map(([value, text]) => make('option', { value, selected: value === chosen }, text));
  const unit = seenOf(draft.kind).unit;
  const missing = make('p', { role: 'alert' });
  const photo = make('input', { type: 'file', accept: 'image/*', 'aria-label': say('photo'), onchange: (event) => {
    draft.photo = event.target.files[0]?.name ?? '';
    id('seen-photo').value = draft.photo;
    keep();
  } });
  section.replaceChildren(make('h2', null, say('seen')), make('p', null, say('seen_says')),
    make('div', { class: 'fields' },
      field(say('kind'), 'kind', make('select', null, ...options(given.seen.map((seen) => [seen.kind, seen.words]), draft.kind))),
      unit === '' ? null : field(unit, 'value', make('input', { inputmode: 'decimal', value: draft.value })),
      field(say('line'), 'line', make('select', null, ...options([['', say('no_line')], ...given.lines.map((line) => [line.name, line.name])], draft.line))),
      field(say('chainage'), 'chainage', make('input', { inputmode: 'decimal', value: draft.chainage })),
      draft.kind !== 'tree' || given.trees.length === 0 ? null
        : field(say('tree'), 'tree', make('select', null, ...options([['', say('no_tree')], ...given.trees.map((tree) => [tree, tree])], draft.tree))),
      field(say('date'), 'date', make('input', { type: 'date', value: draft.date })),
      field(say('time'), 'time', make('input', { type: 'time', value: draft.time })),
      field(say('note'), 'note', make('textarea', null, draft.note)),
      field(say('photo'), 'photo', make('input', { value: draft.photo })), photo,
      field(say('who'), 'who', make('input', { autocomplete: 'name', value: draft.who }))),
    missing,
    make('p', null, make('button', { type: 'button', id: 'seen-add', onclick: () => {
      const chainage_m = number(draft.chainage), value = unit === '' ? null : number(draft.value);
      const tree = draft.kind === 'tree' && draft.tree !== '' ? draft.tree : null;
      if (value === null && chainage_m === null && tree === null && draft.note.trim() === '') { missing.textContent = say('missing'); return; }
      const { kind, line, date, time, note, photo: name, who } = draft;
      state.notes.push({ id: crypto.randomUUID?.() ?? `${Date.now()}-${Math.random().toString(36).slice(2)}`,
        date, time, kind, line: line || null, chainage_m, tree, value, unit: value === null ? '' : unit, note: note.trim(), photo: name, who, at: now() });
      state.draft = { who, kind, line };
      keep();
      drawSeen();
    } }, say('add'))),
    ...state.notes.filter((note) => !note.struck).map((note) => make('div', { class: 'note' },
      make('p', null, [note.date, note.time, seenOf(note.kind).words, note.value === null ? '' : `${note.value} ${note.unit}`,
        note.line ?? '', note.tree ?? '', note.chainage_m === null ? '' : say('along', { m: note.chainage_m }), note.note, note.photo, note.who].filter(Boolean).join(' · ')),
      make('button', { type: 'button', class: 'plain', onclick: () => { note.struck = true; note.at = now(); keep(); drawSeen(); } }, say('strike')))));
};

// ---- handing over
// Words that a browser or a hand put in stay words: no JSON is built from text.
const document_of = (from, sheet) => ({
  format: given.format, version: given.version, site: given.site, sheet, read_from: given.read_from, saved_at: now(),
  pegs: Object.values(from.pegs).map((kept) => ({ id: `${sheet}:${kept.line}#${kept.peg}`, line: kept.line, peg: kept.peg,
    chainage_m: kept.chainage_m, z_m: kept.z_m, done: Boolean(kept.done), fall_aimed_mm: kept.fall_aimed_mm,
    fall_read_mm: signed(number(kept.mm), kept.higher), cut_cm: number(kept.cut), bank_cm: number(kept.bank), at: kept.at })),
  proofs: Object.entries(from.proofs).map(([line, proof]) => ({ line, found_mm: number(proof.mm), at: proof.at }))
    .filter((proof) => proof.found_mm !== null),
  notes: from.notes,
});
const download = (name, type, text) => {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = make('a', { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
};
const fileName = (ending) => `field-sheet-${today()}-${hour().replace(':', '')}.${ending}`;
const cell = (value) => {
  const text = value === null || value === undefined ? '' : String(value);
  // A spreadsheet would run a text that begins like a formula.
  const safe = typeof value === 'string' && /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\n\r]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
};
const COLUMNS = ['what', 'id', 'line', 'peg', 'chainage_m', 'done', 'fall_aimed_mm', 'fall_read_mm', 'cut_cm', 'bank_cm', 'date', 'time', 'kind', 'tree', 'value', 'unit', 'note', 'photo', 'who', 'struck', 'at'];
const table = (sheet) => {
  const rows = [...sheet.pegs.map((peg) => ({ what: 'peg', ...peg })), ...sheet.proofs.map((proof) => ({ what: 'proof', line: proof.line, fall_read_mm: proof.found_mm, at: proof.at })),
    ...sheet.notes.map((note) => ({ what: 'note', ...note }))];
  return [COLUMNS.join(','), ...rows.map((row) => COLUMNS.map((name) => cell(row[name])).join(','))].join('\r\n') + '\r\n';
};
const newer = (a, b) => (!a || String(b.at ?? '') > String(a.at ?? '') ? b : a);
const takeUp = (sheet) => {
  if (sheet?.format !== given.format || sheet.version !== given.version || !Array.isArray(sheet.pegs) || !Array.isArray(sheet.notes)) return null;
  let taken = 0;
  for (const peg of sheet.pegs) {
    const line = given.lines.find((known) => known.name === peg.line);
    if (!line?.pegs.some((known) => known.peg === peg.peg) || sheet.sheet !== given.sheet) continue;
    const key = `${peg.line}#${peg.peg}`;
    const text = (value) => (value === null || value === undefined ? undefined : String(value));
    const theirs = { line: peg.line, peg: peg.peg, chainage_m: peg.chainage_m, z_m: peg.z_m, fall_aimed_mm: peg.fall_aimed_mm, done: peg.done, mm: peg.fall_read_mm === null ? undefined : text(Math.abs(peg.fall_read_mm)),
      higher: peg.fall_read_mm === null ? undefined : peg.fall_read_mm < 0, cut: text(peg.cut_cm), bank: text(peg.bank_cm), at: peg.at };
    if (newer(state.pegs[key], theirs) === theirs) { state.pegs[key] = theirs; taken += 1; }
  }
  for (const note of sheet.notes) {
    const at = state.notes.findIndex((mine) => mine.id === note.id);
    if (at < 0) { state.notes.push(note); taken += 1; }
    else if (newer(state.notes[at], note) === note) { state.notes[at] = note; taken += 1; }
  }
  return taken;
};

const drawAll = () => {
  id('ways').replaceChildren(...given.lines.map((line, index) => make('a', { href: '#line-' + index }, line.name)),
    make('a', { href: '#seen' }, say('seen')), make('a', { href: '#out' }, say('hand_over')));
  id('lines').replaceChildren(...given.lines.map(drawLine));
  drawSeen();
};
id('out-title').textContent = say('hand_over');
id('out-says').textContent = say('hand_over_says');
id('save-json').addEventListener('click', () => download(fileName('json'), 'application/json', JSON.stringify(document_of(state, given.sheet), null, 1)));
id('save-csv').addEventListener('click', () => download(fileName('csv'), 'text/csv', table(document_of(state, given.sheet))));
id('take-label').append(say('take_up') + ' ', make('input', { type: 'file', accept: '.json,application/json', id: 'take', onchange: async (event) => {
  let taken = null;
  try { taken = takeUp(JSON.parse(await event.target.files[0].text())); } catch { taken = null; }
  // The same file may be taken up again: without this a browser would not tell of it.
  event.target.value = '';
  id('took').textContent = taken === null ? say('took_none') : say('took_up', { n: taken });
  keep();
  drawAll();
} }));
id('clear').addEventListener('click', () => {
  if (!confirm(given.clear_ask)) return;
  state = empty();
  keep();
  drawAll();
});
const older = () => {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX) && key !== KEY);
  } catch { return []; }
};
for (const key of older()) {
  const found = read(key);
  const n = found ? Object.keys(found.pegs).length + found.notes.length : 0;
  if (n === 0) continue;
  id('older').append(make('div', { class: 'bar' }, say('older', { n }) + ' ', make('button', { type: 'button', class: 'plain',
    onclick: () => download(fileName('json'), 'application/json', JSON.stringify(document_of(found, key.slice(PREFIX.length)), null, 1)) }, say('older_save'))));
}
keep();
drawAll();
