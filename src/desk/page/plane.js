// A view of the field over a plain plane: an SVG in meters, moved and enlarged by mouse, finger and keys.
// What lies on it is given in degrees. The middle is read by keys, as a finger reads where it touches.
import { el, svg, button, fresh } from '/page/dom.js';
import { words } from '/page/words.js';
import { boundsOf, cornersOf, middleOf, makeGround } from '/page/ground.js';
import { fromMeters, lengthUnit, number } from '/page/units.js';

const STILL = 5; // pixels that a tap may move

function scaleLength(metersPerPixel) {
  const most = fromMeters(110 * metersPerPixel),
    power = 10 ** Math.floor(Math.log10(most));
  const value = [5, 2, 1].find((times) => times * power <= most) * power;
  return { value, pixels: (value / most) * 110 };
}

function frameOf(label, told) {
  const help = fresh('plane-help');
  const image = svg('svg', {
    class: 'plane-view',
    tabindex: '0',
    role: 'application',
    'aria-label': label,
    'aria-describedby': help,
  });
  const bar = el('span', { class: 'bar' }),
    length = el('span', {});
  const scale = el('div', { class: 'scale', 'aria-hidden': 'true' }, bar, length);
  const north = el('div', { class: 'north', 'aria-hidden': 'true', text: 'N' });
  const cross = el('div', { class: 'cross', 'aria-hidden': 'true' });
  const tools = el('div', { class: 'tools' });
  const frame = el('div', { class: 'frame' }, image, cross, north, scale, tools);
  return {
    image,
    bar,
    length,
    tools,
    frame,
    element: el('div', { class: 'plane' }, frame, el('p', { id: help, class: 'small', text: told })),
  };
}

// `taps(place, shape, event)`: [lon, lat] and what was hit (its data-key), by mouse, finger, or Enter in the middle.
export class Plane {
  constructor({ label, help = words.plane.help, taps = () => {}, drags = null, drawn = () => {} }) {
    Object.assign(this, frameOf(label, help));
    this.taps = taps;
    this.drawn = drawn; // called when all was drawn anew: others lay theirs over it
    this.drags = drags; // (state, place, key): what a pull means, where it does not move the view
    this.ground = null;
    this.view = { x: 0, y: 0, perPixel: 1 };
    this.layers = {};
    for (const name of ['ground', 'marks', 'lines', 'stops', 'handles'])
      this.image.append((this.layers[name] = svg('g', { class: name })));
    this.tools.append(
      button('+', () => this.zoom(1 / 1.4), { 'aria-label': words.plane.larger }),
      button('\u2212', () => this.zoom(1.4), { 'aria-label': words.plane.smaller }),
      button(words.plane.all, () => this.fit()),
    );
    this.listen();
    new ResizeObserver(() => (this.fitted ? this.fit() : this.refresh())).observe(this.image);
  }

  // ---- what lies on it ----

  // Degrees become meters about the middle of what is there; all of it is drawn anew.
  draw() {
    const corners = cornersOf(this.outline),
      stops = this.stops || [];
    const about = corners.length ? corners : stops.length ? stops.map((stop) => stop.place) : this.besides || [];
    if (!about.length) return;
    this.ground = makeGround(middleOf(about));
    this.layers.ground.replaceChildren(
      ...(corners.length ? [svg('path', { d: this.path(this.outline.coordinates.flat()), class: 'outline' })] : []),
    );
    this.layers.stops.replaceChildren(...stops.map((stop) => this.drawStop(stop)));
    this.layers.marks.replaceChildren();
    this.drawn();
  }

  at(place) {
    const [x, y] = this.ground.toPlane(place);
    return [x, -y];
  }

  path(rings, closed = true) {
    return rings
      .map((ring) =>
        ring.length
          ? `M${ring
              .map((place) =>
                this.at(place)
                  .map((v) => v.toFixed(2))
                  .join(' '),
              )
              .join('L')}${closed ? 'Z' : ''}`
          : '',
      )
      .join('');
  }

  setOutline(outline) {
    this.outline = outline;
    this.draw();
    this.fit();
  }

  // [{place, key, kind, size, title}]; kinds are classes: none, some, out.
  setStops(stops) {
    this.stops = stops.filter((stop) => stop.place && stop.place.every(Number.isFinite));
    this.draw();
    this.fit();
  }

  // Places that are to be seen though nothing lies there yet.
  setBesides(places) {
    this.besides = places;
    this.draw();
    this.fit();
  }

  drawStop(stop) {
    const [x, y] = this.at(stop.place);
    const mark = stop.kind === 'out' ? svg('path', { d: `M${x} ${y}h.001` }) : svg('circle', { cx: x, cy: y });
    mark.setAttribute('class', `stop ${stop.kind} ${stop.size || ''}`);
    if (stop.key !== undefined) mark.setAttribute('data-key', stop.key);
    if (stop.title) mark.append(svg('title', { text: stop.title }));
    return mark;
  }

  // Shows one stop with a ring round it.
  choose(key) {
    const stop = (this.stops || []).find((one) => one.key === key);
    this.layers.marks.replaceChildren();
    if (!stop) return;
    const [x, y] = this.at(stop.place);
    this.layers.marks.append(svg('circle', { cx: x, cy: y, class: 'chosen' }));
    const box = this.image.getBoundingClientRect(),
      { perPixel } = this.view;
    if (
      Math.abs(x - this.view.x) < (box.width / 2 - 30) * perPixel &&
      Math.abs(y - this.view.y) < (box.height / 2 - 30) * perPixel
    )
      return;
    this.fitted = false;
    Object.assign(this.view, { x, y });
    this.refresh();
  }

  // ---- where one looks ----

  fit() {
    const points = [...cornersOf(this.outline), ...(this.stops || []).map((stop) => stop.place), ...(this.besides || [])];
    const box = this.image.getBoundingClientRect();
    this.fitted = true;
    if (!points.length || !this.ground || !box.width) return this.refresh();
    const bounds = boundsOf(points.map((place) => this.at(place)));
    const perPixel = Math.max(
      (bounds.east - bounds.west) / Math.max(60, box.width - 60),
      (bounds.north - bounds.south) / Math.max(60, box.height - 80),
      0.05,
    );
    this.view = { x: (bounds.west + bounds.east) / 2, y: (bounds.south + bounds.north) / 2, perPixel };
    this.refresh();
  }

  refresh() {
    const box = this.image.getBoundingClientRect(),
      { x, y, perPixel } = this.view;
    if (!box.width) return;
    const width = box.width * perPixel,
      height = box.height * perPixel;
    this.image.setAttribute('viewBox', `${x - width / 2} ${y - height / 2} ${width} ${height}`);
    this.image.style.setProperty('--m', String(perPixel));
    const { value, pixels } = scaleLength(perPixel);
    this.bar.style.width = `${pixels}px`;
    this.length.textContent = `${number(value, value < 1 ? 1 : 0)} ${lengthUnit() === 'ft' ? 'feet' : 'meters'}`;
  }

  zoom(times, about = null) {
    const box = this.image.getBoundingClientRect(),
      view = this.view;
    const perPixel = Math.min(200, Math.max(0.01, view.perPixel * times)),
      change = view.perPixel - perPixel;
    if (about) {
      view.x += (about.clientX - box.left - box.width / 2) * change;
      view.y += (about.clientY - box.top - box.height / 2) * change;
    }
    view.perPixel = perPixel;
    this.fitted = false;
    this.refresh();
  }

  move(right, down) {
    this.view.x += right * this.view.perPixel;
    this.view.y += down * this.view.perPixel;
    this.fitted = false;
    this.refresh();
  }

  placeAt(event) {
    const box = this.image.getBoundingClientRect(),
      { x, y, perPixel } = this.view;
    const right = event ? event.clientX - box.left - box.width / 2 : 0,
      down = event ? event.clientY - box.top - box.height / 2 : 0;
    return this.ground ? this.ground.toGlobe([x + right * perPixel, -(y + down * perPixel)]) : null;
  }

  // ---- mouse, finger, keys ----

  listen() {
    const fingers = new Map();
    this.image.addEventListener('pointerdown', (event) => {
      if (event.button > 0) return;
      this.image.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, {
        x: event.clientX,
        y: event.clientY,
        startX: event.clientX,
        startY: event.clientY,
        key: event.target.dataset.key,
      });
      if (fingers.size === 1 && this.drags) this.pulls = this.drags('start', this.placeAt(event), event.target.dataset.key);
    });
    this.image.addEventListener('pointermove', (event) => {
      const finger = fingers.get(event.pointerId);
      if (finger) this.pull(fingers, finger, event);
    });
    const over = (event) => {
      const finger = fingers.get(event.pointerId);
      fingers.delete(event.pointerId);
      if (!finger || event.type !== 'pointerup') return;
      const still = !finger.moved && !finger.pinched;
      if (this.pulls) this.drags(still ? 'cancel' : 'end', this.placeAt(event), finger.key);
      this.pulls = false;
      if (still) this.taps(this.placeAt(event), finger.key, event);
    };
    this.image.addEventListener('pointerup', over);
    this.image.addEventListener('pointercancel', over);
    this.image.addEventListener(
      'wheel',
      (event) => {
        if (!event.ctrlKey && document.activeElement !== this.image) return; // the page scrolls past a map that nobody chose
        event.preventDefault();
        this.zoom(event.deltaY > 0 ? 1.15 : 1 / 1.15, event);
      },
      { passive: false },
    );
    this.image.addEventListener('keydown', (event) => this.key(event));
  }

  pull(fingers, finger, event) {
    const right = event.clientX - finger.x,
      down = event.clientY - finger.y;
    if (Math.hypot(event.clientX - finger.startX, event.clientY - finger.startY) > STILL) finger.moved = true;
    if (fingers.size === 2) {
      const other = [...fingers.values()].find((one) => one !== finger);
      const before = Math.hypot(finger.x - other.x, finger.y - other.y),
        after = Math.hypot(event.clientX - other.x, event.clientY - other.y);
      finger.pinched = other.pinched = true;
      if (before > 10 && after > 10)
        this.zoom(before / after, { clientX: (event.clientX + other.x) / 2, clientY: (event.clientY + other.y) / 2 });
      this.move(-right / 2, -down / 2);
    } else if (finger.moved) {
      if (this.pulls) this.drags('move', this.placeAt(event), finger.key);
      else this.move(-right, -down);
    }
    finger.x = event.clientX;
    finger.y = event.clientY;
  }

  key(event) {
    const far = event.shiftKey ? 8 : 48;
    const moves = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, -far], ArrowDown: [0, far] };
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (moves[event.key]) this.move(...moves[event.key]);
    else if (event.key === '+' || event.key === '=') this.zoom(1 / 1.25);
    else if (event.key === '-') this.zoom(1.25);
    else if (event.key === '0') this.fit();
    else if (event.key === 'Enter' || event.key === ' ') this.taps(this.placeAt(null), this.hitInMiddle(), event);
    else return;
    event.preventDefault();
  }

  // What lies under the cross: within 14 pixels of the middle.
  hitInMiddle() {
    const { x, y, perPixel } = this.view;
    let best = null,
      least = 14 * perPixel;
    for (const stop of this.stops || []) {
      const [stopX, stopY] = this.at(stop.place),
        far = Math.hypot(stopX - x, stopY - y);
      if (far < least) [best, least] = [stop.key, far];
    }
    return best === null ? undefined : best;
  }
}
