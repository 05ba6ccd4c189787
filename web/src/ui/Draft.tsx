// What is being drawn, before it is kept: plum, for it is under the hand.

import type { Place } from '../sheet/view';
import { put } from '../state/look';
import { pencil, walked } from '../state/tools';
import { k, local, pathOf } from './marks/frame';

function Pencil({ place }: { place: Place }) {
  const { x, y } = local(place, k.value);
  return (
    <path
      class="pencil"
      d={`M${x - 14} ${y}H${x - 3}M${x + 3} ${y}H${x + 14}M${x} ${y - 14}V${y - 3}M${x} ${y + 3}V${y + 14}`}
    />
  );
}

export function Draft() {
  const scale = k.value;
  const trail = walked.value;
  return (
    <g class="draft" aria-hidden="true">
      {trail && <path class="trail" d={pathOf(trail.path, scale)} />}
      {!trail && put.value.length > 1 && <path class="trail" d={pathOf(put.value, scale)} />}
      {pencil.value && <Pencil place={pencil.value} />}
      {put.value.map((place) => {
        const { x, y } = local(place, scale);
        return <circle key={`${place.x_m},${place.y_m}`} cx={x} cy={y} r="6" />;
      })}
    </g>
  );
}
