// One visit to a field: what was chosen and typed for it. Every change goes to the desk at once, and can be undone.
import * as api from '/page/api.js';
import { csvOf, readingOf, filledRows, fingerprint } from '/page/sheet_file.js';

// `reading`: how the brought file is read; `choices`: all other settings, by their names.
const EMPTY = { field: null, drawing: null, source: 'file', stops: [], reading: {}, sheet: null, choices: {} };
const READING = ['hits', 'checked', 'value', 'id', 'when', 'layer', 'xy', 'crs', 'dates', 'rater', 'from', 'to'];

const fileOf = (path) => String(path).split('/').pop();

// A visit that was made beside the page has only the file that --job reads.
function fromJob(job) {
  const draft = structuredClone(EMPTY);
  for (const [name, value] of Object.entries(job))
    if (name === 'stops') draft.stops = value.map(fileOf);
    else if (name === 'field') draft.field = { file: fileOf(value), name: job['field-name'] || '' };
    else if (READING.includes(name)) draft.reading[name] = String(value);
    else if (name !== 'field-name')
      draft.choices[name] = name === 'earlier' ? [value].flat().map(fileOf).join(',') : String(value);
  return draft;
}

export class Visit {
  static async open(name) {
    const visit = new Visit(),
      about = await api.visit(name);
    const [draft, job] = await Promise.all(['draft', 'job'].map((what) => api.kept(name, what, about.files)));
    Object.assign(visit, { name, mapped: about.mapped, files: about.files, tag: draft.tag, past: [], listeners: [] });
    visit.draft = Object.assign(structuredClone(EMPTY), draft.value || (job.value ? fromJob(job.value.job) : {}));
    return visit;
  }

  // `what`: words for undo. Changes with the same `merge` in a row are one step (typing in one cell).
  change(what, mutate, merge = null) {
    const before = JSON.stringify(this.draft),
      last = this.past[this.past.length - 1];
    mutate(this.draft);
    if (JSON.stringify(this.draft) === before) return;
    if (!merge || !last || last.merge !== merge) this.past.push({ what, merge, before });
    this.past.splice(0, this.past.length - 200);
    this.save();
  }

  get undoes() {
    const last = this.past[this.past.length - 1];
    return last ? last.what : null;
  }

  undo() {
    const last = this.past.pop();
    if (!last) return;
    this.draft = JSON.parse(last.before);
    this.save();
  }

  // Told of each saving: 'saving', 'kept', 'conflict', or what went wrong.
  listen(listener) {
    this.listeners.push(listener);
  }

  tell(state) {
    this.state = state;
    for (const listener of this.listeners) listener(state);
  }

  save() {
    this.dirty = true;
    if (!this.saving)
      this.saving = this.saveAll().finally(() => {
        this.saving = null;
      });
    this.tell('saving');
    return this.saving;
  }

  async saveAll() {
    while (this.dirty) {
      this.dirty = false;
      const text = JSON.stringify(this.draft);
      try {
        this.tag = await api.keep(this.name, 'draft', text, this.tag);
      } catch (error) {
        if (error.status === 409 && (await this.isThere(text))) continue;
        this.dirty = true;
        return this.tell(error.status === 409 ? 'conflict' : error);
      }
    }
    return this.tell('kept');
  }

  // A request whose answer was lost may have been heeded: then what stands there is what was sent.
  async isThere(text) {
    const { value, tag } = await api.kept(this.name, 'draft').catch(() => ({ value: null }));
    if (JSON.stringify(value) !== text) return false;
    this.tag = tag;
    return true;
  }

  // After a conflict: what stands here goes over what the other window kept.
  async keepMine() {
    this.tag = (await api.kept(this.name, 'draft')).tag;
    return this.save();
  }

  // ---- the job that the program reads ----

  // Settings as the form sends them.
  pairs() {
    const { field, choices } = this.draft,
      pairs = [];
    if (field) pairs.push(['field', field.file]);
    if (field && field.name) pairs.push(['field-name', field.name]);
    for (const file of this.stopFiles()) pairs.push(['stops', file]);
    for (const [name, value] of Object.entries({ ...choices, ...this.reading() })) {
      if (value === '' || value === null || value === undefined) continue;
      if (name === 'earlier') pairs.push(...value.split(',').map((survey) => ['earlier', survey]));
      else pairs.push([name, value]);
    }
    return pairs;
  }

  reading() {
    const { source, reading, sheet } = this.draft;
    return source === 'file' ? reading : sheet ? readingOf(sheet) : {};
  }

  stopFiles() {
    const { source, stops, sheet } = this.draft;
    if (source === 'file') return stops;
    return sheet && sheet.kept ? [sheet.kept.file] : [];
  }

  get hasReadings() {
    const { source, stops, sheet } = this.draft;
    return source === 'file' ? stops.length > 0 : Boolean(sheet) && filledRows(sheet).length > 0;
  }

  // What was typed, as a file that the program reads; each state of it is a file of its own.
  async keepSheet() {
    const { source, sheet } = this.draft;
    if (source !== 'sheet' || !sheet) return;
    const text = csvOf(sheet),
      print = fingerprint(text);
    if (sheet.kept && sheet.kept.print === print) return;
    const { name } = await api.bringFile(this.name, 'sheet.csv', text);
    sheet.kept = { file: name, print };
    await this.save();
  }

  // The draft is what two windows are held against; the job only follows it.
  async keepJob() {
    if (this.saving) await this.saving;
    if (this.dirty) await this.save();
    await this.keepSheet();
    const { tag } = await api.kept(this.name, 'job');
    await api.keep(this.name, 'job', new URLSearchParams(this.pairs()).toString(), tag);
  }

  // What the check printed; `places`: every stop as it was read.
  async check() {
    await this.keepJob();
    const { out } = await api.run([
      ['what', 'check'],
      ['about', this.name],
    ]);
    return { ...out, places: out.each };
  }

  async map(tell, hand) {
    await this.keepJob();
    await api.run(
      [
        ['what', 'map'],
        ['about', this.name],
      ],
      tell,
      hand,
    );
    this.mapped = true;
  }
}
