// The map: what it is of and from where one would act; then the sheet, the live map, and beside them what to heed.
import * as api from '/page/api.js';
import { el, button, link, problem, say as tell } from '/page/dom.js';
import { words } from '/page/words.js';
import { field, progress } from '/page/form.js';
import { Boxes, loadCatalog } from '/page/settings.js';
import { diseaseOptions, showDisease } from '/page/disease.js';
import { RowsLine } from '/page/rows_line.js';
import { aboutReadings, beside, fieldLine, headline } from '/page/findings.js';
import { severity } from '/page/units.js';
import { chosenOutline } from '/page/outline.js';
import { whatIf } from '/page/whatif.js';
import { goOn } from '/page/way.js';

const say = words.map;

class MapRoom {
  constructor(context) {
    Object.assign(this, { context, visit: context.visit });
    this.boxes = new Boxes(this.visit, (name) => this.settled(name));
    this.result = el('div', { class: 'result' });
    this.disease = el('div', {});
    this.spread = el('p', { class: 'help', id: 'spread' });
    this.thresholdHelp = el('p', { class: 'help' });
    this.run = el('div', { class: 'run' });
    this.reason = el('div', {});
  }

  settled(name) {
    if (name === 'disease') this.showDisease();
  }

  showDisease() {
    return showDisease(this.disease, this.boxes.get('disease'), (profile) => {
      const why = profile && profile.threshold_why ? profile.threshold_why.text : '';
      this.thresholdHelp.textContent = !profile
        ? ''
        : Number.isFinite(profile.threshold)
          ? say.usual_threshold(severity(profile.threshold), profile.unit)
          : say.no_threshold(profile.title, why);
    });
  }

  // How the readings are spread tells more of a threshold than any help.
  async tellSpread() {
    try {
      const { stops, reading } = await this.visit.check(),
        unit = reading.unit.startsWith('percent') ? ' %' : '';
      const number = (value) => severity(value) + unit;
      this.spread.textContent = words.checked.spread(
        reading.unit,
        number(stops.min),
        number(stops.median),
        number(stops.mean),
        number(stops.max),
        stops.zeros,
      );
    } catch (error) {
      this.spread.textContent = error.text || '';
    }
  }

  // ---- choices ----

  async form() {
    const { visit, boxes } = this,
      [profiles, outline] = await Promise.all([api.profiles(), chosenOutline(visit), loadCatalog()]);
    const threshold = boxes.box('threshold', 'number', [this.thresholdHelp, this.spread]);
    const make = el(
      'form',
      {
        class: 'choices',
        onsubmit: (event) => {
          event.preventDefault();
          this.make();
        },
      },
      el(
        'div',
        { class: 'two' },
        el('section', {}, el('h2', { text: say.which }), boxes.pick('disease', diseaseOptions(profiles)), this.disease),
        el(
          'div',
          {},
          el('section', {}, el('h2', { text: say.when_act }), threshold),
          el(
            'section',
            {},
            el('h2', { text: words.rows.title }),
            outline ? new RowsLine(outline, boxes).element() : boxes.box('row-heading', 'number'),
          ),
        ),
      ),
      this.more(),
      this.reason,
      el('button', { type: 'submit', class: 'main', text: say.make, id: 'make' }),
      this.run,
    );
    this.showDisease();
    this.tellSpread();
    return make;
  }

  more() {
    const { boxes } = this,
      earlier = this.context.desk.surveys.map((entry) => entry.name).filter((name) => name !== this.visit.name);
    return el(
      'details',
      { class: 'more' },
      el('summary', { text: say.more }),
      el(
        'div',
        { class: 'boxes' },
        boxes.box('season'),
        boxes.box('letter-from'),
        boxes.pick('paper', [
          ['', say.letter],
          ['a4', say.a4],
        ]),
        boxes.box('digs', 'number'),
        earlier.length ? boxes.pick('earlier', [['', say.no_earlier], ...earlier.map((name) => [name, name])]) : null,
        boxes.box('swath', 'length'),
        boxes.box('least-run', 'length'),
        boxes.box('margin', 'length'),
        boxes.box('treat-chance', 'percent'),
        boxes.box('dig-chance', 'percent'),
      ),
    );
  }

  // Where the program will not go on without a reason, it can be given.
  askReason(error) {
    const box = field({
      id: 'set-even-so',
      label: words.labels['even-so'],
      help: words.help['even-so'],
      control: el('input', { type: 'text', autocomplete: 'off', value: this.boxes.get('even-so') }),
    });
    box.control.addEventListener('input', () => this.boxes.set('even-so', box.value));
    this.reason.replaceChildren(el('div', { class: 'note warning' }, el('p', { text: error.text }), box.element));
    box.control.focus();
  }

  // ---- making it ----

  async make() {
    if (this.run.querySelector('progress')) return;
    const hand = {},
      bar = progress(say.making, hand),
      from = document.activeElement && document.activeElement.id;
    this.run.replaceChildren(bar.element);
    bar.focus();
    try {
      await this.visit.map((told) => bar.tell(told), hand);
      tell(say.made);
      await this.context.again();
      const same = document.getElementById(from);
      if (same && from !== 'make') same.focus();
    } catch (error) {
      if (error instanceof api.Canceled) this.stopped(error);
      else if (error.asksReason) (this.run.replaceChildren(), this.askReason(error));
      else this.run.replaceChildren(this.boxes.refused(error) ? el('p', { text: words.readings.see_above }) : problem(error));
    }
  }

  // From beside the map: what happens is told there.
  remake(name, value) {
    this.boxes.set(name, value);
    this.result.querySelector('.whatif').append(this.run);
    return this.make();
  }

  stopped(error) {
    this.run.replaceChildren(el('p', { text: error.message }));
    document.getElementById('make').focus();
    tell(error.message);
  }

  // ---- the result ----

  // The sheet as it is printed, or the map that answers to the pointer: one of them at a time.
  views(survey) {
    const { name } = this.visit,
      fresh = `?${encodeURIComponent(survey.made)}`;
    const sheet = el(
      'a',
      { href: api.surveyFile(name, 'map.png') + fresh, target: '_blank', id: 'sheet' },
      el('img', { src: api.surveyFile(name, 'map.png') + fresh, alt: say.sheet_alt(headline(survey), survey.field.name) }),
    );
    const live = el('iframe', { title: say.live_title(survey.field.name), class: 'live', id: 'live', hidden: true });
    const place = el('div', { class: 'view' }, sheet, live);
    const show = (which) => {
      sheet.hidden = which !== 'sheet';
      live.hidden = which !== 'live';
      if (which === 'live' && !live.src) live.src = api.surveyFile(name, 'report.html');
    };
    const pick = (which, text) =>
      el(
        'label',
        { class: 'tab' },
        el('input', {
          type: 'radio',
          name: 'view',
          id: `view-${which}`,
          checked: which === 'sheet',
          onchange: () => show(which),
        }),
        ` ${text}`,
      );
    return el(
      'div',
      {},
      el(
        'fieldset',
        { class: 'tabs' },
        el('legend', { class: 'unseen', text: say.views }),
        pick('sheet', say.sheet),
        pick('live', say.live),
      ),
      place,
    );
  }

  files() {
    const { name } = this.visit;
    return el(
      'details',
      {},
      el('summary', { text: say.files }),
      el(
        'ul',
        { class: 'files' },
        say.file_list.map(([file, text]) =>
          el('li', {}, link(file, api.surveyFile(name, file), { download: `${name}-${file}` }), ` \u2013 ${text}`),
        ),
      ),
    );
  }

  // Something was changed, or undone, after the map was made.
  isStale(survey) {
    const standard = { 'treat-chance': '0.5', 'dig-chance': '0.2' };
    return ['threshold', 'treat-chance', 'dig-chance', 'row-heading', 'disease'].some((name) => {
      const chosen = this.boxes.get(name) || standard[name] || '',
        used = survey.job[name];
      if (used === undefined || used === null) return chosen !== '';
      return typeof used === 'number' ? chosen !== '' && Math.abs(Number(chosen) - used) > 1e-9 : chosen !== used;
    });
  }

  stale() {
    const place = el('div', {});
    return el(
      'div',
      { class: 'note warning', role: 'status' },
      el('p', { text: say.stale }),
      button(
        say.make_again,
        () => {
          place.append(this.run);
          this.make();
        },
        { id: 'make-again' },
      ),
      place,
    );
  }

  async showResult() {
    const survey = await api.survey(this.visit.name);
    this.result.replaceChildren(
      el('h1', { text: headline(survey) }),
      el('p', { class: 'lead', text: fieldLine(survey) }),
      this.isStale(survey) ? this.stale() : '',
      el(
        'div',
        { class: 'mapped' },
        el(
          'div',
          { class: 'shown' },
          this.views(survey),
          whatIf(this.visit.name, survey, (name, value) => this.remake(name, value)),
          aboutReadings(survey),
          this.files(),
          goOn(this.context, 'print'),
        ),
        el('aside', { 'aria-label': say.beside }, beside(survey)),
      ),
    );
  }

  async element() {
    const { visit } = this,
      form = await this.form();
    if (!visit.mapped) return el('div', {}, el('h1', { text: say.title }), el('p', { class: 'lead', text: say.lead }), form);
    await this.showResult();
    return el('div', {}, this.result, el('details', { id: 'again' }, el('summary', { text: say.again }), form));
  }
}

export async function show(body, context) {
  const { visit } = context,
    missing = !visit.draft.field ? 'field' : !visit.hasReadings ? 'readings' : null;
  if (!missing) {
    body.append(await new MapRoom(context).element());
    return;
  }
  body.append(el('h1', { text: say.title }), el('p', { class: 'note' }, say.missing[missing]), goOn(context, missing));
}
