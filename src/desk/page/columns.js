// Which column of a brought file is what: guessed with a reason, shown with the first rows, changed by hand.
import { el, fresh } from '/page/dom.js';
import { plain, words } from '/page/words.js';
import { choice, field, select } from '/page/form.js';

const say = words.columns;
const GUESSED = ['hits', 'checked', 'value', 'id', 'when', 'rater', 'xy'];

// What nobody has chosen yet is taken as guessed. Counts go before a score where a file has both.
export function guessReading(visit, look) {
  const { reading, choices } = visit.draft;
  if (Object.keys(reading).length || choices.disease || !look) return;
  const guess = Object.fromEntries(
    look.guesses.filter((one) => GUESSED.includes(one.setting) && one.value).map((one) => [one.setting, one.value]),
  );
  if (guess.hits && guess.checked) delete guess.value;
  else if (guess.value) (delete guess.hits, delete guess.checked);
  visit.draft.reading = guess;
  visit.save();
}

const why = (look, setting, column) => {
  const guess = look.guesses.find((one) => one.setting === setting && one.value === column);
  return guess ? say.because(guess.why) : '';
};

function columnBox(context, look, setting, changed) {
  const { visit, usual } = context,
    { reading } = visit.draft;
  // A guess without a value is of what the program finds without being told.
  const names = look.columns.map((column) => [column.name, column.kind === 'empty' ? say.empty(column.name) : column.name]);
  const none = [['', usual[setting] ? say.usual(usual[setting]) : say.none]];
  const value = reading[setting] || '';
  const extra = value && !names.some(([key]) => key === value) ? [[value, value]] : [];
  const control = select([...none, ...names, ...extra], value, (column) => {
    visit.change(words.steps.setting(setting), (draft) => {
      draft.reading[setting] = column;
    });
    changed();
  });
  return field({
    id: `column-${setting}`,
    label: say.labels[setting],
    help: [say.help[setting], why(look, setting, value)].filter(Boolean).join(' '),
    control,
  }).element;
}

// Where nobody chose a column, the disease's own holds for what it says.
const usualOf = (reading, usual) => (reading.hits || reading.checked || reading.value ? {} : usual);

// A column, or one number for all stops.
function checkedBox(context, look, changed) {
  const { visit } = context,
    value = visit.draft.reading.checked || '',
    isNumber = /^\d+$/.test(value) && !look.columns.some((column) => column.name === value);
  const box = columnBox(context, look, 'checked', changed);
  const number = field({
    id: 'checked-number',
    label: say.same_number,
    help: say.same_number_help,
    control: el('input', { type: 'text', inputmode: 'numeric', autocomplete: 'off', value: isNumber ? value : '' }),
  });
  number.control.addEventListener('change', () => {
    if (number.value && !/^[1-9]\d*$/.test(number.value)) return number.problem(say.whole_number);
    number.problem(null);
    visit.change(words.steps.setting('checked'), (draft) => {
      draft.reading.checked = number.value;
    });
    return changed();
  });
  return [box, number.element];
}

// Where the file does not say by itself where its stops are.
function placeBoxes(context, look, changed) {
  const { visit } = context,
    { reading } = visit.draft;
  if (look.points && look.points.length && !reading.xy && !reading.crs) return null;
  const text = (setting, label, help) => {
    const box = field({
      id: `column-${setting}`,
      label,
      help,
      control: el('input', { type: 'text', autocomplete: 'off', value: reading[setting] || '' }),
    });
    box.control.addEventListener('change', () => {
      visit.change(words.steps.setting(setting), (draft) => {
        draft.reading[setting] = box.value;
      });
      changed();
    });
    return box.element;
  };
  return el(
    'div',
    { class: 'note' },
    el('p', { text: say.no_places }),
    text('xy', say.labels.xy, say.help.xy),
    text('crs', say.labels.crs, say.help.crs),
  );
}

function firstRows(look, reading) {
  const label = fresh('rows'),
    role = (name) =>
      Object.keys(reading)
        .filter((setting) => say.roles[setting] && reading[setting] === name)
        .map((setting) => say.roles[setting])
        .join(', ');
  return el(
    'div',
    { class: 'rows', tabindex: '0', role: 'region', 'aria-labelledby': label },
    el(
      'table',
      {},
      el('caption', { id: label, text: say.first_rows(look.rows.length, String(look.file).split('/').pop()) }),
      el(
        'thead',
        {},
        el(
          'tr',
          {},
          look.columns.map((column) =>
            el(
              'th',
              { scope: 'col', class: role(column.name) ? 'taken' : '' },
              column.name,
              role(column.name) ? el('span', { class: 'role', text: role(column.name) }) : null,
            ),
          ),
        ),
      ),
      el(
        'tbody',
        {},
        look.rows.map((row) =>
          el(
            'tr',
            {},
            row.map((cell) => el('td', { text: cell, class: cell === '' ? 'blank' : null })),
          ),
        ),
      ),
    ),
  );
}

// `changed(whole)`: with whole the file must be looked at anew.
export function columnsForm(context, look, changed) {
  const { visit } = context,
    box = el('div', { class: 'columns' });
  const draw = () => {
    const { reading } = visit.draft,
      kind = reading.value ? 'score' : 'counts';
    const focused = document.activeElement && document.activeElement.id;
    const again = () => {
      draw();
      changed(false);
    };
    box.replaceChildren(
      look.layers.length > 1
        ? field({
            id: 'column-layer',
            label: say.labels.layer,
            help: say.help.layer,
            control: select(
              look.layers.map((layer) => [layer.name, say.layer(layer.name, layer.rows)]),
              reading.layer || look.layer,
              (layer) => {
                visit.change(words.steps.setting('layer'), (draft) => {
                  draft.reading = { layer };
                });
                changed(true);
              },
            ),
          }).element
        : '',
      choice({
        name: 'kind',
        legend: say.kind,
        value: box.kind || kind,
        options: [
          ['counts', words.readings.counts, words.readings.counts_help],
          ['score', words.readings.score, words.readings.score_help],
        ],
        onchange: (chosen) => {
          box.kind = chosen;
          visit.change(words.steps.kind, (draft) => {
            for (const one of chosen === 'score' ? ['hits', 'checked'] : ['value']) delete draft.reading[one];
          });
          again();
        },
      }),
      ...((box.kind || kind) === 'score'
        ? [columnBox(context, look, 'value', again)]
        : [columnBox(context, look, 'hits', again), ...checkedBox(context, look, again)]),
      columnBox(context, look, 'id', again),
      columnBox(context, look, 'when', again),
      placeBoxes(context, look, () => changed(true)) || '',
      firstRows(look, { ...usualOf(reading, context.usual), ...reading }),
      ...look.notes.map((text) => el('p', { class: 'note', text: plain(text) })),
    );
    if (focused && document.getElementById(focused)) document.getElementById(focused).focus();
  };
  draw();
  return box;
}
