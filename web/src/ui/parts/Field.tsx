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
