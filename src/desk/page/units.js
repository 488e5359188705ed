// Acres and feet first, or hectares and meters first: chosen once, kept in this browser.
const ACRE = 0.40468564224; // hectares (NIST Handbook 44, appendix C: the international acre)
const FOOT = 0.3048;
const KEY = 'fieldfoci-units';

// One window keeps to one: what another window chooses must not change what stands beside a box here.
let metric = localStorage.getItem(KEY) === 'metric';

export const isMetric = () => metric;
export function setMetric(chosen) {
  metric = chosen;
  localStorage.setItem(KEY, chosen ? 'metric' : 'us');
}

export function number(value, digits = 1) {
  return value.toLocaleString('en-US', { minimumFractionDigits: digits, maximumFractionDigits: digits });
}

const areaText = (value) => number(value, value !== 0 && Math.abs(value) < 0.1 ? 2 : 1);

export function area(hectares) {
  const acres = areaText(hectares / ACRE),
    metric = areaText(hectares);
  const unit = acres === '1.0' ? 'acre' : 'acres';
  return isMetric() ? `${metric} ha (${acres} ${unit})` : `${acres} ${unit} (${metric} ha)`;
}

export const shortArea = (hectares) =>
  isMetric()
    ? `${areaText(hectares)} ha`
    : `${areaText(hectares / ACRE)} ${areaText(hectares / ACRE) === '1.0' ? 'acre' : 'acres'}`;

export const lengthUnit = () => (isMetric() ? 'm' : 'ft');
export const toMeters = (value) => (isMetric() ? value : value * FOOT);
export const fromMeters = (meters) => (isMetric() ? meters : meters / FOOT);

export const percent = (share) => {
  const value = Math.round(100 * share);
  return share > 0 && share < 0.01 ? 'under 1 %' : share < 1 && share > 0.99 ? 'over 99 %' : `${value} %`;
};

export const severity = (value) => number(value, value !== 0 && Math.abs(value) < 10 ? 1 : 0);

// "August 18 to August 19, 2026": the year once where it is the same.
export function dates(first, last) {
  if (!first || first === last) return date(first);
  const [from, to] = [date(first), date(last)];
  return first.slice(0, 4) === last.slice(0, 4) ? `${from.replace(/, \d{4}$/, '')} to ${to}` : `${from} to ${to}`;
}

export const date = (text) => {
  const day = text ? new Date(`${text}T12:00:00`) : null;
  return day && !Number.isNaN(day.getTime())
    ? day.toLocaleDateString('en-US', { month: 'long', day: 'numeric', year: 'numeric' })
    : text || '';
};
