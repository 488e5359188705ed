// The paper sheet, typed in: a row for each stop. What is typed is kept at once.
import { el, button, fresh, say as tell } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { choice, field } from '/page/form.js';
import { readPlace } from '/page/ground.js';
import { emptySheet, filledRows, isOut, wrongCells } from '/page/sheet_file.js';

const say = words.sheet;
const COLUMNS = { counts: ['stop', 'place', 'checked', 'hits', 'day'], score: ['stop', 'place', 'value', 'day'] };

export class Sheet {
  // `changed()` after each change; `again()` where the columns change.
  constructor(context, changed, again) {
    Object.assign(this, { visit: context.visit, changed, again, current: null });
    if (!this.visit.draft.sheet) this.visit.draft.sheet = emptySheet();
    this.body = el('tbody', {});
    this.count = el('p', { class: 'small', role: 'status' });
  }

  get sheet() {
    return this.visit.draft.sheet;
  }

  // Days stand in rows only where the walk took several.
  get columns() {
    return COLUMNS[this.sheet.kind].filter((cell) => cell !== 'day' || this.sheet.days);
  }

  change(what, mutate, merge) {
    this.visit.change(what, (draft) => mutate(draft.sheet), merge);
    this.tellCount();
    this.changed();
  }

  // ---- rows ----

  input(row, i, cell) {
    const box = el('input', {
      type: cell === 'day' ? 'date' : 'text',
      inputmode: ['checked', 'hits'].includes(cell) ? 'numeric' : null,
      autocomplete: 'off',
      id: `cell-${i}-${cell}`,
      value: row[cell] || '',
      placeholder: cell === 'checked' ? this.sheet.checked : null,
      'aria-label': say.cell(row.stop || String(i + 1), say.columns[cell]),
    });
    box.addEventListener('input', () => {
      this.change(
        words.steps.cell,
        (sheet) => {
          while (sheet.rows.length <= i) sheet.rows.push({});
          sheet.rows[i][cell] = box.value;
        },
        `cell-${i}-${cell}`,
      );
      this.judge(i);
      if (i === this.body.rows.length - 1) this.body.append(this.row({}, i + 1));
    });
    box.addEventListener('focus', () => {
      this.current = i;
    });
    box.addEventListener('keydown', (event) => this.walk(event, i, cell));
    return box;
  }

  // Enter and the arrows go from row to row in a column, as on paper.
  walk(event, i, cell) {
    const to = event.key === 'Enter' || event.key === 'ArrowDown' ? i + 1 : event.key === 'ArrowUp' ? i - 1 : null;
    if (to === null || (cell === 'day' && event.key !== 'Enter')) return;
    const box = document.getElementById(`cell-${to}-${cell}`);
    event.preventDefault();
    if (box) box.focus();
  }

  row(row, i) {
    const cells = this.columns.map((cell) =>
      el(
        'td',
        { 'data-name': say.columns[cell] },
        this.input(row, i, cell),
        el('p', { class: 'problem', hidden: true, id: `wrong-${i}-${cell}` }),
      ),
    );
    if (isOut(row)) cells[1].append(el('p', { class: 'small', text: say.is_out(row.out) }));
    return el(
      'tr',
      { class: isOut(row) ? 'out' : null },
      cells,
      el(
        'td',
        {},
        button('\u00d7', () => this.takeOut(i), { class: 'quiet small', 'aria-label': say.take_out(row.stop || String(i + 1)) }),
      ),
    );
  }

  takeOut(i) {
    if (i >= this.sheet.rows.length) return;
    this.change(words.steps.row, (sheet) => {
      sheet.rows.splice(i, 1);
    });
    this.draw();
    const next = document.getElementById(`cell-${Math.min(i, this.sheet.rows.length)}-stop`);
    if (next) next.focus();
  }

  rowOf(stop) {
    return this.sheet.rows.findIndex((row, i) => (row.stop || String(i + 1)) === stop);
  }

  // With a reason it is left out, with none taken back.
  leaveOut(stop, reason) {
    this.change(words.steps.out, (sheet) => {
      const row = sheet.rows[this.rowOf(stop)];
      if (reason) row.out = reason;
      else delete row.out;
    });
    this.draw();
  }

  judge(i) {
    const wrong = this.sheet.rows[i] ? wrongCells(this.sheet.rows[i], this.sheet) : {};
    for (const cell of this.columns) {
      const box = document.getElementById(`cell-${i}-${cell}`),
        told = document.getElementById(`wrong-${i}-${cell}`);
      if (!box) continue;
      told.hidden = !wrong[cell];
      told.textContent = wrong[cell] ? say.wrong[wrong[cell]] : '';
      told.className = wrong[cell] === 'no_place' ? 'small' : 'problem';
      if (wrong[cell] && wrong[cell] !== 'no_place') box.setAttribute('aria-invalid', 'true');
      else box.removeAttribute('aria-invalid');
      if (wrong[cell]) box.setAttribute('aria-describedby', told.id);
      else box.removeAttribute('aria-describedby');
    }
  }

  draw() {
    const { rows } = this.sheet;
    this.body.replaceChildren(...[...rows, {}].map((row, i) => this.row(row, i)));
    queueMicrotask(() => rows.forEach((row, i) => this.judge(i)));
    this.tellCount();
  }

  tellCount() {
    const rows = filledRows(this.sheet),
      reading = this.sheet.kind === 'counts' ? 'hits' : 'value';
    const zeros = rows.filter((row) => Number(row[reading]) === 0 && (row[reading] || '').trim() !== '').length;
    const blank = rows.filter((row) => !(row[reading] || '').trim()).length;
    this.count.textContent = say.count(plural(rows.length, 'stop'), zeros, blank);
  }

  // ---- places by a click on the field ----

  setPlace([lon, lat]) {
    const { rows } = this.sheet,
      free = rows.findIndex((row) => !(row.place || '').trim());
    const i =
      this.current !== null && !(rows[this.current] && (rows[this.current].place || '').trim())
        ? this.current
        : free >= 0
          ? free
          : rows.length;
    this.change(words.steps.place, (sheet) => {
      while (sheet.rows.length <= i) sheet.rows.push({});
      sheet.rows[i].place = `${lat.toFixed(6)}, ${lon.toFixed(6)}`;
    });
    this.current = null;
    this.draw();
    tell(say.placed(rows[i].stop || String(i + 1)));
  }

  stops() {
    const reading = this.sheet.kind === 'counts' ? 'hits' : 'value';
    return this.sheet.rows.map((row, i) => {
      const text = (row[reading] || '').trim(),
        stop = row.stop || String(i + 1);
      return {
        place: readPlace(row.place || ''),
        key: stop,
        kind: text === '' || isOut(row) ? 'out' : Number(text) === 0 ? 'none' : 'some',
        title: say.stop(stop, text),
      };
    });
  }

  // ---- the whole of it ----

  common() {
    const checked = field({
      id: 'sheet-checked',
      label: say.checked,
      help: say.checked_help,
      control: el('input', { type: 'text', inputmode: 'numeric', autocomplete: 'off', value: this.sheet.checked }),
    });
    const day = field({
      id: 'sheet-day',
      label: say.day,
      help: say.day_help,
      control: el('input', { type: 'date', value: this.sheet.day }),
    });
    checked.control.addEventListener('input', () => {
      this.change(
        words.steps.setting('checked'),
        (sheet) => {
          sheet.checked = checked.value;
        },
        'sheet-checked',
      );
      for (const box of this.body.querySelectorAll('input[id$="-checked"]')) box.placeholder = checked.value;
      this.sheet.rows.forEach((row, i) => this.judge(i));
    });
    day.control.addEventListener('input', () =>
      this.change(
        words.steps.setting('when'),
        (sheet) => {
          sheet.day = day.value;
        },
        'sheet-day',
      ),
    );
    const days = el('input', {
      type: 'checkbox',
      id: 'sheet-days',
      checked: this.sheet.days,
      onchange: () => {
        this.change(words.steps.setting('when'), (sheet) => {
          sheet.days = days.checked;
        });
        this.again();
      },
    });
    return [
      el('div', { class: 'inline' }, this.sheet.kind === 'counts' ? checked.element : null, day.element),
      el('p', {}, days, ' ', el('label', { for: 'sheet-days', text: say.days })),
    ];
  }

  element() {
    const caption = fresh('sheet');
    this.draw();
    return el(
      'div',
      { class: 'typed' },
      choice({
        name: 'sheet-kind',
        legend: say.kind,
        value: this.sheet.kind,
        options: [
          ['counts', words.readings.counts, words.readings.counts_help],
          ['score', words.readings.score, words.readings.score_help],
        ],
        onchange: (kind) => {
          this.change(words.steps.kind, (sheet) => {
            sheet.kind = kind;
          });
          this.again();
        },
      }),
      this.common(),
      el('p', { class: 'help', id: caption, text: say.zero }),
      el(
        'table',
        { class: `sheet-table ${this.sheet.kind}`, 'aria-describedby': caption },
        el(
          'thead',
          {},
          el(
            'tr',
            {},
            this.columns.map((cell) => el('th', { scope: 'col', text: say.columns[cell] })),
            el('th', { scope: 'col' }, el('span', { class: 'unseen', text: say.out })),
          ),
        ),
        this.body,
      ),
      this.count,
    );
  }
}
