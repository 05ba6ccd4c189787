// What is being drawn, before it is kept: plum, for it is under the hand.
import { put } from '../state/look';
import { walked } from '../state/tools';
import { k, local, pathOf } from './marks/frame';

export function Draft() {
  const scale = k.value;
  const trail = walked.value;
  return (
    <g class="draft" aria-hidden="true">
      {trail && <path class="trail" d={pathOf(trail.path, scale)} />}
      {!trail && put.value.length > 1 && <path class="trail" d={pathOf(put.value, scale)} />}
      {put.value.map((place) => {
        const { x, y } = local(place, scale);
        return <circle key={`${place.x_m},${place.y_m}`} cx={x} cy={y} r="6" />;
      })}
    </g>
  );
}
