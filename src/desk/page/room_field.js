// Whose ground it is: a boundary that somebody brought, or one drawn here.
import * as api from '/page/api.js';
import { el, button, note, problem, say as tell } from '/page/dom.js';
import { plain, plural, words } from '/page/words.js';
import { choice, dropPlace, isPart, mainFile } from '/page/form.js';
import { area } from '/page/units.js';
import { Plane } from '/page/plane.js';
import { drawingPlace } from '/page/drawing.js';
import { hectaresOf, outlineOf } from '/page/outline.js';
import { goOn } from '/page/way.js';

const say = words.field;

// Several features: which one? One: nothing to ask.
function chooseName(context, look, place, again) {
  const { visit } = context,
    { names } = look;
  if (names.length < 2) return;
  place.append(
    choice({
      name: 'field-name',
      legend: say.which(names.length),
      value: visit.draft.field.name,
      options: names.map((name) => [name, name]),
      onchange: (name) => {
        visit.change(words.steps.field, (draft) => {
          draft.field.name = name;
        });
        again();
      },
    }),
  );
}

// The area stands before everything else: a wrong field shows there first.
async function showChosen(context, place, next) {
  const { visit } = context,
    chosen = visit.draft.field;
  place.replaceChildren();
  next.replaceChildren();
  if (!chosen) return;
  const plane = new Plane({ label: say.plane(chosen.file) }),
    wait = el('p', { class: 'small', text: say.looking });
  place.append(wait);
  try {
    const look = await api.look('fields', chosen.file);
    if (visit.draft.field !== chosen) return;
    wait.remove();
    if (!look.outline) {
      place.append(problem(say.no_area(chosen.file)));
      return;
    }
    const several = look.names.length > 1;
    place.append(
      el('h2', {
        text:
          several && !chosen.name
            ? say.several(plural(look.names.length, 'field'), area(look.area_ha))
            : area(hectaresOf(look, chosen.name)),
      }),
    );
    if (!several && look.names.length) place.append(el('p', { text: look.names[0] }));
    chooseName(context, look, place, () => showChosen(context, place, next));
    place.append(plane.element, ...look.notes.map((text) => note('', plain(text))));
    plane.setOutline(outlineOf(look, chosen.name));
    if (!several || chosen.name)
      next.append(
        goOn(context, 'readings'),
        el('p', {}, el('a', { href: `#/${encodeURIComponent(visit.name)}/walk`, id: 'to-walk', text: say.not_walked })),
      );
  } catch (error) {
    wait.replaceWith(problem(error));
  }
}

async function bring(context, files, place) {
  const { visit } = context;
  place.replaceChildren(el('p', { class: 'small', text: say.bringing }));
  try {
    let chosen = null;
    for (const file of files) {
      const { name } = await api.bringField(file.name, file);
      if (file === mainFile(files)) chosen = name;
    }
    visit.change(words.steps.field, (draft) => {
      draft.field = { file: chosen, name: '' };
      draft.drawing = null;
    });
    tell(say.brought);
    context.again();
  } catch (error) {
    place.replaceChildren(problem(error));
  }
}

async function stopPlaces(visit) {
  const looks = await Promise.all(visit.stopFiles().map((file) => api.look(visit.name, file).catch(() => null)));
  return looks.flatMap((look) => (look && look.points) || []);
}

async function saveDrawing(context, rings, name, asText) {
  const { visit } = context,
    kept = await api.bringField(`${name}.geojson`, asText);
  visit.change(words.steps.field, (draft) => {
    draft.field = { file: kept.name, name: '' };
    draft.drawing = null;
  });
  tell(say.brought);
  context.again();
}

export async function show(body, context) {
  const { visit, desk } = context,
    shown = el('section', { class: 'chosen-field', 'aria-live': 'off' }),
    next = el('div', {}),
    failed = el('div', {});
  const files = desk.fields.map((entry) => entry.name).filter((name) => !isPart(name));
  body.append(el('h1', { text: say.title }), el('p', { class: 'lead', text: say.lead }));
  if (visit.draft.drawing) {
    body.append(drawingPlace(context, await stopPlaces(visit), (rings, name, text) => saveDrawing(context, rings, name, text)));
    return;
  }
  const take = (file) => {
    visit.change(words.steps.field, (draft) => {
      draft.field = { file, name: '' };
    });
    context.way();
    showChosen(context, shown, next);
  };
  const chosen = visit.draft.field && visit.draft.field.file;
  body.append(
    el(
      'div',
      { class: 'two' },
      el(
        'div',
        {},
        files.length
          ? choice({
              name: 'shelf',
              legend: say.shelf,
              value: chosen,
              options: files.map((name) => [name, name]),
              onchange: take,
            })
          : null,
        dropPlace({ id: 'bring-field', label: say.drop, help: say.drop_help, take: (list) => bring(context, list, failed) }),
        failed,
        el(
          'div',
          { class: 'card' },
          el('p', { text: say.draw_help }),
          button(
            say.draw,
            () => {
              visit.change(words.steps.afresh, (draft) => {
                draft.drawing = { rings: [[]], closed: false };
              });
              context.again();
            },
            { id: 'draw' },
          ),
        ),
      ),
      el('div', {}, shown, next),
    ),
  );
  showChosen(context, shown, next);
}
