// What a survey says, in the words of the page: for its room, and for the desk's list.
import { el, list } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { area, shortArea, percent, severity, dates } from '/page/units.js';

const say = words.survey;

const hotArea = (survey) => survey.hotspots.reduce((sum, one) => sum + one.area_ha, 0);

export function headline(survey) {
  const { verdict } = survey.pattern;
  if (verdict !== 'patchy') return say.verdicts[verdict] || verdict;
  return survey.hotspots.length
    ? say.hotspots(plural(survey.hotspots.length, 'hotspot'), shortArea(hotArea(survey)))
    : say.no_hotspot;
}

export function fieldLine(survey) {
  const days = dates(survey.first_date, survey.last_date);
  return [
    survey.field.name,
    area(survey.field.area_ha),
    survey.first_date ? days : survey.season,
    survey.disease && survey.disease.title,
  ]
    .filter(Boolean)
    .join(' \u00b7 ');
}

// Where it is too late for these plants, the map plans for the next season.
const treatWord = (survey) => (survey.disease && survey.disease.too_late_in_season ? say.zones.plan : say.zones.treat);

export function zoneTable(survey) {
  if (
    !survey.zones ||
    survey.no_zones_why ||
    !['treat', 'dig', 'leave'].some((zone) => survey.zones[zone] && survey.zones[zone].area_ha > 0)
  )
    return el('p', { text: survey.no_zones_why || say.no_zones });
  const row = (zone, name) => {
    const hectares = survey.zones[zone] ? survey.zones[zone].area_ha : 0;
    return el('tr', {}, el('th', { scope: 'row', text: name }), el('td', { text: area(hectares) }));
  };
  return el(
    'table',
    { class: 'zones' },
    el('caption', { text: say.zones.caption }),
    el('tbody', {}, row('treat', treatWord(survey)), row('dig', say.zones.dig), row('leave', say.zones.leave)),
  );
}

function hotspotList(survey) {
  const unit = survey.reading.unit.startsWith('percent') ? ' %' : '';
  return survey.hotspots.length
    ? el(
        'ol',
        { class: 'hotspots' },
        survey.hotspots.map((one) =>
          el('li', {
            text: say.hotspot(
              shortArea(one.area_ha),
              severity(one.mean) + unit,
              Number.isFinite(one.chance) && one.chance !== null ? percent(one.chance) : null,
            ),
          }),
        ),
      )
    : null;
}

export function findingList(findings, stopButton = null) {
  if (!findings.length) return el('p', { text: say.no_findings });
  return el(
    'ul',
    { class: 'findings' },
    findings.map((finding) =>
      el(
        'li',
        { class: `of-${finding.severity}` },
        el('strong', { text: finding.severity === 'warning' ? say.warning : say.note }),
        ' ',
        finding.text,
        stopButton && finding.stops && finding.stops.length
          ? el('span', { class: 'row' }, finding.stops.slice(0, 30).map(stopButton))
          : null,
      ),
    ),
  );
}

// Beside the map, always: what it says, and what to heed.
export function beside(survey) {
  return el(
    'div',
    { class: 'beside' },
    el(
      'p',
      { class: `verdict ${survey.pattern.verdict.replace(/ /g, '-')}` },
      el('strong', { text: say.found[survey.pattern.verdict] || survey.pattern.verdict }),
    ),
    el('p', { class: 'small', text: say.why[survey.pattern.verdict] || '' }),
    hotspotList(survey),
    zoneTable(survey),
    survey.even_so && survey.even_so.length ? [el('h2', { text: say.even_so }), list(survey.even_so)] : null,
    el('h2', { text: say.cautions }),
    list(survey.cautions, { class: 'cautions' }),
  );
}

export const aboutReadings = (survey) =>
  el(
    'section',
    {},
    el('h2', { text: say.findings }),
    findingList(survey.findings),
    survey.warnings.length ? list(survey.warnings) : null,
  );
