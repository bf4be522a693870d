// The handle that turns the probe: a knob ahead of the wedge front, dragged sideways or moved by arrows.
import { dragging } from './drag.js';
import { set, svg } from './element.js';
import { MOST_SKEW_DEG } from './hold.js';
import { number, text } from './text.js';

/** Distance of the knob from the wedge front, px. */
const ARM_PX = 46;
const DEG = 180 / Math.PI;

export function skewHandle(session) {
  const arm = svg('line', { class: 'skew-arm' });
  const knob = svg('circle', { class: 'skew-knob', r: 8 });
  const grip = svg('circle', { class: 'grip', r: 22 });
  const element = svg('g', { class: 'skew-handle', tabindex: 0, role: 'slider', 'aria-label': text('plan.skew'),
    'aria-valuemin': -MOST_SKEW_DEG, 'aria-valuemax': MOST_SKEW_DEG }, arm, grip, knob);
  // Up the screen is towards side B: from there the beam looks down it.
  const ahead = () => (session.pose.side === 'A' ? -1 : 1);

  dragging(element, {
    start: (event) => {
      event.stopPropagation();
      element.focus({ preventScroll: true });
      return session.pose.skew_deg;
    },
    move: (start, dx) => {
      const from = Math.sin(start / DEG) * ARM_PX;
      const sine = Math.max(-0.9, Math.min(0.9, (from + dx) / ARM_PX));
      session.move({ skew_deg: Math.round(Math.asin(sine) * DEG) });
    },
  });

  return {
    element,
    /** Puts it ahead of a wedge front at a place of the screen. */
    show(x, y) {
      const { skew_deg } = session.pose;
      const [kx, ky] = [x + Math.sin(skew_deg / DEG) * ARM_PX, y + ahead() * Math.cos(skew_deg / DEG) * ARM_PX];
      set(arm, { x1: x, y1: y, x2: kx, y2: ky });
      for (const part of [knob, grip]) set(part, { cx: kx, cy: ky });
      set(element, { 'aria-valuenow': skew_deg, 'aria-valuetext': text('plan.skew.value', { skew: number(skew_deg) }) });
    },
  };
}
