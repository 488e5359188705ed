// Reads a layer of a survey: one band of 32-bit floats in deflated tiles (TIFF 6.0; Adobe Photoshop TIFF technical
// notes 2002 and 3 for deflate and the floating point predictor).

const SIZES = { 1: 1, 2: 1, 3: 2, 4: 4, 12: 8, 16: 8 };
const READERS = { 3: 'getUint16', 4: 'getUint32', 12: 'getFloat64' };

// The values of the tags of the first image, by tag.
function readTags(view) {
  if (view.getUint16(0, true) !== 0x4949 || view.getUint16(2, true) !== 42) throw new Error('no little-endian TIFF');
  const start = view.getUint32(4, true),
    tags = {};
  for (let i = 0; i < view.getUint16(start, true); i++) {
    const at = start + 2 + 12 * i,
      type = view.getUint16(at + 2, true),
      count = view.getUint32(at + 4, true),
      size = SIZES[type] || 0;
    const from = size * count <= 4 ? at + 8 : view.getUint32(at + 8, true);
    if (READERS[type])
      tags[view.getUint16(at, true)] = Array.from({ length: count }, (_, k) => view[READERS[type]](from + k * size, true));
  }
  return tags;
}

const inflate = async (bytes) =>
  new Uint8Array(await new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'))).arrayBuffer());

// Rows of differences of bytes, the bytes of all values apart, the most significant first.
function unpredict(bytes, width, height, out) {
  const view = new DataView(new ArrayBuffer(4));
  for (let y = 0; y < height; y++) {
    const row = bytes.subarray(4 * width * y, 4 * width * (y + 1));
    for (let i = 1; i < row.length; i++) row[i] += row[i - 1];
    for (let x = 0; x < width; x++) {
      for (let k = 0; k < 4; k++) view.setUint8(k, row[k * width + x]);
      out[y * width + x] = view.getFloat32(0, false);
    }
  }
}

async function readTile(buffer, tags, tile, out) {
  const [width] = tags[322],
    [height] = tags[323],
    from = tags[324][tile];
  const bytes = await inflate(new Uint8Array(buffer, from, tags[325][tile]));
  if ((tags[317] || [1])[0] === 3) unpredict(bytes, width, height, out);
  else out.set(new Float32Array(bytes.buffer));
}

// { values of the cells inside the field, ascending; hectares of a cell }
export async function readLayer(url) {
  const buffer = await (await fetch(url)).arrayBuffer(),
    tags = readTags(new DataView(buffer));
  const [width] = tags[256],
    [height] = tags[257],
    [tileWidth] = tags[322],
    [tileHeight] = tags[323],
    across = Math.ceil(width / tileWidth);
  if (tags[258][0] !== 32 || ![8, 32946].includes(tags[259][0])) throw new Error('not of deflated floats');
  const inside = [],
    tile = new Float32Array(tileWidth * tileHeight);
  for (let i = 0; i < tags[324].length; i++) {
    if (!tags[325][i]) continue; // nothing of the field lies there
    await readTile(buffer, tags, i, tile);
    const left = (i % across) * tileWidth,
      top = Math.floor(i / across) * tileHeight;
    for (let y = 0; y < Math.min(tileHeight, height - top); y++)
      for (let x = 0; x < Math.min(tileWidth, width - left); x++)
        if (tile[y * tileWidth + x] >= 0) inside.push(tile[y * tileWidth + x]);
  }
  return { values: Float32Array.from(inside).sort(), cell: (tags[33550][0] * tags[33550][1]) / 1e4 };
}

// Hectares of the ground with this value or more.
export function hectaresFrom({ values, cell }, least) {
  let low = 0,
    high = values.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle] < least) low = middle + 1;
    else high = middle;
  }
  return (values.length - low) * cell;
}
