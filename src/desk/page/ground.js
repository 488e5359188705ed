// The plane that the page draws on: meters east and north of a place, true to a meter over a farm.

const RAD = Math.PI / 180;
const A = 6378137,
  E2 = 0.00669437999014; // WGS84 (NIMA TR8350.2): semi-major axis, first eccentricity squared

// Meters for a degree there: along the meridian and the parallel (radii of curvature of the ellipsoid).
export function makeGround([lon, lat]) {
  const w = Math.sqrt(1 - E2 * Math.sin(lat * RAD) ** 2);
  const north = (RAD * A * (1 - E2)) / w ** 3,
    east = (RAD * A * Math.cos(lat * RAD)) / w;
  return {
    middle: [lon, lat],
    toPlane: ([x, y]) => [(x - lon) * east, (y - lat) * north],
    toGlobe: ([x, y]) => [lon + x / east, lat + y / north],
  };
}

export function boundsOf(points) {
  const box = { west: Infinity, south: Infinity, east: -Infinity, north: -Infinity };
  for (const [x, y] of points) {
    box.west = Math.min(box.west, x);
    box.east = Math.max(box.east, x);
    box.south = Math.min(box.south, y);
    box.north = Math.max(box.north, y);
  }
  return box;
}

export const cornersOf = (outline) => (outline ? outline.coordinates.flat(2) : []);

export function middleOf(points) {
  const box = boundsOf(points);
  return [(box.west + box.east) / 2, (box.south + box.north) / 2];
}

// Square meters, positive where the ring runs against the clock.
export function ringArea(ring) {
  let twice = 0;
  for (let i = 0; i < ring.length; i++) {
    const [x, y] = ring[i],
      [nextX, nextY] = ring[(i + 1) % ring.length];
    twice += x * nextY - nextX * y;
  }
  return twice / 2;
}

function inRing([x, y], ring) {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [ax, ay] = ring[i],
      [bx, by] = ring[j];
    if (ay > y !== by > y && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
  }
  return inside;
}

// Even-odd over all rings: holes are outside.
export const inOutline = (point, outline) =>
  outline.coordinates.flat().reduce((inside, ring) => (inRing(point, ring) ? !inside : inside), false);

const side = ([ax, ay], [bx, by], [cx, cy]) => Math.sign((bx - ax) * (cy - ay) - (by - ay) * (cx - ax));

// Whether two sides of a closed ring cross.
export function crossesItself(ring) {
  const count = ring.length,
    at = (i) => ring[i % count];
  for (let i = 0; i < count; i++)
    for (let k = i + 2; k < count; k++) {
      if (i === 0 && k === count - 1) continue;
      if (
        side(at(i), at(i + 1), at(k)) !== side(at(i), at(i + 1), at(k + 1)) &&
        side(at(k), at(k + 1), at(i)) !== side(at(k), at(k + 1), at(i + 1))
      )
        return true;
    }
  return false;
}

// Clockwise from north, 0 up to 180: rows run both ways.
export function rowHeading([ax, ay], [bx, by]) {
  const degrees = Math.round(Math.atan2(bx - ax, by - ay) / RAD);
  return ((degrees % 180) + 180) % 180;
}

export const step = ([x, y], heading, meters) => [x + meters * Math.sin(heading * RAD), y + meters * Math.cos(heading * RAD)];

// Rings of a drawing as GeoJSON (RFC 7946: the outer one against the clock, holes with it, closed).
export function asGeoJson(name, rings) {
  const wound = rings.map((ring, i) => {
    const turned = ringArea(ring) > 0 === (i === 0) ? ring : [...ring].reverse();
    return [...turned, turned[0]].map(([lon, lat]) => [Number(lon.toFixed(7)), Number(lat.toFixed(7))]);
  });
  return (
    JSON.stringify({
      type: 'FeatureCollection',
      features: [{ type: 'Feature', properties: { name }, geometry: { type: 'Polygon', coordinates: wound } }],
    }) + '\n'
  );
}

// "42.9737, -39.3412" as a phone shows it, north first; degrees, minutes and letters too. [lon, lat] or null.
export function readPlace(text) {
  const parts = text
    .trim()
    .toUpperCase()
    .match(/[-+]?\d+(?:\.\d+)?|[NSEW]/g);
  if (!parts || /[A-Z]/.test(text.toUpperCase().replace(/[NSEW]/g, ''))) return null;
  const numbers = parts.filter((one) => !/[NSEW]/.test(one)).map(Number),
    letters = parts.filter((one) => /[NSEW]/.test(one));
  if (numbers.length < 2 || numbers.length % 2 || numbers.length > 6) return null;
  const half = numbers.length / 2;
  const degrees = (list) => Math.sign(list[0] || 1) * list.reduce((sum, one, i) => sum + Math.abs(one) / 60 ** i, 0);
  let lat = degrees(numbers.slice(0, half)),
    lon = degrees(numbers.slice(half));
  if (letters.includes('S')) lat = -Math.abs(lat);
  if (letters.includes('W')) lon = -Math.abs(lon);
  return Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? [lon, lat] : null;
}
