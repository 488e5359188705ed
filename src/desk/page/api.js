// All that the page asks of the desk.
import { words, plain } from '/page/words.js';

// The file and the row, for what somebody brought; the desk's own files say nothing to them.
function whereOf({ file, row }) {
  const name = file && !/^-|\.json$/.test(file) ? String(file).split('/').pop() : '';
  const where = [name, row > 0 ? words.at_row(row) : ''].filter(Boolean).join(', ');
  return where ? `${where}: ` : '';
}

// What the desk or the program refuses. `key`: the setting it is about.
export class Refusal extends Error {
  constructor(status, told) {
    super(whereOf(told) + plain(told.text || words.no_answer));
    this.status = status;
    this.key = told.key || '';
    this.raw = `${told.key} ${told.text}`;
    this.text = this.message;
    this.asksReason = /even-so/.test(this.raw); // a guard of the trade, which a reason passes
  }
}

export class Canceled extends Error {}

// What is being kept outlives the window; a browser gives such requests little room, so that one may be refused there.
async function send(path, request) {
  const outlives = typeof request.body === 'string' && request.body.length < 60000;
  try {
    return await fetch(path, { ...request, keepalive: outlives }).catch((error) =>
      outlives ? fetch(path, request) : Promise.reject(error),
    );
  } catch {
    throw new Refusal(0, { text: words.desk_gone });
  }
}

async function ask(method, path, body, headers = {}) {
  const answer = await send(path, { method, body, headers });
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => ({}));
  if (answer.status === 403 || answer.status === 401) told.text = words.key_needed;
  throw new Refusal(answer.status, told);
}

const part = encodeURIComponent;
const json = async (method, path, body, headers) => (await ask(method, path, body, headers)).json();

export const desk = () => json('GET', '/api/desk');
export const profiles = () => json('GET', '/api/profiles');
export const profile = (name) => json('GET', `/api/profiles/${part(name)}`);
export const settings = () => json('GET', '/api/settings');
export const window_address = async () => (await json('POST', '/api/window')).address;
export const stop = () => json('POST', '/api/stop');
export const sample = (crop) => json('POST', `/api/sample?crop=${part(crop)}`);

export const bringField = (name, body) => json('POST', `/api/fields?name=${part(name)}`, body);
export const newVisit = async (name) => (await json('POST', `/api/visits?name=${part(name)}`)).visit;
export const visit = (name) => json('GET', `/api/visits/${part(name)}`);
export const bringFile = (visitName, name, body) => json('POST', `/api/visits/${part(visitName)}/files?name=${part(name)}`, body);

// What is kept of a visit ('draft' or 'job') with its state; { value: null, tag: '' } where there is none. `files` of
// the visit says so, for a question after what is not there is an error to the browser.
export async function kept(visitName, name, files = null) {
  const there = files || (await visit(visitName)).files;
  if (!there.some((file) => file.name === `${name}.json`)) return { value: null, tag: '' };
  const answer = await ask('GET', `/visits/${part(visitName)}/${name}.json`);
  return { value: await answer.json(), tag: answer.headers.get('ETag') || '' };
}

export async function keep(visitName, name, body, tag) {
  const answer = await ask('PUT', `/api/visits/${part(visitName)}/${name}`, body, tag ? { 'If-Match': tag } : {});
  return answer.headers.get('ETag') || '';
}

export const surveyFile = (survey, name) => `/surveys/${part(survey)}/${name}`;
export const seasonsFile = (seasons, name) => `/seasons/${part(seasons)}/${name}`;
export const planFile = (visitName, ending) => `/plans/${part(visitName)}.${ending}`;
export const survey = (name) => json('GET', surveyFile(name, 'survey.json'));
export const seasons = (name) => json('GET', seasonsFile(name, 'seasons.json'));
export const there = async (path) => (await fetch(path, { method: 'HEAD' })).ok;

const parse = (line) => {
  try {
    return JSON.parse(line);
  } catch {
    return { text: line };
  }
};
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

function ended(job, failure) {
  if (job.state === 'canceled') return new Canceled(words.canceled);
  return new Refusal(
    422,
    failure && job.status >= 0 ? failure : { text: failure && failure.text ? failure.text : words.crashed },
  );
}

// Has the program do something; resolves to what it printed (null where that is no JSON) and what it was about.
// `tell({done, phase})` while it runs; `hand.cancel()` ends it, `hand.canceled` before it began.
export async function run(pairs, tell = () => {}, hand = {}) {
  const begun = await json('POST', '/api/jobs', new URLSearchParams(pairs));
  let after = 0,
    failure = null;
  hand.cancel = () => ask('DELETE', `/api/jobs/${begun.job}`).catch(() => {}); // it may be over already
  if (hand.canceled) hand.cancel();
  for (let wait = 40; ; wait = Math.min(400, wait * 1.5)) {
    const job = await json('GET', `/api/jobs/${begun.job}?after=${after}`);
    after = job.after;
    for (const line of job.told.map(parse)) {
      if (typeof line.done === 'number') tell(line);
      else if (line.text && !line.note && !line.warning) failure = line;
    }
    if (job.state === 'failed' || job.state === 'canceled') throw ended(job, failure);
    if (job.state === 'done') break;
    await pause(wait);
  }
  const text = await (await ask('GET', `/api/jobs/${begun.job}/out`)).text();
  return { out: text.trim().startsWith('{') ? JSON.parse(text) : null, about: begun.about };
}

const looks = new Map();

// What lies in a file: its columns, points or outline. Asked once for each file, for files do not change.
export function look(about, file, choices = {}) {
  const key = JSON.stringify([about, file, choices]);
  if (!looks.has(key)) {
    const asked = run([['what', 'look'], ['about', about], ['file', file], ...Object.entries(choices)]).then((done) => done.out);
    asked.catch(() => looks.delete(key));
    looks.set(key, asked);
  }
  return looks.get(key);
}
