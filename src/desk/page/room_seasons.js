// Seasons of a field held against each other: do hotspots come back in the same places?
import * as api from '/page/api.js';
import { el, link, list, problem, say as tell } from '/page/dom.js';
import { words } from '/page/words.js';
import { field, progress } from '/page/form.js';
import { fieldLine, headline } from '/page/findings.js';

const say = words.seasons;

const first = (survey) => survey.first_date || survey.season || '';

class Seasons {
  constructor(context) {
    Object.assign(this, { context, chosen: new Set(), run: el('div', {}), result: el('div', {}), reason: el('div', {}) });
  }

  async load() {
    const all = await Promise.all(
      this.context.desk.surveys.map(async (entry) => ({
        name: entry.name,
        survey: await api.survey(entry.name).catch(() => null),
      })),
    );
    this.surveys = all
      .filter((one) => one.survey)
      .sort((a, b) => first(a.survey).localeCompare(first(b.survey)) || a.name.localeCompare(b.name));
  }

  item({ name, survey }) {
    const box = el('input', {
      type: 'checkbox',
      id: `take-${name}`,
      value: name,
      onchange: () => (box.checked ? this.chosen.add(name) : this.chosen.delete(name)),
    });
    return el(
      'li',
      {},
      el(
        'label',
        { for: `take-${name}` },
        el('img', { src: api.surveyFile(name, 'map.png'), alt: '', loading: 'lazy' }),
        el('span', {}, box, ' ', el('strong', { text: survey.season || name })),
        el('span', { class: 'small', text: `${headline(survey)} \u00b7 ${fieldLine(survey)}` }),
      ),
    );
  }

  askReason(error) {
    const box = field({
      id: 'set-even-so',
      label: words.labels['even-so'],
      help: words.help['even-so'],
      control: el('input', { type: 'text', autocomplete: 'off' }),
    });
    this.even = box;
    this.reason.replaceChildren(el('div', { class: 'note warning' }, el('p', { role: 'alert', text: error.text }), box.element));
    box.control.focus();
  }

  async compare(event) {
    event.preventDefault();
    const taken = this.surveys.map((one) => one.name).filter((name) => this.chosen.has(name)); // oldest first
    if (taken.length < 2) return this.run.replaceChildren(problem(say.two));
    const hand = {},
      bar = progress(say.comparing, hand);
    this.run.replaceChildren(bar.element);
    bar.focus();
    try {
      const pairs = [
        ['what', 'seasons'],
        ...taken.map((name) => ['survey', name]),
        ...(this.even && this.even.value ? [['even-so', this.even.value]] : []),
      ];
      const { about } = await api.run(pairs, (told) => bar.tell(told), hand);
      this.run.replaceChildren();
      this.reason.replaceChildren();
      tell(say.compared);
      return await this.showResult(about);
    } catch (error) {
      this.run.replaceChildren();
      if (error instanceof api.Canceled) return this.run.replaceChildren(el('p', { text: error.message }));
      return error.asksReason ? this.askReason(error) : this.run.replaceChildren(problem(error));
    }
  }

  async showResult(name) {
    const result = await api.seasons(name),
      fresh = `?${Date.now()}`;
    this.result.replaceChildren(
      el(
        'section',
        { class: 'result' },
        el('h2', { tabindex: '-1', text: say.title_of(result.field.name) }),
        el(
          'div',
          { class: 'mapped' },
          el(
            'div',
            { class: 'shown' },
            el(
              'a',
              { href: api.seasonsFile(name, 'persistence.png'), target: '_blank', id: 'persistence' },
              el('img', { src: api.seasonsFile(name, 'persistence.png') + fresh, alt: say.alt(result.field.name) }),
            ),
            el(
              'div',
              { class: 'row' },
              link(say.print, api.seasonsFile(name, 'persistence.pdf'), { class: 'button main', target: '_blank' }),
              link(say.report, api.seasonsFile(name, 'report.html'), { class: 'button quiet', target: '_blank' }),
            ),
            el(
              'details',
              {},
              el('summary', { text: words.map.files }),
              el(
                'ul',
                { class: 'files' },
                say.file_list.map(([file, text]) =>
                  el('li', {}, link(file, api.seasonsFile(name, file), { download: `${name}-${file}` }), ` \u2013 ${text}`),
                ),
              ),
            ),
          ),
          el(
            'aside',
            { class: 'beside', 'aria-label': say.beside },
            list(result.sentences),
            el('h2', { text: words.survey.cautions }),
            list(result.cautions, { class: 'cautions' }),
            result.warnings.length ? list(result.warnings) : null,
          ),
        ),
      ),
    );
    this.result.querySelector('h2').focus();
  }

  earlier() {
    const { seasons } = this.context.desk;
    return seasons.length
      ? el(
          'details',
          { class: 'more' },
          el('summary', { text: say.made_before }),
          el(
            'ul',
            {},
            seasons.map((entry) =>
              el(
                'li',
                {},
                el('button', {
                  type: 'button',
                  class: 'quiet',
                  text: entry.name,
                  onclick: () => this.showResult(entry.name).catch((error) => this.result.replaceChildren(problem(error))),
                }),
              ),
            ),
          ),
        )
      : null;
  }

  async element() {
    await this.load();
    if (this.surveys.length < 2) return el('p', { class: 'note', text: words.start.compare_needs });
    return el(
      'div',
      {},
      el(
        'form',
        { onsubmit: (event) => this.compare(event) },
        el(
          'fieldset',
          { class: 'pictures' },
          el('legend', { text: say.take }),
          el(
            'ul',
            { class: 'taking' },
            this.surveys.map((one) => this.item(one)),
          ),
        ),
        this.reason,
        el('button', { type: 'submit', class: 'main', id: 'compare', text: say.compare }),
        this.run,
      ),
      this.result,
      this.earlier(),
    );
  }
}

export async function show(body, context) {
  const seasons = new Seasons(context);
  body.append(el('h1', { text: say.title }), el('p', { class: 'lead', text: say.lead }), await seasons.element());
  if (context.desk.seasons.some((entry) => entry.name === context.about)) await seasons.showResult(context.about);
}
