// Preferences and what this is.
import { feet, type ThemeChoice, themeChoice } from '../../state/look';
import { type TermName, terms, words } from '../../words';

const THEMES: readonly ThemeChoice[] = ['auto', 'paper', 'dark', 'sun'];

export function AboutPage() {
  return (
    <div class="read">
      <h2>{words.about.title}</h2>
      <fieldset>
        <legend>{words.about.look}</legend>
        {THEMES.map((choice) => (
          <label class="tick" key={choice}>
            <input
              type="radio"
              name="theme"
              checked={themeChoice.value === choice}
              onChange={() => {
                themeChoice.value = choice;
              }}
            />
            {words.about.themes[choice]}
          </label>
        ))}
      </fieldset>
      <fieldset>
        <legend>{words.about.units}</legend>
        <label class="tick">
          <input
            type="checkbox"
            checked={feet.value}
            onChange={(event) => {
              feet.value = event.currentTarget.checked;
            }}
          />
          {words.about.feet}
        </label>
        <p class="small">{words.about.feetNote}</p>
      </fieldset>
      <h3>{words.about.keysTitle}</h3>
      <dl class="readings keys">
        {words.about.keys.map(([key, does]) => (
          <>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{does}</dd>
          </>
        ))}
      </dl>
      <h3>{words.about.wordsTitle}</h3>
      <dl class="glossary">
        {(Object.keys(terms) as TermName[]).map((word) => (
          <>
            <dt>{word}</dt>
            <dd>{terms[word]}</dd>
          </>
        ))}
      </dl>
      <h3>{words.about.safetyTitle}</h3>
      <p>{words.about.safety}</p>
      <h3>{words.about.fontsTitle}</h3>
      <p class="small">
        {words.about.fonts} <a href="OFL.txt">{words.about.licence}</a>
      </p>
    </div>
  );
}
