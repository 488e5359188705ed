// The typed sheet as a file: zero is typed, what is blank stays blank.
import { readPlace } from '/page/ground.js';

export const emptySheet = () => ({ kind: 'counts', checked: '', day: '', days: false, rows: [] });

// A stop left out keeps what was found there, for it can be taken back; the file says why it is blank.
export const isOut = (row) => Boolean(row.out);

const CELLS = ['stop', 'place', 'checked', 'hits', 'value', 'day'];
const isFilled = (row) => CELLS.some((cell) => (row[cell] || '').trim() !== '');
export const filledRows = (sheet) => sheet.rows.filter(isFilled);

const isNumber = (text) => /^[-+]?(\d+\.?\d*|\.\d+)$/.test(text);
const cellOf = (row, cell) => (row[cell] || '').trim();

// What is wrong with a row, by cell; words come from the page.
export function wrongCells(row, sheet) {
  const wrong = {},
    checked = cellOf(row, 'checked') || sheet.checked,
    hits = cellOf(row, 'hits');
  if (cellOf(row, 'place') && !readPlace(row.place)) wrong.place = 'place';
  else if (isFilled(row) && !cellOf(row, 'place')) wrong.place = 'no_place';
  if (sheet.kind === 'counts') {
    if (hits && !/^\d+$/.test(hits)) wrong.hits = 'whole';
    if (checked && !/^\d+$/.test(checked)) wrong.checked = 'whole';
    else if (hits && !checked) wrong.checked = 'no_checked';
    else if (hits && Number(hits) > Number(checked)) wrong.hits = 'too_many';
  } else if (cellOf(row, 'value') && !isNumber(cellOf(row, 'value'))) wrong.value = 'number';
  return wrong;
}

const quote = (text) => (/[",\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text);

export function csvOf(sheet) {
  const counts = sheet.kind === 'counts';
  const lines = [['stop', 'lat', 'lon', ...(counts ? ['checked', 'infected'] : ['score']), 'date', 'left out because']];
  sheet.rows.forEach((row, i) => {
    const place = readPlace(cellOf(row, 'place'));
    if (!isFilled(row) || !place) return; // a row without a place is shown as such, and waits
    const reading = counts
      ? [cellOf(row, 'checked') || sheet.checked, isOut(row) ? '' : cellOf(row, 'hits')]
      : [isOut(row) ? '' : cellOf(row, 'value')];
    lines.push([
      cellOf(row, 'stop') || String(i + 1),
      place[1].toFixed(7),
      place[0].toFixed(7),
      ...reading,
      (sheet.days && cellOf(row, 'day')) || sheet.day,
      row.out || '',
    ]);
  });
  return lines.map((cells) => cells.map(quote).join(',')).join('\n') + '\n';
}

export function readingOf(sheet) {
  const dated = sheet.day || (sheet.days && sheet.rows.some((row) => cellOf(row, 'day')));
  const reading = sheet.kind === 'counts' ? { hits: 'infected', checked: 'checked' } : { value: 'score' };
  return { ...reading, id: 'stop', ...(dated ? { when: 'date' } : {}) };
}

const asText = (value) => (value === null || value === undefined ? '' : String(value));

// Whether a stop that the check read was counted.
export const isCount = (stop) => [stop.hits, stop.checked].some((number) => number !== undefined && number !== null);

// The readings of a file, as the check read them, taken over into a sheet to be mended there; the file stays as it is.
export function sheetOf(places) {
  const kind = places.some(isCount) ? 'counts' : 'score';
  const days = new Set(places.map((stop) => asText(stop.date))),
    many = days.size > 1;
  const rows = places.map((stop) => ({
    stop: stop.stop,
    place: stop.lat === null || stop.lon === null ? '' : `${stop.lat.toFixed(7)}, ${stop.lon.toFixed(7)}`,
    ...(kind === 'score' ? { value: asText(stop.value) } : { hits: asText(stop.hits), checked: asText(stop.checked) }),
    ...(many ? { day: asText(stop.date) } : {}),
  }));
  return { kind, checked: '', day: many ? '' : [...days][0] || '', days: many, rows };
}

// Tells one text from another (FNV-1a, 32 bits, from the reference by Fowler, Noll and Vo).
export function fingerprint(text) {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return `${text.length}-${hash.toString(16)}`;
}
