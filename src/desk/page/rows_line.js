// The direction of the rows: a line pulled along one of them on the field, or its degrees.
import { el, svg, button, say as tell } from '/page/dom.js';
import { words } from '/page/words.js';
import { Plane } from '/page/plane.js';
import { boundsOf, cornersOf, middleOf, rowHeading, step } from '/page/ground.js';

const say = words.rows;

export class RowsLine {
  // `outline` of the field, `boxes` of the room.
  constructor(outline, boxes) {
    Object.assign(this, { outline, boxes, from: null, to: null });
    this.plane = new Plane({
      label: say.plane,
      help: say.help,
      drags: (state, place) => this.drag(state, place),
      taps: (place, key, event) => this.tap(place, event),
      drawn: () => this.draw(),
    });
  }

  get heading() {
    const text = this.boxes.get('row-heading');
    return text === '' || !Number.isFinite(Number(text)) ? null : Number(text);
  }

  drag(state, place) {
    if (state === 'start') this.from = place;
    else if (state === 'move') this.draw(place);
    else if (state === 'end') this.take(this.from, place);
    return this.plane.ground !== null;
  }

  // By keys: Enter takes one end under the cross, Enter again the other.
  tap(place, event) {
    if (event.type !== 'keydown') return;
    if (!this.first) {
      this.first = place;
      tell(say.first_end);
    } else {
      this.take(this.first, place);
      this.first = null;
    }
  }

  take(from, to) {
    const { ground } = this.plane;
    this.put(rowHeading(ground.toPlane(from), ground.toPlane(to)));
  }

  put(heading) {
    this.boxes.set('row-heading', heading === null ? '' : String(heading));
    const { control } = this.boxes.all['row-heading'];
    control.value = heading === null ? '' : String(heading);
    this.boxes.all['row-heading'].problem(null);
    tell(heading === null ? say.none_told : say.told(heading));
    this.draw();
  }

  // Lines over the whole field in that direction, so that one sees whether they lie along the rows.
  draw(pulled = null) {
    const { plane } = this,
      heading = pulled && this.from ? rowHeading(plane.ground.toPlane(this.from), plane.ground.toPlane(pulled)) : this.heading;
    if (!plane.ground) return;
    plane.layers.lines.replaceChildren();
    if (heading === null) return;
    const corners = cornersOf(this.outline).map(plane.ground.toPlane),
      box = boundsOf(corners),
      middle = middleOf(corners);
    const reach = Math.hypot(box.east - box.west, box.north - box.south) / 2;
    for (let i = -6; i <= 6; i++) {
      const through = step(middle, heading + 90, (i * reach) / 6.5),
        half = Math.sqrt(Math.max(0, reach ** 2 - ((i * reach) / 6.5) ** 2));
      const [a, b] = [step(through, heading, half), step(through, heading, -half)];
      plane.layers.lines.append(svg('path', { d: `M${a[0]} ${-a[1]}L${b[0]} ${-b[1]}`, class: `rows-line ${i ? 'faint' : ''}` }));
    }
  }

  element() {
    const box = this.boxes.box(
      'row-heading',
      'number',
      el(
        'div',
        { class: 'row' },
        button(say.left, () => this.put(((this.heading || 0) + 179) % 180), { class: 'quiet', id: 'rows-left' }),
        button(say.right, () => this.put(((this.heading || 0) + 1) % 180), { class: 'quiet', id: 'rows-right' }),
        button(say.unknown, () => this.put(null), { class: 'quiet', id: 'rows-unknown' }),
      ),
    );
    this.boxes.all['row-heading'].control.addEventListener('input', () => this.draw());
    const element = el('div', {}, this.plane.element, box);
    this.plane.setOutline(this.outline);
    return element;
  }
}
