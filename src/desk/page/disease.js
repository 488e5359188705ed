// What is known of a disease: what to look for, what looks like it, whose word is needed. Each fact with its source.
import * as api from '/page/api.js';
import { el, problem } from '/page/dom.js';
import { words } from '/page/words.js';

const say = words.disease;

// Facts carry the number of their source; the sources stand at the end, each once.
class Sources {
  constructor() {
    this.all = [];
  }

  fact(one) {
    if (!one.source) return el('li', { text: one.text });
    if (!this.all.includes(one.source)) this.all.push(one.source);
    return el('li', {}, one.text, el('sup', { class: 'source', text: ` ${this.all.indexOf(one.source) + 1}` }));
  }

  facts(title, list, tag = 'ul') {
    const told = (list || []).filter((one) => one && one.text);
    return told.length
      ? [
          el('h3', { text: title }),
          el(
            tag,
            {},
            told.map((one) => this.fact(one)),
          ),
        ]
      : null;
  }

  element() {
    return this.all.length
      ? el(
          'details',
          {},
          el('summary', { text: say.sources }),
          el(
            'ol',
            { class: 'source' },
            this.all.map((text) => el('li', { text })),
          ),
        )
      : null;
  }
}

function panel(profile) {
  const late = profile.too_late_in_season;
  const sources = new Sources(),
    title = el(
      'p',
      {},
      el('strong', { text: profile.title }),
      profile.cause ? el('span', {}, ' (', el('i', { text: profile.cause }), ')') : null,
    );
  return el(
    'div',
    { class: 'card disease' },
    title,
    profile.laboratory ? el('p', { class: 'note warning', text: say.laboratory_needed }) : null,
    late && late.at_symptoms ? el('p', { class: 'note warning', text: say.too_late(late.next_season) }) : null,
    sources.facts(say.still_time, late && !late.at_symptoms ? [late] : null),
    sources.facts(say.look_for, profile.look_for, 'ol'),
    sources.facts(say.look_alikes, profile.look_alikes),
    sources.facts(say.laboratory, [profile.laboratory_why]),
    sources.facts(say.dig, [profile.dig]),
    el(
      'details',
      {},
      el('summary', { text: say.more }),
      sources.facts(say.lives, [profile.habitat, profile.when, profile.diagnosis]),
      sources.facts(words.survey.cautions, profile.cautions),
    ),
    sources.element(),
  );
}

// The panel of the one chosen; `told(profile)` with what is known of it, null where none is chosen.
export async function showDisease(place, name, told) {
  if (!name) {
    place.replaceChildren();
    return told(null);
  }
  try {
    const profile = await api.profile(name);
    place.replaceChildren(panel(profile));
    return told(profile);
  } catch (error) {
    place.replaceChildren(problem(error));
    return told(null);
  }
}

// Those without a name are for readings of any kind; "no disease chosen" stands for them.
export const diseaseOptions = (profiles) => [
  ['', say.none],
  ...profiles
    .filter((one) => !['count', 'score'].includes(one.name))
    .map((one) => [one.name, one.title])
    .sort((a, b) => a[1].localeCompare(b[1])),
];
