// Canvases cannot read the stylesheet's variables: each is resolved once a theme through a probe.

import type { Rgb } from '../sheet/layers';
import { theme } from '../state/look';

let probe: HTMLElement | null = null;
const found = new Map<string, Rgb>();

export function rgb(token: string): Rgb {
  const key = `${theme.value}${token}`;
  const known = found.get(key);
  if (known) return known;
  if (!probe) {
    probe = document.createElement('i');
    probe.hidden = true;
    document.body.append(probe);
  }
  document.documentElement.dataset.theme = theme.value;
  probe.style.color = `var(${token})`;
  const numbers = getComputedStyle(probe).color.match(/\d+/g)?.map(Number);
  const colour: Rgb = [numbers?.[0] ?? 0, numbers?.[1] ?? 0, numbers?.[2] ?? 0];
  found.set(key, colour);
  return colour;
}
