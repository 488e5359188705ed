// The desk itself: what lies in its folder, and how a visit begins.
import * as api from '/page/api.js';
import { el, button, link, problem } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { field } from '/page/form.js';
import { headline, fieldLine } from '/page/findings.js';

const say = words.start;
const address = (name, visit) => `#/${encodeURIComponent(visit)}/${name}`;

// Visits that were worked at last stand first.
const newestFirst = (entries) => [...entries].sort((a, b) => b.changed - a.changed || a.name.localeCompare(b.name));

function beginForm(context) {
  const name = field({
    id: 'visit-name',
    label: say.visit_name,
    help: say.visit_help,
    control: el('input', { type: 'text', autocomplete: 'off', maxlength: '60' }),
  });
  const begin = async (event) => {
    event.preventDefault();
    try {
      context.go('field', await api.newVisit(name.value || 'visit'));
    } catch (error) {
      name.problem(error.text);
    }
  };
  return el(
    'form',
    { class: 'card begin', onsubmit: begin },
    name.element,
    el('button', { type: 'submit', class: 'main', text: say.begin }),
  );
}

function sampleCard(context) {
  const place = el('div', {});
  const take = async (crop) => {
    try {
      const { visits } = await api.sample(crop);
      context.go('readings', visits[visits.length - 1]);
    } catch (error) {
      place.replaceChildren(problem(error));
    }
  };
  return el(
    'section',
    { class: 'card sample' },
    el('h2', { text: say.sample_title }),
    el('p', { text: say.sample_help }),
    el(
      'div',
      { class: 'row' },
      button(say.sample, () => take('soybean'), { id: 'sample' }),
      button(say.sample_peanut, () => take('peanut'), { class: 'quiet', id: 'sample-peanut' }),
    ),
    place,
  );
}

async function visitItem(entry, mapped) {
  const { files } = await api.visit(entry.name),
    [draft, job] = await Promise.all(['draft', 'job'].map((what) => api.kept(entry.name, what, files)));
  const has = draft.value || (job.value ? { field: job.value.job.field, stops: job.value.job.stops } : {});
  const typed = has.source === 'sheet' ? has.sheet && has.sheet.kept : has.stops && has.stops.length;
  const next = mapped ? 'mapped' : !has.field ? 'field' : !typed ? 'readings' : 'map';
  return el(
    'li',
    {},
    link(entry.name, address(mapped ? 'map' : next, entry.name)),
    el('span', { class: 'small', text: say.visit_next[next] }),
  );
}

function surveyItem(entry, survey, hasVisit) {
  const title = survey ? survey.field.name : entry.name;
  const picture = el('img', { src: api.surveyFile(entry.name, 'map.png'), alt: words.start.survey_alt(title), loading: 'lazy' });
  const target = hasVisit ? address('map', entry.name) : api.surveyFile(entry.name, 'report.html');
  return el(
    'li',
    {},
    el(
      'a',
      { href: target, target: hasVisit ? null : '_blank' },
      picture,
      el('strong', { text: survey ? headline(survey) : entry.name }),
    ),
    survey ? el('span', { class: 'small', text: fieldLine(survey) }) : null,
  );
}

function shelf(title, items, empty, ...more) {
  return el(
    'section',
    { class: 'shelf' },
    el('h2', { text: title }),
    items.length ? el('ul', {}, items) : el('p', { class: 'small', text: empty }),
    more,
  );
}

export async function show(body, context) {
  const { desk } = context,
    surveys = newestFirst(desk.surveys),
    visits = newestFirst(desk.inbox);
  const names = new Set(surveys.map((entry) => entry.name)),
    visitNames = new Set(visits.map((entry) => entry.name));
  const summaries = await Promise.all(surveys.map((entry) => api.survey(entry.name).catch(() => null)));
  body.append(
    el('h1', { text: say.title }),
    el('p', { class: 'lead', text: say.lead }),
    el('div', { class: 'two' }, beginForm(context), sampleCard(context)),
    shelf(say.under_way, await Promise.all(visits.map((entry) => visitItem(entry, names.has(entry.name)))), say.none_yet),
    shelf(
      say.surveys,
      surveys.map((entry, i) => surveyItem(entry, summaries[i], visitNames.has(entry.name))),
      say.none_yet,
    ),
    shelf(
      say.seasons,
      desk.seasons.map((entry) => el('li', {}, link(entry.name, `#/seasons/${encodeURIComponent(entry.name)}`))),
      say.compare_needs,
      surveys.length > 1 ? link(say.compare, '#/seasons', { class: 'button' }) : null,
    ),
  );
  body.querySelectorAll('.shelf')[1].classList.add('pictures');
  if (desk.fields.length)
    body.append(
      el(
        'details',
        {},
        el('summary', { text: `${say.fields}: ${plural(desk.fields.length, 'file')}` }),
        el('p', { class: 'small', text: say.fields_help }),
        el(
          'ul',
          {},
          desk.fields.map((entry) =>
            el(
              'li',
              {},
              link(entry.name, `/fields/${encodeURIComponent(entry.name)}`, {
                download: entry.name,
                'aria-label': say.save_field(entry.name),
              }),
            ),
          ),
        ),
      ),
    );
}
