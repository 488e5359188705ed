// Boxes for settings: their help, what they can be, and what is wrong with them, under the name that the program uses.
import * as api from '/page/api.js';
import { el } from '/page/dom.js';
import { words, settingName } from '/page/words.js';
import { field, select } from '/page/form.js';
import { isMetric, lengthUnit } from '/page/units.js';

let catalog = null;

// The program's own catalog: its help stands where the page has no simpler word.
export async function loadCatalog() {
  catalog = catalog || new Map((await api.settings()).map((row) => [row.name, row]));
}

const labelOf = (name) => words.labels[name] || settingName(name).replace(/^./, (letter) => letter.toUpperCase());
const helpOf = (name) => (words.help[name] !== undefined ? words.help[name] : (catalog.get(name) || {}).help || '');

// "20ft" in the unit of the page; a number without a unit is meters.
function shownLength(text) {
  const parts = String(text || '').match(/^\s*([\d.]+)\s*(ft|m)?\s*$/);
  if (!parts) return text || '';
  const meters = parts[2] === 'ft' ? parts[1] * 0.3048 : Number(parts[1]);
  return String(Number((isMetric() ? meters : meters / 0.3048).toFixed(2)));
}

const kinds = {
  text: { show: (text) => text, keep: (text) => text, box: { type: 'text', autocomplete: 'off' } },
  number: { show: (text) => text, keep: (text) => text, box: { type: 'text', inputmode: 'decimal', autocomplete: 'off' } },
  length: {
    show: shownLength,
    keep: (text) => (text ? `${text}${lengthUnit()}` : ''),
    box: { type: 'text', inputmode: 'decimal', autocomplete: 'off' },
  },
  percent: {
    show: (text) => (text === '' ? '' : String(Math.round(1000 * text) / 10)),
    keep: (text) => (text === '' || Number.isNaN(Number(text)) ? text : String(Number(text) / 100)),
    box: { type: 'text', inputmode: 'decimal', autocomplete: 'off' },
  },
};

// Keeps the boxes of a room by the names of their settings.
export class Boxes {
  constructor(visit, changed = () => {}) {
    Object.assign(this, { visit, changed, all: {} });
  }

  set(name, value) {
    this.visit.change(
      words.steps.setting(name),
      (draft) => {
        if (value === '') delete draft.choices[name];
        else draft.choices[name] = value;
      },
      `setting-${name}`,
    );
    this.changed(name);
  }

  get(name) {
    return this.visit.draft.choices[name] || '';
  }

  box(name, kind = 'text', besides = null) {
    const { show, keep, box } = kinds[kind],
      unit = kind === 'length' ? ` (${lengthUnit() === 'ft' ? 'feet' : 'meters'})` : kind === 'percent' ? ' (%)' : '';
    const made = field({
      id: `set-${name}`,
      label: labelOf(name) + unit,
      help: helpOf(name),
      besides,
      control: el('input', { ...box, value: show(this.get(name)) }),
    });
    made.control.addEventListener('input', () => {
      made.problem(null);
      this.set(name, keep(made.value));
    });
    this.all[name] = made;
    return made.element;
  }

  pick(name, options) {
    const made = field({
      id: `set-${name}`,
      label: labelOf(name),
      help: helpOf(name),
      control: select(options, this.get(name), (value) => {
        made.problem(null);
        this.set(name, value);
      }),
    });
    this.all[name] = made;
    return made.element;
  }

  // Whether there is a box for what was refused; it shows it then.
  refused(error) {
    const box = this.all[error.key];
    if (!box) return false;
    for (let outer = box.element.closest('details'); outer; outer = outer.parentElement.closest('details')) outer.open = true;
    box.problem(error.text);
    return true;
  }
}
