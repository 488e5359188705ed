// The step to the next room.
import { el, link } from '/page/dom.js';
import { words } from '/page/words.js';

export const goOn = ({ visit }, room) =>
  el(
    'p',
    { class: 'go-on' },
    link(words.next(words.rooms[room]), `#/${encodeURIComponent(visit.name)}/${room}`, { class: 'button main', id: 'go-on' }),
  );
