// Drawing a boundary: corners by click, finger or keys, holes, the area as it grows. Every corner is a step that can
// be undone, and a drawing that was begun stays though the window is closed.
import { el, svg, button, note, say as tell } from '/page/dom.js';
import { words, plural } from '/page/words.js';
import { field } from '/page/form.js';
import { area, lengthUnit, toMeters } from '/page/units.js';
import { Plane } from '/page/plane.js';
import { asGeoJson, crossesItself, makeGround, readPlace, ringArea, step } from '/page/ground.js';

const say = words.drawing;
const DIRECTIONS = { n: 0, ne: 45, e: 90, se: 135, s: 180, sw: 225, w: 270, nw: 315, north: 0, east: 90, south: 180, west: 270 };

class Drawing {
  constructor(context, stops, keep) {
    Object.assign(this, { context, visit: context.visit, keep, stops });
    this.plane = new Plane({
      label: say.plane,
      help: say.help,
      taps: (place, key) => this.tap(place, key),
      drags: (state, place, key) => this.drag(state, place, key),
      drawn: () => this.drawRings(),
    });
    this.told = el('p', { class: 'area', role: 'status' });
    this.wrong = el('div', {});
    this.corners = el('ol', { class: 'corners' });
    this.controls = el('div', { class: 'row' });
  }

  get state() {
    return this.visit.draft.drawing;
  }
  get rings() {
    return this.state.rings;
  }
  get open() {
    return this.state.closed ? null : this.rings[this.rings.length - 1];
  }

  change(what, mutate) {
    this.visit.change(what, (draft) => mutate(draft.drawing));
    this.refresh();
  }

  // ---- corners ----

  tap(place, key) {
    if (!this.open) return;
    if (!place) {
      tell(say.no_place);
      document.getElementById('corner-place').focus();
    } else if (key && key === this.keyOf(this.rings.length - 1, 0) && this.open.length > 2) this.close();
    else if (!key || !key.startsWith('corner')) this.add(place);
  }

  add(place) {
    if (!this.open) return;
    this.change(words.steps.corner, (drawing) => {
      drawing.rings[drawing.rings.length - 1].push(place.map((v) => Number(v.toFixed(7))));
    });
    tell(say.corner_told(this.open.length, this.areaText()));
    if (!this.plane.ground) this.plane.setBesides(this.round(place));
  }

  // Half a mile round the first corner.
  round(place) {
    const ground = makeGround(place);
    return [
      [-400, -400],
      [400, 400],
    ].map(ground.toGlobe);
  }

  keyOf(ring, corner) {
    return `corner-${ring}-${corner}`;
  }

  drag(state, place, key) {
    if (state === 'start') return Boolean(key && key.startsWith('corner'));
    const [, ring, corner] = key.split('-').map(Number);
    if (state === 'move') this.drawRings({ ring, corner, place });
    else if (state === 'end')
      this.change(words.steps.corner_moved, (drawing) => {
        drawing.rings[ring][corner] = place.map((v) => Number(v.toFixed(7)));
      });
    return true;
  }

  close() {
    this.change(words.steps.ring, (drawing) => {
      drawing.closed = true;
    });
    tell(say.ring_told(this.areaText()));
  }

  // ---- what is told ----

  planes(rings) {
    const ground = this.plane.ground || makeGround(rings[0][0] || [0, 0]);
    return rings.map((ring) => ring.map(ground.toPlane));
  }

  squareMeters() {
    const [outer, ...holes] = this.planes(this.rings).map((ring) => Math.abs(ringArea(ring)));
    return Math.max(0, outer - holes.reduce((sum, hole) => sum + hole, 0));
  }

  areaText() {
    return area(this.squareMeters() / 1e4);
  }

  trouble() {
    const crossed = this.planes(this.rings).some((ring) => ring.length > 3 && crossesItself(ring));
    return crossed ? say.crossed : null;
  }

  // ---- what is drawn ----

  drawRings(moved = null) {
    const rings = this.rings.map((ring, i) =>
      ring.map((place, k) => (moved && moved.ring === i && moved.corner === k ? moved.place : place)),
    );
    const last = rings.length - 1,
      { plane } = this;
    if (!plane.ground) return;
    const lines = rings.map((ring, i) =>
      svg('path', {
        d: plane.path([ring], i < last || this.state.closed),
        class: `ring ${i < last || this.state.closed ? 'closed' : ''} ${i ? 'hole' : ''}`,
      }),
    );
    const handles = rings.flatMap((ring, i) =>
      ring.map((place, k) => {
        const [x, y] = plane.at(place);
        return svg('circle', { cx: x, cy: y, class: `corner ${k === 0 ? 'first' : ''}`, 'data-key': this.keyOf(i, k) });
      }),
    );
    plane.layers.lines.replaceChildren(...lines);
    plane.layers.handles.replaceChildren(...handles);
  }

  refresh() {
    const focused = document.activeElement && document.activeElement.id;
    this.drawRings();
    const ring = this.rings[this.rings.length - 1],
      wrong = this.trouble();
    this.told.textContent = this.rings[0].length > 2 ? this.areaText() : say.begun(plural(this.rings[0].length, 'corner'));
    this.wrong.replaceChildren(wrong ? note('warning', wrong) : '');
    this.listCorners();
    this.controls.replaceChildren(
      this.open
        ? button(say.close, () => this.close(), { id: 'close-ring', disabled: ring.length < 3 || null })
        : button(
            say.hole,
            () =>
              this.change(words.steps.hole, (drawing) => {
                drawing.rings.push([]);
                drawing.closed = false;
              }),
            { id: 'hole' },
          ),
      button(
        say.afresh,
        () =>
          this.change(words.steps.afresh, (drawing) => {
            drawing.rings = [[]];
            drawing.closed = false;
          }),
        { class: 'quiet', id: 'afresh' },
      ),
      button(
        say.give_up,
        () => {
          this.visit.change(words.steps.field, (draft) => {
            draft.drawing = null;
          });
          this.context.again();
        },
        { class: 'quiet', id: 'give-up' },
      ),
    );
    this.typing.hidden = !this.open;
    this.save.hidden = Boolean(this.open) || Boolean(wrong);
    const same = focused && document.getElementById(focused);
    if (same && document.activeElement !== same) same.focus();
    else if (focused && focused !== 'close-ring' && !same && document.activeElement === document.body) this.plane.image.focus();
  }

  listCorners() {
    this.corners.replaceChildren(
      ...this.rings.flatMap((ring, i) =>
        ring.map((place, k) =>
          el(
            'li',
            {},
            `${i ? say.hole_corner(i) : ''}${place[1].toFixed(5)}, ${place[0].toFixed(5)} `,
            button(say.take_out, () => this.takeOut(i, k), { class: 'quiet small', 'aria-label': say.take_out_which(k + 1, i) }),
          ),
        ),
      ),
    );
  }

  takeOut(ring, corner) {
    this.change(words.steps.corner_out, (drawing) => {
      drawing.rings[ring].splice(corner, 1);
      if (drawing.rings[ring].length < 3 && ring === drawing.rings.length - 1) drawing.closed = false;
    });
  }

  // ---- typing instead of clicking ----

  typedPlace() {
    const place = field({
      id: 'corner-place',
      label: say.place,
      help: say.place_help,
      control: el('input', { type: 'text', autocomplete: 'off', inputmode: 'text' }),
    });
    const take = (event) => {
      event.preventDefault();
      const read = readPlace(place.value);
      if (!read) return place.problem(say.place_wrong);
      place.problem(null);
      place.control.value = '';
      this.add(read);
      if (!this.plane.besides) this.plane.setBesides(this.round(read));
    };
    return el('form', { class: 'inline', onsubmit: take }, place.element, el('button', { type: 'submit', text: say.add }));
  }

  typedStep() {
    const far = field({
      id: 'corner-far',
      label: say.far(lengthUnit()),
      control: el('input', { type: 'number', min: '1', step: 'any' }),
    });
    const where = field({
      id: 'corner-where',
      label: say.where,
      help: say.where_help,
      control: el('input', { type: 'text', autocomplete: 'off' }),
    });
    const take = (event) => {
      event.preventDefault();
      const text = where.value.toLowerCase(),
        heading = text in DIRECTIONS ? DIRECTIONS[text] : text === '' ? NaN : Number(text);
      const last = this.open && this.open[this.open.length - 1];
      far.problem(Number(far.value) > 0 ? null : say.far_wrong);
      where.problem(Number.isFinite(heading) ? (last ? null : say.no_first) : say.where_wrong);
      if (!(Number(far.value) > 0) || !Number.isFinite(heading) || !last) return;
      const { ground } = this.plane;
      this.add(ground.toGlobe(step(ground.toPlane(last), heading, toMeters(Number(far.value)))));
      where.control.focus();
    };
    return el(
      'form',
      { class: 'inline', onsubmit: take },
      far.element,
      where.element,
      el('button', { type: 'submit', text: say.add_step }),
    );
  }

  saveForm() {
    const name = field({
      id: 'field-called',
      label: say.called,
      help: say.called_help,
      control: el('input', { type: 'text', maxlength: '60', autocomplete: 'off' }),
    });
    const take = async (event) => {
      event.preventDefault();
      if (!name.value) return name.problem(say.called_missing);
      try {
        await this.keep(
          this.rings,
          name.value,
          asGeoJson(
            name.value,
            this.rings.filter((ring) => ring.length > 2),
          ),
        );
      } catch (error) {
        name.problem(error.text);
      }
    };
    return el(
      'form',
      { class: 'card', onsubmit: take, hidden: true },
      name.element,
      el('button', { type: 'submit', class: 'main', text: say.save }),
    );
  }

  element() {
    this.save = this.saveForm();
    this.typing = el('div', {}, this.typedPlace(), this.typedStep());
    const drawn = this.rings.flat();
    const element = el(
      'div',
      { class: 'two wide' },
      el(
        'div',
        {},
        el('p', { text: this.stops.length ? say.over_stops(plural(this.stops.length, 'stop')) : say.how }),
        this.plane.element,
      ),
      el(
        'div',
        {},
        this.told,
        this.wrong,
        this.controls,
        this.save,
        this.typing,
        el('details', {}, el('summary', { text: say.corners }), this.corners),
      ),
    );
    this.plane.setStops(this.stops.map((place, i) => ({ place, key: `stop-${i}`, kind: 'some' })));
    if (!this.stops.length && drawn.length) this.plane.setBesides([...drawn, ...this.round(drawn[0])]);
    else this.plane.setBesides(drawn);
    this.refresh();
    return element;
  }
}

export const drawingPlace = (context, stops, keep) => new Drawing(context, stops, keep).element();
