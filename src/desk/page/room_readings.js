// What was found at the stops: a file, or the paper sheet typed in; at once on the field; then what the check says.
import * as api from '/page/api.js';
import { el, button, problem, say as tell } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { choice, dropPlace, mainFile } from '/page/form.js';
import { Plane } from '/page/plane.js';
import { Sheet } from '/page/sheet.js';
import { columnsForm, guessReading } from '/page/columns.js';
import { showChecked, stopMarks, stopCard } from '/page/checked.js';
import { inOutline } from '/page/ground.js';
import { sheetOf } from '/page/sheet_file.js';
import { chosenOutline } from '/page/outline.js';
import { goOn } from '/page/way.js';

const say = words.readings;

// The columns that the disease's own page names, where one is chosen.
async function usualColumns(disease) {
  const profile = disease ? await api.profile(disease).catch(() => null) : null,
    usual = {};
  for (const [setting, column] of profile
    ? [
        ['hits', profile.hits_column],
        ['checked', profile.checked_column],
        ['value', profile.value_column],
      ]
    : [])
    if (column) usual[setting] = column;
  return usual;
}

class Readings {
  constructor(context) {
    Object.assign(this, { context, visit: context.visit, looks: [], outline: null, turn: 0 });
    this.plane = new Plane({ label: say.plane, taps: (place, key) => this.tap(place, key) });
    this.fits = el('div', { class: 'fits', role: 'status' });
    this.card = el('div', { class: 'stop-card', role: 'status' });
    this.left = el('div', {});
    this.checked = el('div', { class: 'checked' });
    this.next = el('div', {});
  }

  // ---- where the readings come from ----

  source() {
    return choice({
      name: 'source',
      legend: say.source,
      value: this.visit.draft.source,
      options: [
        ['file', say.from_file, say.from_file_help],
        ['sheet', say.from_sheet, say.from_sheet_help],
      ],
      onchange: (source) => {
        this.visit.change(words.steps.way, (draft) => {
          draft.source = source;
        });
        this.context.again();
      },
    });
  }

  async bring(files) {
    this.left.querySelector('.brought').replaceChildren(el('p', { class: 'small', text: words.field.bringing }));
    try {
      let main = null;
      for (const file of files) {
        const { name } = await api.bringFile(this.visit.name, file.name, file);
        if (file === mainFile(files)) main = name;
      }
      this.visit.change(words.steps.file, (draft) => {
        if (!draft.stops.length) draft.reading = {};
        draft.stops = [...draft.stops, main];
      });
      this.context.way();
      await this.showFiles();
    } catch (error) {
      this.left.querySelector('.brought').replaceChildren(problem(error));
    }
  }

  takeOut(file) {
    this.visit.change(words.steps.file_out, (draft) => {
      draft.stops = draft.stops.filter((one) => one !== file);
    });
    this.context.again();
  }

  async showFiles() {
    const { visit, left } = this,
      { stops } = visit.draft;
    const place = left.querySelector('.brought');
    place.replaceChildren(
      stops.length
        ? el(
            'ul',
            { class: 'files' },
            stops.map((file) =>
              el(
                'li',
                {},
                file,
                ' ',
                button(say.take_out, () => this.takeOut(file), { class: 'quiet small', 'aria-label': say.take_out_which(file) }),
              ),
            ),
          )
        : '',
    );
    this.looks = [];
    if (!stops.length) return this.refresh();
    const wait = el('p', { class: 'small', text: words.field.looking });
    place.append(wait);
    try {
      const { layer, xy, crs } = visit.draft.reading,
        told = Object.entries({ layer, xy, crs }).filter(([, value]) => value);
      this.looks = await Promise.all(stops.map((file) => api.look(visit.name, file, Object.fromEntries(told))));
      wait.remove();
      guessReading(visit, this.looks[0]);
      place.append(columnsForm(this.context, this.looks[0], (whole) => (whole ? this.showFiles() : this.refresh())));
    } catch (error) {
      wait.replaceWith(problem(error));
    }
    return this.refresh();
  }

  showSheet() {
    this.sheet = new Sheet(
      this.context,
      () => this.refresh(),
      () => this.context.again(),
    );
    this.left.append(
      this.sheet.element(),
      button(say.check, () => this.check(), { id: 'check', class: 'main' }),
    );
    this.refresh();
  }

  // ---- on the field at once ----

  places() {
    return this.sheet
      ? this.sheet.stops()
      : this.looks.flatMap((look) => (look && look.points) || []).map((place, i) => ({ place, key: `row-${i}`, kind: 'some' }));
  }

  refresh() {
    const stops = this.places(),
      lying = stops.filter((stop) => stop.place);
    this.result = null;
    this.checked.replaceChildren();
    this.next.replaceChildren();
    this.plane.setStops(stops);
    this.plane.element.hidden = !this.outline && !lying.length;
    this.fits.replaceChildren(this.outline && lying.length ? this.fitText(lying) : '');
    if (!this.sheet && this.visit.hasReadings && this.looks.length) this.check();
  }

  fitText(stops) {
    const outside = stops.filter((stop) => !inOutline(stop.place, this.outline)).length;
    return el(
      'div',
      { class: outside > stops.length / 2 ? 'note warning' : '' },
      el(
        'p',
        {},
        el('strong', { text: say.is_yours }),
        ' ',
        outside === 0
          ? say.all_inside(plural(stops.length, 'stop'))
          : say.some_outside(plural(stops.length, 'stop'), outside, outside > stops.length / 2),
      ),
      el('p', {}, el('a', { href: `#/${encodeURIComponent(this.visit.name)}/field`, text: say.other_field })),
    );
  }

  tap(place, key) {
    if (key !== undefined) this.choose(key);
    else if (this.sheet && place) this.sheet.setPlace(place);
  }

  choose(key) {
    const one = this.result && this.result.places.find((stop) => stop.stop === key);
    if (!one) return;
    this.plane.choose(key);
    this.card.replaceChildren(stopCard(one, this.mending(key)));
    this.plane.element.scrollIntoView({ block: 'nearest' });
  }

  // Readings from a file are taken over into the sheet at the first mending.
  mending(stop) {
    const { visit } = this,
      row = this.sheet ? this.sheet.sheet.rows[this.sheet.rowOf(stop)] : null;
    const takeOver = async (then) => {
      const { places } = this.result;
      visit.change(words.steps.mend, (draft) => {
        Object.assign(draft, { sheet: sheetOf(places), source: 'sheet' });
      });
      await this.context.again();
      then(document.querySelector('.room.readings').readings);
    };
    const run = (then) => (this.sheet ? then(this) : takeOver(then));
    return {
      out: row ? row.out : null,
      toRow: () => run((room) => room.toRow(stop)),
      leaveOut: (reason) =>
        run(async (room) => {
          room.sheet.leaveOut(stop, reason);
          await room.check();
          room.choose(stop);
          document.getElementById(reason ? 'take-back' : 'mend').focus();
        }),
    };
  }

  toRow(stop) {
    const box = document.getElementById(
      `cell-${this.sheet.rowOf(stop)}-${this.sheet.sheet.kind === 'counts' ? 'hits' : 'value'}`,
    );
    if (box) box.focus();
  }

  // ---- the check ----

  async check() {
    const turn = ++this.turn,
      { visit } = this;
    this.card.replaceChildren();
    const { reading } = visit.draft,
      { usual } = this.context,
      known = this.sheet || reading.value || usual.value || ((reading.hits || usual.hits) && (reading.checked || usual.checked));
    if (!known) return this.checked.replaceChildren(el('p', { class: 'note', text: say.columns_first }));
    if (!visit.draft.field)
      return this.checked.replaceChildren(
        el(
          'p',
          { class: 'note' },
          say.field_first,
          ' ',
          el('a', { href: `#/${encodeURIComponent(visit.name)}/field`, text: words.rooms.field }),
        ),
      );
    this.checked.replaceChildren(el('p', { class: 'small', role: 'status', text: say.checking }));
    try {
      const result = await visit.check();
      if (turn !== this.turn) return null;
      this.result = result;
      this.plane.setStops(stopMarks(result));
      this.checked.replaceChildren(showChecked(result, (stop) => this.choose(stop)));
      this.context.way();
      tell(say.checked_told(result.stops.used, result.findings.length));
      if (result.fit_to_map) this.next.replaceChildren(goOn(this.context, 'map'));
    } catch (error) {
      if (turn !== this.turn) return null;
      const beside = error.key && document.getElementById(`column-${error.key}-wrong`);
      if (!beside) return this.checked.replaceChildren(problem(error));
      this.checked.replaceChildren(el('p', { text: say.see_above }));
      beside.textContent = error.text;
      beside.hidden = false;
    }
    return null;
  }

  async element() {
    const { visit } = this;
    this.outline = await chosenOutline(visit);
    this.left.append(this.source());
    this.context.usual = await usualColumns(visit.draft.choices.disease);
    if (visit.draft.source === 'file')
      this.left.append(
        dropPlace({ id: 'bring-stops', label: say.drop, help: say.drop_help, take: (files) => this.bring(files) }),
        el('div', { class: 'brought' }),
      );
    const element = el(
      'div',
      { class: `two wide ${visit.draft.source}` },
      this.left,
      el('div', {}, this.fits, this.plane.element, this.card, this.checked, this.next),
    );
    this.plane.setOutline(this.outline);
    if (visit.draft.source === 'sheet') this.showSheet();
    else this.showFiles();
    return element;
  }
}

export async function show(body, context) {
  const readings = new Readings(context);
  body.readings = readings; // found again where readings were taken over from a file
  body.append(el('h1', { text: say.title }), el('p', { class: 'lead', text: say.lead }), await readings.element());
}
