// A typed number with its unit. Kept when the person leaves it or presses Enter; what is not a number is said.
import { useId, useState } from 'preact/hooks';
import { typed } from '../../state/figures';
import { say } from '../../state/look';
import { words } from '../../words';

interface Props {
  label: string;
  unit: string;
  value: number;
  digits: number;
  onKeep: (value: number) => void;
  /** The label is for readers only: a table's head shows it. */
  quiet?: boolean;
}

export function NumberField({ label, unit, value, digits, onKeep, quiet = false }: Props) {
  const id = useId();
  const [text, setText] = useState<string | null>(null);
  const shown = text ?? value.toFixed(digits);
  const wrong = text !== null && typed(text) === null;
  const keep = () => {
    if (text === null) return;
    const number = typed(text);
    if (number === null) {
      say(words.field.notANumber(label));
      return;
    }
    setText(null);
    if (number.toFixed(digits) !== value.toFixed(digits)) onKeep(number);
  };
  return (
    <span class="field">
      <label for={id} class={quiet ? 'unseen' : ''}>
        {label}
      </label>
      <span class="entry">
        <input
          id={id}
          inputMode="decimal"
          value={shown}
          aria-invalid={wrong}
          onInput={(event) => setText(event.currentTarget.value)}
          onBlur={keep}
          onKeyDown={(event) => {
            if (event.key === 'Enter') keep();
            if (event.key === 'Escape') setText(null);
          }}
        />
        <span class="unit">{unit}</span>
      </span>
    </span>
  );
}

/** A typed word or date. Kept when the person leaves it or presses Enter; Escape puts it back. */
export function TextField({
  label,
  value,
  type = 'text',
  onKeep,
}: {
  label: string;
  value: string;
  type?: 'text' | 'date';
  onKeep: (value: string) => void;
}) {
  const id = useId();
  const [text, setText] = useState<string | null>(null);
  const keep = () => {
    if (text !== null && text.trim() !== value && (text.trim() !== '' || type === 'date')) onKeep(text.trim());
    setText(null);
  };
  const entry = {
    id,
    value: text ?? value,
    onInput: (event: { currentTarget: HTMLInputElement }) => setText(event.currentTarget.value),
    onBlur: keep,
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key === 'Enter') keep();
      if (event.key === 'Escape') setText(null);
    },
  };
  return (
    <span class="field words">
      <label for={id}>{label}</label>
      {type === 'date' ? <input type="date" {...entry} /> : <input type="text" {...entry} />}
    </span>
  );
}
