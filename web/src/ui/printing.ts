// What paper needs that a style sheet cannot do: everything folded is opened, and the map takes the paper's width.

/** Printable width of an A4 sheet on its side with margins of 10 mm, in CSS pixels; taller maps are shortened to fit. */
const WIDE_PX = (277 / 25.4) * 96;
const HIGH_PX = (150 / 25.4) * 96;

let opened: HTMLDetailsElement[] = [];

function before(): void {
  opened = [...document.querySelectorAll<HTMLDetailsElement>('details:not([open])')];
  for (const details of opened) details.open = true;
  const sheet = document.querySelector<HTMLElement>('.sheet');
  if (!sheet) return;
  const { clientWidth: width, clientHeight: height } = sheet;
  const root = document.documentElement.style;
  root.setProperty('--map-width', `${width}px`);
  root.setProperty('--map-height', `${height}px`);
  root.setProperty('--map-zoom', String(Math.min(WIDE_PX / width, HIGH_PX / height)));
}

function after(): void {
  for (const details of opened) details.open = false;
  opened = [];
}

export function readyForPaper(): () => void {
  window.addEventListener('beforeprint', before);
  window.addEventListener('afterprint', after);
  return () => {
    window.removeEventListener('beforeprint', before);
    window.removeEventListener('afterprint', after);
  };
}
