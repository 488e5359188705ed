// Which room is shown, what stands above and below every room, and the way from room to room.
import * as api from '/page/api.js';
import { el, button, link, say, problem } from '/page/dom.js';
import { words } from '/page/words.js';
import { Visit } from '/page/visit.js';
import { isMetric, setMetric } from '/page/units.js';
import * as start from '/page/room_start.js';
import * as field from '/page/room_field.js';
import * as walk from '/page/room_walk.js';
import * as readings from '/page/room_readings.js';
import * as map from '/page/room_map.js';
import * as print from '/page/room_print.js';
import * as act from '/page/room_act.js';
import * as seasons from '/page/room_seasons.js';

// In the order of the work. Those of a visit are shown as a walk from stop to stop.
const ROOMS = { start, field, walk, readings, map, print, act, seasons };
const OF_VISIT = ['field', 'walk', 'readings', 'map', 'print', 'act'];

const top = document.getElementById('top'),
  room = document.getElementById('room'),
  foot = document.getElementById('foot');
let visit = null;
let shown = 0;

export const address = (name, visitName) => (visitName ? `#/${encodeURIComponent(visitName)}/${name}` : `#/${name}`);

function whereTo() {
  const parts = location.hash.slice(2).split('/').map(decodeURIComponent);
  if (parts.length === 2 && OF_VISIT.includes(parts[1])) return { visitName: parts[0], name: parts[1] };
  return { visitName: null, name: parts[0] === 'seasons' ? 'seasons' : 'start', about: parts[1] };
}

// ---- above the room ----

const isDone = {
  field: () => Boolean(visit.draft.field),
  walk: () => Boolean(visit.draft.walk && visit.draft.walk.told),
  readings: () => visit.hasReadings,
  map: () => visit.mapped,
  print: () => false,
  act: () => false,
};

function makeWay(name) {
  return el(
    'nav',
    { class: 'way', 'aria-label': words.way },
    el(
      'ol',
      {},
      OF_VISIT.map((one) => {
        const done = isDone[one](),
          state = one === name ? words.here : done ? words.done : '';
        return el(
          'li',
          { class: `${done ? 'done' : ''} ${one === name ? 'here' : ''}` },
          el(
            'a',
            { href: address(one, visit.name), 'aria-current': one === name ? 'step' : null },
            el('span', { class: 'dot', 'aria-hidden': 'true' }),
            words.rooms[one],
            state && one !== name ? el('span', { class: 'unseen', text: `, ${state}` }) : null,
          ),
        );
      }),
    ),
  );
}

function makeKeeping() {
  const told = el('span', { class: 'kept' });
  const undo = button(
    '',
    () => {
      const what = visit.undoes;
      visit.undo();
      say(words.undone(what));
      show(false);
    },
    { id: 'undo', class: 'quiet' },
  );
  const row = el('div', { class: 'keeping' }, undo, told);
  const look = (state) => {
    undo.disabled = !visit.undoes;
    undo.textContent = visit.undoes ? words.undo(visit.undoes) : words.undo_nothing;
    told.textContent = state === 'saving' ? words.saving : state === 'kept' ? words.kept : '';
    row.classList.toggle('troubled', state === 'conflict' || state instanceof Error);
    if (state === 'conflict')
      told.replaceChildren(
        el('span', { role: 'alert' }, words.conflict, ' '),
        button(words.take_theirs, takeTheirs, { id: 'take-theirs' }),
        ' ',
        button(words.keep_mine, () => visit.keepMine(), { id: 'keep-mine' }),
      );
    else if (state instanceof Error)
      told.replaceChildren(el('span', { role: 'alert' }, words.not_kept, state.text || state.message));
  };
  visit.listeners = [];
  visit.listen(look);
  look(visit.state || 'kept');
  return row;
}

async function takeTheirs() {
  visit = await Visit.open(visit.name);
  show(false);
}

function makeTop(name) {
  const home = link(words.desk, address('start'), { class: 'home' });
  if (!visit)
    return [
      el('div', { class: 'strip' }, home, name === 'seasons' ? el('p', { class: 'about', text: words.rooms.seasons }) : null),
    ];
  return [
    el('div', { class: 'strip' }, home, el('p', { class: 'about', text: words.visit(visit.name) }), makeKeeping()),
    makeWay(name),
  ];
}

// ---- below it ----

function makeFoot(desk) {
  const place = el('div', { class: 'answer' });
  const choose = (metric) => {
    setMetric(metric);
    show(false);
  };
  const unit = (metric, text) =>
    el(
      'label',
      {},
      el('input', {
        type: 'radio',
        name: 'units',
        id: metric ? 'units-metric' : 'units-us',
        checked: isMetric() === metric,
        onchange: () => choose(metric),
      }),
      ` ${text}`,
    );
  const openWindow = async () => {
    const at = await api.window_address();
    place.replaceChildren(el('p', {}, words.foot.window_help, ' ', link(at, at, { target: '_blank', rel: 'noopener' })));
  };
  const close = () =>
    place.replaceChildren(
      el(
        'p',
        { role: 'alert' },
        words.foot.close_sure,
        ' ',
        button(words.foot.yes_close, async () => {
          await api.stop();
          document.body.replaceChildren(el('main', { class: 'closed' }, el('h1', { text: words.foot.closed })));
        }),
        ' ',
        button(words.foot.no, () => place.replaceChildren(), { class: 'quiet' }),
      ),
    );
  foot.replaceChildren(
    el('p', { text: words.foot.folder(desk.folder) }),
    el(
      'fieldset',
      { class: 'units' },
      el('legend', { text: words.foot.units }),
      unit(false, words.foot.us),
      unit(true, words.foot.metric),
    ),
    el(
      'div',
      { class: 'row' },
      button(words.foot.window, openWindow, { class: 'quiet' }),
      button(words.foot.close, close, { class: 'quiet' }),
    ),
    place,
  );
}

// ---- the room ----

// Draws the room; a walk into another one begins at its heading, else the focus stays where it was.
async function show(walked = true) {
  const { visitName, name, about } = whereTo(),
    turn = ++shown,
    focused = document.activeElement && document.activeElement.id;
  const body = el('div', { class: `room ${name}` });
  let desk = null;
  try {
    desk = await api.desk();
    if (!visitName) visit = null;
    else if (!visit || visit.name !== visitName) visit = await Visit.open(visitName);
    if (turn !== shown) return;
    top.replaceChildren(...makeTop(name));
    makeFoot(desk);
    await ROOMS[name].show(body, {
      visit,
      desk,
      about,
      go,
      again: () => show(false),
      way: () => turn === shown && top.querySelector('.way').replaceWith(makeWay(name)),
    });
  } catch (error) {
    if (!(error instanceof api.Refusal)) throw error;
    body.replaceChildren(el('h1', { text: words.rooms[name] }), problem(error), el('p', {}, link(words.back, address('start'))));
  }
  if (turn !== shown) return;
  room.replaceChildren(body);
  document.title = [words.rooms[name], visitName, words.program].filter(Boolean).join(' \u00b7 ');
  const heading = body.querySelector('h1'),
    same = focused && document.getElementById(focused);
  if (heading) heading.tabIndex = -1;
  if (walked && started && heading) heading.focus();
  else if (same) same.focus();
  if (walked) window.scrollTo(0, 0);
  started = true;
  room.dataset.shown = String(turn); // for those who wait until it is there
}
let started = false;

function go(name, visitName = visit && visit.name) {
  const to = address(name, OF_VISIT.includes(name) ? visitName : null);
  if (location.hash === to) show();
  else location.hash = to;
}

// A file that misses its place must not open in place of the page.
for (const kind of ['dragover', 'drop']) window.addEventListener(kind, (event) => event.preventDefault());
window.addEventListener('hashchange', () => show());
show();
