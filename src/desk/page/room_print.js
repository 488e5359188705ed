// On paper: the sheet, the letter, the report. The browser prints them from their own windows.
import * as api from '/page/api.js';
import { el, link } from '/page/dom.js';
import { words } from '/page/words.js';
import { fieldLine, headline } from '/page/findings.js';
import { goOn } from '/page/way.js';

const say = words.print;

function card(visit, { title, text, picture, open, save }) {
  return el(
    'section',
    { class: 'card paper' },
    el('h2', { text: title }),
    picture ? el('img', { src: api.surveyFile(visit, picture), alt: '' }) : null,
    el('p', { text }),
    el(
      'div',
      { class: 'row' },
      open.map(([file, label], i) =>
        link(label, api.surveyFile(visit, file), {
          target: '_blank',
          class: i ? 'button quiet' : 'button main',
          id: `open-${file.replace('.', '-')}`,
        }),
      ),
      save.map(([file, label]) =>
        link(label, api.surveyFile(visit, file), { download: `${visit}-${file}`, class: 'button quiet' }),
      ),
    ),
  );
}

// The letter as text, to be changed before it is sent.
function letterText(visit) {
  const place = el('div', {}),
    details = el('details', {}, el('summary', { text: say.letter_text }), place);
  details.addEventListener('toggle', async () => {
    if (!details.open || place.firstChild) return;
    const text = await (await fetch(api.surveyFile(visit, 'letter.txt'))).text();
    place.append(
      el('label', { for: 'letter-text', text: say.letter_change }),
      el('textarea', { id: 'letter-text', rows: '24', text }),
    );
  });
  return details;
}

export async function show(body, context) {
  const { visit } = context;
  body.append(el('h1', { text: say.title }));
  if (!visit.mapped) {
    body.append(el('p', { class: 'note', text: say.missing }), goOn(context, 'map'));
    return;
  }
  const survey = await api.survey(visit.name);
  body.append(
    el('p', { class: 'lead', text: `${headline(survey)}. ${fieldLine(survey)}` }),
    el('p', { text: say.how }),
    el('div', { class: 'papers' }, card(visit.name, say.sheet), card(visit.name, say.letter), card(visit.name, say.report)),
    letterText(visit.name),
    goOn(context, 'act'),
  );
}
