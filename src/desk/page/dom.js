// Pieces that every room is made of. Text is always put in as text, never as markup.

const SVG = 'http://www.w3.org/2000/svg';

function fill(node, properties, children) {
  for (const [name, value] of Object.entries(properties)) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else if (name === 'text') node.textContent = value;
    else if (name === 'value' && 'value' in node) node.value = value;
    else if (name === 'checked' && 'checked' in node) node.checked = value;
    else node.setAttribute(name, value === true ? '' : value);
  }
  node.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

export const el = (tag, properties = {}, ...children) => fill(document.createElement(tag), properties, children);
export const svg = (tag, properties = {}, ...children) => fill(document.createElementNS(SVG, tag), properties, children);

// Told to those who do not see the page; the same words twice are told twice.
export function say(text) {
  const said = document.getElementById('said');
  said.textContent = '';
  setTimeout(() => {
    said.textContent = text;
  }, 50);
}

let last = 0;
export const fresh = (stem) => `${stem}-${++last}`;

export const button = (text, onclick, properties = {}) => el('button', { type: 'button', text, onclick, ...properties });

// A file of the desk to be opened beside the page, or to be saved.
export const link = (text, href, properties = {}) => el('a', { text, href, ...properties });

export const list = (texts, properties = {}) =>
  el(
    'ul',
    properties,
    texts.map((text) => el('li', {}, text)),
  );

export function note(kind, ...children) {
  return el('div', { class: `note ${kind}` }, children);
}

// What went wrong, beside the thing it is about; said at once.
export function problem(error) {
  const text = error && error.text ? error.text : String((error && error.message) || error);
  return el('p', { class: 'problem', role: 'alert', text });
}
