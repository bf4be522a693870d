// How to read it: the sums of depth and surface distance with the echo in the gate, ends, heights, kinds.
import { html, say } from './element.js';
import { foldedBeam, halfHeight, twoTips } from './help-drawings.js';
import { number, text } from './text.js';

const RAD = Math.PI / 180;
/** Pictures that the program itself computed, by kind. */
const KINDS = [
  ['fusion', [['fusion-a', 'read.kind.fusion.a'], ['fusion-b', 'read.kind.fusion.b']]],
  ['root', [['root-crack', 'read.kind.root.picture']]],
  ['upright', [['upright-crack', 'read.kind.upright.picture']]],
  ['pores', [['pores', 'read.kind.pores.picture']]],
  ['slag', []],
  ['penetration', []],
  ['weld', [['clean-weld', 'read.kind.weld.picture']]],
];

/** The part and how to end its following of the session. */
export function readingPart(session) {
  const live = html('div', { class: 'read-live' });
  const element = html('div', { class: 'read' }, html('p', { class: 'quiet' }, text('help.open')),
    html('h3', {}, text('read.order')),
    html('ol', { class: 'read-order' }, [1, 2, 3, 4, 5].map((n) => html('li', {}, text(`read.order.${n}`)))),
    html('h3', {}, text('read.where')), words('read.where.words'), words('read.where.surface'), words('read.where.depth'), live,
    html('h3', {}, text('read.long')), halfHeight(), words('read.long.words'),
    html('h3', {}, text('read.high')), twoTips(), words('read.high.tips'), words('read.high.drop'),
    html('h3', {}, text('read.kind')), words('read.kind.words'), KINDS.map(kind), html('p', { class: 'quiet' }, text('read.kind.more')));
  let shown = '';
  const follow = () => {
    const sums = sumsOf(session);
    const key = JSON.stringify(sums);
    if (key === shown) return;
    shown = key;
    live.replaceChildren(html('h4', {}, text('read.live')), ...(sums ? worked(sums) : [html('p', {}, text('read.live.none'))]));
  };
  follow();
  session.addEventListener('frame', follow);
  return { element, stop: () => session.removeEventListener('frame', follow) };
}

const words = (key) => html('p', {}, text(key));

function kind([name, pictures]) {
  return html('figure', { class: 'read-kind' }, pictures.map(([file, alt]) =>
    html('img', { src: `model/${file}.webp`, width: 420, height: 156, loading: 'lazy', alt: text(alt) })),
    html('figcaption', {}, text(`read.kind.${name}`)));
}

/** The numbers of the echo in the gate; null without one, or on a bench whose readings are not of this frame. */
function sumsOf({ open, frame, about }) {
  const reading = open && document.body.dataset.place === 'bench' ? frame?.reading : null;
  if (!reading) return null;
  const { angle_deg } = about.beams[reading.beam];
  return { angle_deg, path_mm: reading.sound_path_mm, leg: reading.leg, depth_mm: reading.depth_mm, thickness_mm: about.thickness_mm };
}

function worked({ angle_deg, path_mm, leg, depth_mm, thickness_mm }) {
  const down_mm = path_mm * Math.cos(angle_deg * RAD);
  const values = { angle: number(angle_deg), path_mm, surface_mm: path_mm * Math.sin(angle_deg * RAD), down_mm, thickness_mm, depth_mm,
    leg: text(`leg.${leg}`), faces: leg % 2 ? leg - 1 : leg };
  const depth = leg === 1 ? 'read.live.first' : leg % 2 ? 'read.live.odd' : 'read.live.even';
  const drawing = foldedBeam({ angle_deg, path_mm, thickness_mm });
  drawing.setAttribute('aria-label', text('read.live.label', values));
  const list = html('ul', {}, ['read.live.surface', 'read.live.down', depth].map((key) => html('li', {}, text(key, values))));
  const rounded = html('p', { class: 'quiet' });
  say(rounded, text('read.live.rounded'));
  return [drawing, list, rounded];
}
