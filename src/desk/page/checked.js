// What the check says, in plain words; each stop it names leads to its place on the field.
import { el, button } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { field } from '/page/form.js';
import { isCount } from '/page/sheet_file.js';
import { findingList } from '/page/findings.js';
import { area, date, severity } from '/page/units.js';

const say = words.checked;
const LISTED = 400; // rows of a table that a browser still scrolls easily

// Of counts, `value` is their percentage.
const known = (value) => value !== undefined && value !== null;
const share = (stop) => (isCount(stop) ? (100 * stop.hits) / stop.checked : known(stop.value) ? stop.value : NaN);
const isBlank = (stop) => !known(isCount(stop) ? stop.hits : stop.value);

function readingText(stop) {
  if (isBlank(stop)) return say.blank;
  return isCount(stop) ? say.count(stop.hits, stop.checked) : say.score(stop.value);
}

function mendingForm({ toRow, out, leaveOut }) {
  if (out)
    return el(
      'div',
      {},
      el('p', { class: 'out', text: say.left_out(out) }),
      button(say.take_back, () => leaveOut(null), { id: 'take-back' }),
    );
  const reason = field({
    id: 'out-reason',
    label: say.out_reason,
    help: say.out_help,
    control: el('input', { type: 'text', autocomplete: 'off', maxlength: '120' }),
  });
  const leave = (event) => {
    event.preventDefault();
    if (!reason.value) return reason.problem(say.out_missing);
    return leaveOut(reason.value);
  };
  return el(
    'div',
    {},
    button(say.mend, toRow, { id: 'mend' }),
    el(
      'details',
      {},
      el('summary', { text: say.leave_out }),
      el('form', { onsubmit: leave }, reason.element, el('button', { type: 'submit', text: say.leave_out, id: 'leave-out' })),
    ),
  );
}

// Dots grow with what was found, beside the highest of this walk.
export function stopMarks(result) {
  const most = result.places.reduce((highest, stop) => (stop.used && share(stop) > highest ? share(stop) : highest), 0);
  return result.places.map((stop) => {
    const found = share(stop),
      part = most > 0 ? found / most : 0;
    const kind = isBlank(stop) || !stop.used ? 'out' : found === 0 ? 'none' : 'some';
    return {
      place: [stop.lon, stop.lat],
      key: stop.stop,
      kind,
      size: part > 0.5 ? 'large' : part > 0.2 ? 'middle' : '',
      title: say.stop(stop.stop, readingText(stop)),
    };
  });
}

// `mend`: { toRow(), out: its reason or null, leaveOut(reason) }.
export function stopCard(stop, mend) {
  return el(
    'div',
    { class: 'card' },
    el('h3', { text: say.stop_title(stop.stop) }),
    el(
      'p',
      {},
      readingText(stop),
      stop.date ? `, ${date(String(stop.date).slice(0, 10).replace(/\//g, '-'))}` : '',
      stop.rater ? say.by(stop.rater) : '',
    ),
    stop.used ? null : el('p', { class: 'out', text: say.not_used(stop.why) }),
    el('p', { class: 'small', text: say.where(stop.row, String(stop.file).split('/').pop()) }),
    mendingForm(mend),
  );
}

function stopTable(result, choose) {
  const rows = [...result.places].sort((a, b) => Number(a.used) - Number(b.used)).slice(0, LISTED);
  return el(
    'details',
    {},
    el('summary', { text: say.all_stops(result.places.length) }),
    el(
      'table',
      { class: 'stops-table' },
      el(
        'thead',
        {},
        el(
          'tr',
          {},
          say.heads.map((text) => el('th', { scope: 'col', text })),
        ),
      ),
      el(
        'tbody',
        {},
        rows.map((stop) =>
          el(
            'tr',
            {},
            el(
              'td',
              {},
              button(stop.stop, () => choose(stop.stop), { class: 'quiet small', 'aria-label': say.show(stop.stop) }),
            ),
            el('td', { text: readingText(stop) }),
            el('td', { text: stop.used ? say.used : stop.why }),
          ),
        ),
      ),
    ),
    rows.length < result.places.length ? el('p', { class: 'small', text: say.more(result.places.length - rows.length) }) : null,
  );
}

// The highest of a walk are what one goes back to first.
function ends(result, choose) {
  const found = (result.highest || []).filter((stop) => share(stop) > 0);
  if (!found.length) return null;
  const name = (stop) => button(say.stop(stop.stop, readingText(stop)), () => choose(stop.stop), { class: 'quiet small' });
  return el('div', { class: 'row' }, el('span', { text: say.highest }), found.map(name));
}

export function showChecked(result, choose) {
  const { stops, reading, field } = result,
    unit = reading.unit.startsWith('percent') ? ' %' : '';
  const stopButton = (stop) => button(say.stop_title(stop), () => choose(stop), { class: 'quiet small' });
  const number = (value) => severity(value) + unit;
  return el(
    'section',
    {},
    el('h2', { text: say.title }),
    result.fit_to_map ? null : el('p', { class: 'problem', text: result.unfit_why }),
    el(
      'p',
      {},
      el('strong', { text: say.used_of(plural(stops.used, 'stop'), stops.read) }),
      ` ${say.field(field.name || '', area(field.area_ha))}`,
    ),
    stops.used > 0
      ? el('p', {
          text: say.spread(
            reading.unit,
            number(stops.min),
            number(stops.median),
            number(stops.mean),
            number(stops.max),
            stops.zeros,
          ),
        })
      : null,
    ends(result, choose),
    findingList(result.findings, stopButton),
    stopTable(result, choose),
  );
}
