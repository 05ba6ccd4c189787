// The trade's words mean on the screen what the glossary says they mean.
import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { terms } from '../src/words';

const glossary = readFileSync(new URL('../../docs/glossary.md', import.meta.url), 'utf8');
const meanings = new Map(
  glossary
    .split('\n')
    .map((row) => row.split('|').map((cell) => cell.trim()))
    .filter((cells) => cells.length === 6)
    .map((cells) => [cells[1] ?? '', cells[4] ?? '']),
);

it.each(Object.entries(terms))('“%s” is explained as in the glossary', (word, meaning) => {
  expect(meaning.replaceAll('’', "'")).toBe(meanings.get(word));
});
