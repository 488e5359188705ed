// What if one acted from another chance on, or another threshold? The acres follow the hand; the map is made again when
// it lets go.
import * as api from '/page/api.js';
import { el, fresh } from '/page/dom.js';
import { words } from '/page/words.js';
import { area, severity } from '/page/units.js';
import { hectaresFrom, readLayer } from '/page/layer.js';

const say = words.whatif;
const QUIET = 700; // milliseconds after which a key or a hand has let go

function slider({ id, label, least, most, step, value, tell, take }) {
  const out = el('output', { for: id }),
    help = fresh('slider');
  const bar = el('input', { type: 'range', id, min: least, max: most, step, value, 'aria-describedby': help });
  let waits = null;
  const told = () => {
    out.textContent = tell(Number(bar.value));
    bar.setAttribute('aria-valuetext', out.textContent);
  };
  bar.addEventListener('input', told);
  bar.addEventListener('change', () => {
    clearTimeout(waits);
    waits = setTimeout(() => Number(bar.value) !== value && bar.isConnected && take(Number(bar.value)), QUIET);
  });
  told();
  return {
    element: el(
      'div',
      { class: 'slider' },
      el('label', { for: id, text: label }),
      bar,
      out,
      el('p', { class: 'unseen', id: help, text: say.help }),
    ),
    told,
  };
}

// `remake(name, value)`: a setting is changed and the map made again. null where no zone was made of chances.
export function whatIf(name, survey, remake) {
  const { job, surface, reading } = survey,
    treat = job['treat-chance'] || 0.5,
    digs = job['dig-chance'] || 0.2;
  if (survey.pattern.verdict !== 'patchy' || surface.kind === 'idw') return null;
  let chances = null;
  const unit = reading.unit.startsWith('percent') ? ' %' : '',
    most = Math.ceil(Math.max(survey.severity.max, 2 * reading.threshold));
  const chance = slider({
    id: 'if-chance',
    label: say.chance,
    least: Math.ceil(100 * digs) + 1,
    most: 99,
    step: 1,
    value: Math.round(100 * treat),
    tell: (percent) => (chances ? say.acres(percent, area(hectaresFrom(chances, percent / 100))) : `${percent} %`),
    take: (percent) => remake('treat-chance', String(percent / 100)),
  });
  const threshold = slider({
    id: 'if-threshold',
    label: say.threshold,
    least: most > 20 ? 1 : most / 100,
    most,
    step: most > 20 ? 1 : most / 100,
    value: reading.threshold,
    tell: (value) => severity(value) + unit,
    take: (value) => remake('threshold', String(value)),
  });
  readLayer(api.surveyFile(name, 'chance.tif'))
    .then((layer) => {
      chances = layer;
      chance.told();
    })
    .catch(() => {}); // the acres are a help, not the map
  return el(
    'section',
    { class: 'card whatif' },
    el('h2', { text: say.title }),
    el('p', { class: 'small', text: say.help }),
    chance.element,
    threshold.element,
  );
}
