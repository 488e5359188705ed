// Pieces of forms: a box with its label, one line of help, and what is wrong with it.
import { el, fresh } from '/page/dom.js';
import { words } from '/page/words.js';

// { element, control, value, problem(text or null) }
export function field({ id = fresh('box'), label, help = '', control, besides = null }) {
  const helpId = `${id}-help`,
    wrongId = `${id}-wrong`;
  const wrong = el('p', { id: wrongId, class: 'problem', hidden: true });
  control.id = id;
  const describe = (isWrong) => {
    const parts = [help && helpId, isWrong && wrongId].filter(Boolean).join(' ');
    if (parts) control.setAttribute('aria-describedby', parts);
    else control.removeAttribute('aria-describedby');
  };
  describe(false);
  const element = el(
    'div',
    { class: 'field' },
    el('label', { for: id, text: label }),
    control,
    wrong,
    help ? el('p', { id: helpId, class: 'help', text: help }) : null,
    besides,
  );
  return {
    element,
    control,
    get value() {
      return control.value.trim();
    },
    problem(text) {
      wrong.textContent = text || '';
      wrong.hidden = !text;
      if (text) control.setAttribute('aria-invalid', 'true');
      else control.removeAttribute('aria-invalid');
      describe(Boolean(text));
      if (text) control.focus();
    },
  };
}

// One of several: [[value, text, help]].
export function choice({ name, legend, options, value, onchange }) {
  const group = fresh(name);
  return el(
    'fieldset',
    { class: 'choice' },
    el('legend', { text: legend }),
    options.map(([key, text, help]) => {
      const id = `${name}-${key}`;
      return el(
        'div',
        { class: 'option' },
        el('input', {
          type: 'radio',
          name: group,
          id,
          value: key,
          checked: key === value,
          onchange: () => onchange(key),
          'aria-describedby': help ? `${id}-help` : null,
        }),
        el('label', { for: id, text }),
        help ? el('p', { class: 'help', id: `${id}-help`, text: help }) : null,
      );
    }),
  );
}

export function select(options, value, onchange, properties = {}) {
  const control = el(
    'select',
    properties,
    options.map(([key, text]) => el('option', { value: key, text, selected: key === value })),
  );
  control.addEventListener('change', () => onchange(control.value));
  return control;
}

// A place to drop files on, or to choose them by: `take(files)`.
export function dropPlace({ id, label, help, accept, take }) {
  const input = el('input', { type: 'file', id, accept, multiple: true, 'aria-describedby': `${id}-help` });
  const box = el(
    'div',
    { class: 'drop' },
    el('label', { for: id, text: label }),
    input,
    el('p', { class: 'help', id: `${id}-help`, text: help }),
  );
  input.addEventListener('change', () => input.files.length && take([...input.files]));
  for (const kind of ['dragenter', 'dragover'])
    box.addEventListener(kind, (event) => {
      event.preventDefault();
      box.classList.add('over');
    });
  for (const kind of ['dragleave', 'drop']) box.addEventListener(kind, () => box.classList.remove('over'));
  box.addEventListener('drop', (event) => {
    event.preventDefault();
    if (event.dataTransfer.files.length) take([...event.dataTransfer.files]);
  });
  return box;
}

// Where the parts of a file came together: the one to name (a shapefile is several files).
export function mainFile(files) {
  const ending = /\.(geojson|json|kml|kmz|gpkg|shp|zip|gpx|csv|tsv|txt|gml|xlsx|ods|fgb|tab|mif|dxf)$/i;
  return files.find((file) => /\.shp$/i.test(file.name)) || files.find((file) => ending.test(file.name)) || files[0];
}

export const isPart = (name) => /\.(dbf|shx|prj|cpg|sbn|sbx|qpj|qmd|qix|xml)$/i.test(name);

// A bar for what takes a while, told in tens of percent; its button ends it. `hand`: of the run.
export function progress(label, hand) {
  const bar = el('progress', { max: '1', 'aria-label': label }),
    text = el('p', { class: 'small', role: 'status', text: label });
  let told = -1;
  const end = el('button', { type: 'button', class: 'quiet', text: words.map.cancel, id: 'cancel' });
  end.addEventListener('click', () => {
    hand.canceled = true;
    if (hand.cancel) hand.cancel();
  });
  return {
    element: el('div', { class: 'progress' }, text, bar, end),
    focus() {
      end.focus();
    },
    tell({ done, phase }) {
      bar.value = done;
      const tenth = Math.floor(done * 10);
      if (tenth === told) return;
      told = tenth;
      text.textContent = words.map.progress(words.map.phases[phase] || label, tenth * 10);
    },
  };
}
