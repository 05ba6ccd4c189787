// A trade word that explains itself when touched.
import type { ComponentChildren } from 'preact';
import { useId, useState } from 'preact/hooks';
import { type TermName, terms } from '../../words';

export function Term({ word, children }: { word: TermName; children?: ComponentChildren }) {
  const [open, setOpen] = useState(false);
  const id = useId();
  return (
    <span class="term">
      <button
        type="button"
        aria-expanded={open}
        aria-controls={id}
        onClick={() => setOpen(!open)}
        onKeyDown={(event) => {
          if (event.key === 'Escape') setOpen(false);
        }}
      >
        {children ?? word}
      </button>
      <span id={id} class="meaning" hidden={!open}>
        <strong>{word}</strong>: {terms[word]}
      </span>
    </span>
  );
}
