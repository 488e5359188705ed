import { el } from '/page/dom.js';
export async function show(body) { body.append(el('h1', { text: 'act' })); }
