// What to do with the map: where to dig and look first, then, with a rate and a product from a label, the sprayer.
import * as api from '/page/api.js';
import { el, button, link, note, problem, say as tell } from '/page/dom.js';
import { words } from '/page/words.js';
import { field, progress } from '/page/form.js';
import { Boxes, loadCatalog } from '/page/settings.js';
import { percent } from '/page/units.js';
import { headline, zoneTable } from '/page/findings.js';

const say = words.act;

function digTable(survey, name) {
  if (!survey.digs.length) return el('p', { text: say.no_digs });
  const row = (dig) =>
    el(
      'tr',
      {},
      el('th', { scope: 'row', text: String(dig.visit) }),
      el('td', { text: say.why[dig.why] || dig.why }),
      el('td', { text: Number.isFinite(dig.chance) && dig.chance !== null ? percent(dig.chance) : '\u2013' }),
      el('td', { text: `${dig.lat.toFixed(5)}, ${dig.lon.toFixed(5)}` }),
    );
  return el(
    'div',
    {},
    el('p', { text: say.digs_help }),
    el(
      'p',
      {},
      link(say.digs_save, api.surveyFile(name, 'digs.gpx'), { download: `${name}-digs.gpx`, class: 'button', id: 'save-digs' }),
    ),
    el(
      'div',
      { class: 'rows', tabindex: '0', role: 'region', 'aria-label': say.digs },
      el(
        'table',
        {},
        el(
          'thead',
          {},
          el(
            'tr',
            {},
            say.heads.map((text) => el('th', { scope: 'col', text })),
          ),
        ),
        el('tbody', {}, survey.digs.map(row)),
      ),
    ),
  );
}

class Sprayer {
  constructor(context, survey) {
    Object.assign(this, { context, visit: context.visit, survey });
    this.boxes = new Boxes(this.visit);
    this.run = el('div', { id: 'sprayer-answer' });
    this.reason = el('div', {});
  }

  // What is typed here stays with the visit, but is none of the map's settings.
  box(name) {
    const kept = this.visit.draft.task || {};
    const made =
      name === 'unit'
        ? this.unitBox(kept)
        : field({
            id: `set-${name}`,
            label: words.labels[name],
            help: words.help[name],
            control: el('input', {
              type: 'text',
              inputmode: name === 'product' ? null : 'decimal',
              autocomplete: 'off',
              value: kept[name] || '',
            }),
          });
    made.control.addEventListener('input', () => {
      made.problem(null);
      this.visit.change(
        words.steps.setting(name),
        (draft) => {
          draft.task = { ...draft.task, [name]: made.value };
        },
        `task-${name}`,
      );
    });
    this.boxes.all[name] = made;
    return made.element;
  }

  unitBox(kept) {
    return field({
      id: 'set-unit',
      label: words.labels.unit,
      control: el(
        'select',
        {},
        [['', say.choose], ...say.units].map(([value, text]) => el('option', { value, text, selected: value === kept.unit })),
      ),
    });
  }

  forms() {
    return el(
      'fieldset',
      { class: 'choice' },
      el('legend', { text: say.forms }),
      say.form_list.map(([form, text, taken]) =>
        el(
          'div',
          { class: 'option' },
          el('input', { type: 'checkbox', id: `form-${form}`, value: form, checked: taken }),
          el('label', { for: `form-${form}`, text }),
        ),
      ),
    );
  }

  pairs() {
    const pairs = [
      ['what', 'task'],
      ['about', this.visit.name],
    ];
    for (const [name, box] of Object.entries(this.boxes.all)) if (box.value) pairs.push([name, box.value]);
    for (const box of this.element.querySelectorAll('.choice input:checked')) pairs.push(['form', box.value]);
    return pairs;
  }

  missing() {
    for (const name of ['treat', 'unit', 'product'])
      if (!this.boxes.all[name].value) {
        this.boxes.all[name].problem(say.needed[name]);
        return true;
      }
    return false;
  }

  askReason(error) {
    if (this.boxes.all['even-so']) return this.boxes.refused({ key: 'even-so', text: error.text });
    const box = this.box('even-so');
    this.reason.replaceChildren(note('warning', el('p', { role: 'alert', id: 'refused', text: error.text }), box));
    return true;
  }

  async make(event) {
    event.preventDefault();
    if (this.missing()) return;
    const hand = {},
      bar = progress(say.making, hand);
    this.run.replaceChildren(bar.element);
    bar.focus();
    try {
      await api.run(this.pairs(), (told) => bar.tell(told), hand);
      tell(say.made);
      this.run.replaceChildren(
        note(
          '',
          el('p', { text: say.made_help }),
          link(say.save, api.surveyFile(this.visit.name, 'sprayer.zip'), {
            download: `${this.visit.name}-sprayer.zip`,
            class: 'button main',
            id: 'save-sprayer',
          }),
        ),
      );
    } catch (error) {
      this.run.replaceChildren();
      if (error instanceof api.Canceled) this.run.replaceChildren(el('p', { text: error.message }));
      else if (error.asksReason) this.askReason(error);
      else if (!this.boxes.refused(error)) this.run.replaceChildren(problem(error));
    }
  }

  make_element() {
    this.element = el(
      'form',
      { class: 'sprayer', onsubmit: (event) => this.make(event) },
      el('div', { class: 'boxes' }, this.box('product'), this.box('unit'), this.box('treat'), this.box('dig'), this.box('leave')),
      this.forms(),
      this.reason,
      el('button', { type: 'submit', id: 'make-sprayer', text: say.make }),
      this.run,
    );
    return this.element;
  }
}

// The field's history: what stood here, what a laboratory found.
function keepForm(visit) {
  const kept = visit.draft.notes || {},
    place = el('div', {}),
    boxes = {};
  for (const name of ['crop', 'laboratory']) {
    boxes[name] = field({
      id: `note-${name}`,
      label: say.notes[name],
      help: say.notes_help[name],
      control: el('input', { type: 'text', autocomplete: 'off', value: kept[name] || '' }),
    });
    boxes[name].control.addEventListener('input', () =>
      visit.change(
        words.steps.notes,
        (draft) => {
          draft.notes = { ...draft.notes, [name]: boxes[name].value };
        },
        `note-${name}`,
      ),
    );
  }
  const keep = async (replace) => {
    const notes = Object.entries(boxes)
      .map(([name, box]) => [name, box.value])
      .filter(([, value]) => value);
    try {
      await api.run([['what', 'record'], ['about', visit.name], ...notes, ...(replace ? [['replace', 'true']] : [])]);
      tell(say.recorded);
      place.replaceChildren(el('p', { text: say.recorded }));
    } catch (error) {
      const other = /replace/.test(error.raw); // another map of this season is kept there
      place.replaceChildren(
        problem(other ? { text: say.other_map } : error),
        other ? button(say.replace, () => keep(true), { id: 'replace' }) : '',
      );
    }
  };
  return el(
    'form',
    {
      onsubmit: (event) => {
        event.preventDefault();
        keep(false);
      },
    },
    el('p', { text: say.history }),
    el('div', { class: 'inline' }, boxes.crop.element, boxes.laboratory.element),
    el('button', { type: 'submit', id: 'record', text: say.record }),
    place,
  );
}

export async function show(body, context) {
  const { visit } = context;
  body.append(el('h1', { text: say.title }));
  if (!visit.mapped) {
    body.append(
      el('p', { class: 'note', text: say.missing }),
      el('p', {}, link(words.next(words.rooms.map), `#/${encodeURIComponent(visit.name)}/map`, { class: 'button main' })),
    );
    return;
  }
  const [survey] = await Promise.all([api.survey(visit.name), loadCatalog()]);
  body.append(
    el('p', { class: 'lead', text: `${headline(survey)}. ${survey.field.name}` }),
    el('section', {}, el('h2', { text: say.digs }), digTable(survey, visit.name)),
    el(
      'div',
      { class: 'two' },
      el(
        'section',
        {},
        el('h2', { text: say.sprayer }),
        el('p', { text: say.sprayer_help }),
        new Sprayer(context, survey).make_element(),
      ),
      el(
        'aside',
        { class: 'beside', 'aria-label': words.survey.cautions },
        zoneTable(survey),
        el('h2', { text: words.survey.cautions }),
        el(
          'ul',
          { class: 'cautions' },
          survey.cautions.map((text) => el('li', { text })),
        ),
      ),
    ),
    el(
      'section',
      {},
      el('h2', { text: say.later }),
      keepForm(visit),
      el('p', { text: say.later_help }),
      el('p', {}, link(say.compare, '#/seasons', { class: 'button', id: 'to-seasons' })),
    ),
  );
}
