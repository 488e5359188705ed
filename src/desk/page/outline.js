// The outline of the field that a visit has chosen, as far as its file tells which of several it is.
import * as api from '/page/api.js';
import { makeGround, middleOf, cornersOf, ringArea } from '/page/ground.js';

// One polygon for each name: they stand in the same order. Else all of them are shown.
export function outlineOf(look, name) {
  const at = name && look.outline && look.names.length === look.outline.coordinates.length ? look.names.indexOf(name) : -1;
  return at < 0 ? look.outline : { type: 'MultiPolygon', coordinates: [look.outline.coordinates[at]] };
}

// Hectares, where only a part of the file's area is meant.
export function hectaresOf(look, name) {
  const outline = outlineOf(look, name);
  if (outline === look.outline) return look.area_ha;
  const { toPlane } = makeGround(middleOf(cornersOf(outline)));
  const [outer, ...holes] = outline.coordinates[0].map((ring) =>
    Math.abs(ringArea(ring.slice(0, -1).map((place) => toPlane(place)))),
  );
  return (outer - holes.reduce((sum, hole) => sum + hole, 0)) / 1e4;
}

// null where there is none, or none that can be read.
export async function chosenOutline({ draft }) {
  if (!draft.field) return null;
  const look = await api.look('fields', draft.field.file).catch(() => null);
  return look && outlineOf(look, draft.field.name);
}
