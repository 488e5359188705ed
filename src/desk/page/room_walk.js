// Where to walk, before anybody walks: how many stops and what they would find, the walk, a sheet to write on.
import * as api from '/page/api.js';
import { el, svg, button, link, list, note, problem, say as tell } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { choice, field, progress, select } from '/page/form.js';
import { Boxes, loadCatalog } from '/page/settings.js';
import { diseaseOptions } from '/page/disease.js';
import { isMetric } from '/page/units.js';
import { Plane } from '/page/plane.js';
import { chosenOutline } from '/page/outline.js';
import { emptySheet } from '/page/sheet_file.js';
import { goOn } from '/page/way.js';

const say = words.walk;
const ENDINGS = ['csv', 'gpx', 'pdf'];

// The program's own form: places and names in the order of the walk.
function readForm(text) {
  const [head, ...rows] = text
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  const at = Object.fromEntries(head.map((name, i) => [name, i]));
  return rows.map((row) => ({ place: [Number(row[at.lon]), Number(row[at.lat])], stop: row[at.stop] }));
}

class Walk {
  constructor(context, outline) {
    Object.assign(this, {
      context,
      visit: context.visit,
      outline,
      run: el('div', { class: 'run' }),
      laid: el('div', { class: 'laid' }),
      asked: el('div', {}),
    });
    this.boxes = new Boxes(this.visit);
    this.plane = new Plane({ label: say.plane, drawn: () => this.drawLine() });
  }

  get wish() {
    return this.visit.draft.walk || { purpose: 'stops', stops: '60', pattern: 'grid' };
  }

  set(name, value) {
    this.visit.change(
      words.steps.walk,
      (draft) => {
        draft.walk = { ...this.wish, [name]: value };
      },
      `walk-${name}`,
    );
  }

  // ---- what for, and so how many ----

  box(name, type, options = null) {
    const control = options
      ? select(options, this.wish[name] || options[0][0], (value) => this.set(name, value))
      : el('input', { type: 'text', inputmode: type, autocomplete: 'off', value: this.wish[name] || '' });
    const made = field({
      id: `walk-${name}`,
      label: name === 'patch' && isMetric() ? say.labels.patch_metric : say.labels[name],
      help: say.help[name],
      control,
    });
    if (!options)
      control.addEventListener('input', () => {
        made.problem(null);
        this.set(name, made.value);
      });
    this.boxes.all[{ patch: 'for-patch', mean: 'for-mean' }[name] || name] = made;
    return made.element;
  }

  ask() {
    const purpose = this.wish.purpose;
    for (const name of ['stops', 'for-patch', 'for-mean', 'chance']) delete this.boxes.all[name];
    this.asked.replaceChildren(
      ...(purpose === 'stops'
        ? [this.box('stops', 'numeric')]
        : purpose === 'patch'
          ? [this.box('patch', 'decimal'), this.box('chance', 'numeric')]
          : [this.box('mean', 'decimal', say.means)]),
    );
  }

  pairs(ending) {
    const { draft, name } = this.visit,
      { purpose, stops, patch, chance, mean, pattern, earlier } = this.wish,
      { disease, paper } = draft.choices;
    const pairs = [
      ['what', 'plan'],
      ['about', name],
      ['ending', ending],
      ['field', draft.field.file],
    ];
    if (draft.field.name) pairs.push(['field-name', draft.field.name]);
    if (purpose === 'stops') pairs.push(['stops', stops]);
    else if (purpose === 'patch')
      pairs.push(
        ['for-patch', patch ? patch + (isMetric() ? 'ha' : 'ac') : ''],
        ['chance', chance ? String(Number(chance) / 100) : ''],
      );
    else pairs.push(['for-mean', mean || say.means[0][0]]);
    pairs.push(
      ['pattern', pattern || 'grid'],
      ['row-heading', this.boxes.get('row-heading')],
      ['disease', disease || ''],
      ['paper', paper || ''],
    );
    if (['gaps', 'again'].includes(pattern)) pairs.push(['earlier', earlier || '']);
    return pairs.filter(([, value]) => value);
  }

  missing() {
    const wanted = { stops: 'stops', patch: 'for-patch' }[this.wish.purpose];
    if (!wanted || this.boxes.all[wanted].value) return false;
    this.boxes.all[wanted].problem(say.needed);
    return true;
  }

  async lay(event) {
    event.preventDefault();
    if (this.missing() || this.run.querySelector('progress')) return;
    const hand = {},
      bar = progress(say.laying, hand);
    this.run.replaceChildren(bar.element);
    try {
      let told = null;
      for (const ending of ENDINGS) {
        const { out } = await api.run(this.pairs(ending), (line) => bar.tell(line), hand);
        told = told || out;
      }
      this.set('told', { sentences: told.sentences, warnings: told.warnings });
      this.run.replaceChildren();
      await this.show(true);
      tell(told.sentences[0]);
    } catch (error) {
      const stopped = error instanceof api.Canceled;
      this.run.replaceChildren(
        stopped
          ? el('p', { text: error.message })
          : this.boxes.refused(error)
            ? el('p', { text: words.readings.see_above })
            : problem(error),
      );
      if (stopped) document.getElementById('lay').focus();
    }
  }

  // ---- the walk ----

  drawLine() {
    const { plane } = this;
    plane.layers.lines.replaceChildren();
    plane.layers.handles.replaceChildren();
    if (!this.stops || !plane.ground) return;
    const places = this.stops.map((one) => one.place),
      [x, y] = plane.at(places[0]);
    plane.layers.lines.append(svg('path', { d: plane.path([places], false), class: 'walk-line' }));
    plane.layers.handles.append(svg('circle', { cx: x, cy: y, class: 'chosen' }));
  }

  async show(isNew) {
    const { name } = this.visit,
      there = isNew || this.context.desk.plans.some((plan) => plan.name === `${name}.csv`);
    if (!there) return;
    this.stops = readForm(await (await fetch(api.planFile(name, 'csv'))).text());
    this.plane.setStops(this.stops.map((one) => ({ place: one.place, key: one.stop, kind: 'some', title: one.stop })));
    const told = this.wish.told || { sentences: [], warnings: [] };
    this.laid.replaceChildren(
      el('h2', { text: say.laid(plural(this.stops.length, 'stop')) }),
      list(told.sentences),
      ...told.warnings.map((text) => note('warning', el('p', { text }))),
      el(
        'div',
        { class: 'row' },
        link(say.sheet, api.planFile(name, 'pdf'), { target: '_blank', class: 'button main', id: 'open-sheet' }),
        link(say.phone, api.planFile(name, 'gpx'), { download: `${name}-walk.gpx`, class: 'button' }),
        link(say.form, api.planFile(name, 'csv'), { download: `${name}-walk.csv`, class: 'button quiet' }),
      ),
      el(
        'p',
        {},
        say.after,
        ' ',
        button(say.type, () => this.typeIn(), { id: 'type-in' }),
      ),
    );
  }

  // The plan's stops are the rows of the sheet; nothing is typed twice.
  typeIn() {
    this.visit.change(words.steps.walk, (draft) => {
      const sheet = draft.sheet || emptySheet(),
        known = new Set(sheet.rows.map((row) => row.stop));
      sheet.rows = [
        ...sheet.rows,
        ...this.stops
          .filter((one) => !known.has(one.stop))
          .map((one) => ({ stop: one.stop, place: `${one.place[1].toFixed(6)}, ${one.place[0].toFixed(6)}` })),
      ];
      Object.assign(draft, { sheet, source: 'sheet' });
    });
    this.context.go('readings');
  }

  async element() {
    const { boxes, context } = this,
      [profiles] = await Promise.all([api.profiles(), loadCatalog()]);
    const surveys = context.desk.surveys.map((entry) => entry.name).filter((name) => name !== this.visit.name);
    const patterns = say.patterns.filter(([key]) => surveys.length || !['gaps', 'again'].includes(key)),
      earlier = el('div', {});
    const askEarlier = () =>
      earlier.replaceChildren(
        ...(['gaps', 'again'].includes(this.wish.pattern)
          ? [this.box('earlier', 'text', [['', words.map.no_earlier], ...surveys.map((name) => [name, name])])]
          : []),
      );
    const form = el(
      'form',
      { onsubmit: (event) => this.lay(event) },
      choice({
        name: 'purpose',
        legend: say.purpose,
        options: say.purposes,
        value: this.wish.purpose,
        onchange: (purpose) => {
          this.set('purpose', purpose);
          this.ask();
        },
      }),
      this.asked,
      choice({
        name: 'pattern',
        legend: say.pattern,
        options: patterns,
        value: this.wish.pattern,
        onchange: (pattern) => {
          this.set('pattern', pattern);
          askEarlier();
        },
      }),
      earlier,
      el(
        'details',
        {},
        el('summary', { text: say.more }),
        boxes.pick('disease', diseaseOptions(profiles)),
        boxes.box('row-heading', 'number'),
      ),
      el('button', { type: 'submit', class: 'main', id: 'lay', text: say.lay }),
      this.run,
    );
    this.ask();
    askEarlier();
    this.plane.setOutline(this.outline);
    await this.show(false);
    return el('div', { class: 'two wide' }, form, el('div', {}, this.plane.element, this.laid, goOn(context, 'readings')));
  }
}

export async function show(body, context) {
  const outline = await chosenOutline(context.visit);
  body.append(el('h1', { text: say.title }), el('p', { class: 'lead', text: say.lead }));
  body.append(
    outline
      ? await new Walk(context, outline).element()
      : el('div', {}, el('p', { class: 'note', text: words.map.missing.field }), goOn(context, 'field')),
  );
}
