// Reads what `fieldfoci task` wrote with other people's eyes: the task data through the library isoxml, the shapefile
// byte by byte (its white paper of July 1998), GeoJSON as JSON; and compares all with the survey.
// Usage: node check_task.mjs FOLDER SURVEY.json ZONES.geojson FIELD.geojson EXPECT
//   ZONES and FIELD: the survey's layers (as another program gives them); EXPECT: JSON,
//   {"version":"3","layout":"grid","ddi":"0001","steps":{"treat":n,"dig":n,"leave":n},"rates":{...},"unit":"gal/ac"}
import { readFileSync, readdirSync, existsSync } from 'node:fs'
import { join } from 'node:path'
import { ISOXMLManager, ExtendedPolygon } from 'isoxml'
import JSZip from 'jszip'

const [folder, surveyFile, zonesFile, fieldFile, expectText] = process.argv.slice(2)
const expect = JSON.parse(expectText)
const survey = JSON.parse(readFileSync(surveyFile, 'utf8'))
const names = ['leave', 'dig', 'treat']
let wrong = 0
function check(yes, text) {
  if (yes) return
  console.error('WRONG: ' + text)
  wrong++
}
const near = (a, b, relative) => Math.abs(a - b) <= relative * Math.max(Math.abs(a), Math.abs(b))

// ---- the ellipsoid (WGS84): area below a parallel, Snyder 1987, equation 3-12; sides straight in degrees
const a = 6378137, f = 1 / 298.257223563, e2 = f * (2 - f), e = Math.sqrt(e2), radian = Math.PI / 180
function below(latitude) {
  const s = Math.sin(latitude * radian)
  return (a * a * (1 - e2) / 2) * (s / (1 - e2 * s * s) + Math.atanh(e * s) / e)
}
// counter-clockwise: above 0. Simpson along each side: it is short, and `below` nearly straight there.
function ringArea(ring) {
  let sum = 0
  for (let i = 0; i + 1 < ring.length; i++) {
    const [x1, y1] = ring[i], [x2, y2] = ring[i + 1]
    sum -= (x2 - x1) * radian * (below(y1) + 4 * below((y1 + y2) / 2) + below(y2)) / 6
  }
  return sum
}
const closed = (ring) => ring.length >= 4 && ring[0][0] === ring.at(-1)[0] && ring[0][1] === ring.at(-1)[1]
const polygonsOf = (geometry) => geometry.type === 'Polygon' ? [geometry.coordinates] : geometry.coordinates
const polygonArea = (rings) => rings.reduce((sum, ring, i) => sum + (i ? -1 : 1) * Math.abs(ringArea(ring)), 0)
const shapeArea = (geometry) => polygonsOf(geometry).reduce((sum, rings) => sum + polygonArea(rings), 0)

// ---- where a place lies, by the survey's own zones
const rings = (geometry) => polygonsOf(geometry).flat()
function inside([x, y], geometry) {
  let odd = false
  for (const ring of rings(geometry))
    for (let i = 0; i + 1 < ring.length; i++) {
      const [x1, y1] = ring[i], [x2, y2] = ring[i + 1]
      if ((y1 > y) !== (y2 > y) && x < x1 + (y - y1) * (x2 - x1) / (y2 - y1)) odd = !odd
    }
  return odd
}
function metresToBorder([x, y], geometry) {
  const s2 = Math.sin(y * radian) ** 2
  const my = radian * a * (1 - e2) / (1 - e2 * s2) ** 1.5, mx = radian * a * Math.cos(y * radian) / Math.sqrt(1 - e2 * s2)
  let least = Infinity
  for (const ring of rings(geometry))
    for (let i = 0; i + 1 < ring.length; i++) {
      const px = (ring[i][0] - x) * mx, py = (ring[i][1] - y) * my
      const dx = (ring[i + 1][0] - ring[i][0]) * mx, dy = (ring[i + 1][1] - ring[i][1]) * my
      const t = Math.max(0, Math.min(1, -(px * dx + py * dy) / (dx * dx + dy * dy || 1)))
      least = Math.min(least, Math.hypot(px + t * dx, py + t * dy))
    }
  return least
}
const surveyZones = JSON.parse(readFileSync(zonesFile, 'utf8')).features
const field = JSON.parse(readFileSync(fieldFile, 'utf8')).features[0].geometry
const zoneAt = (place) => surveyZones.find((zone) => inside(place, zone.geometry))?.properties.zone ?? 'outside'
const borderOf = (place) => Math.min(metresToBorder(place, field), ...surveyZones.map((z) => metresToBorder(place, z.geometry)))
const zoneArea = (name) => survey.zones[name].area_ha * 1e4

// Park and Miller (1988): the same places on every machine
let state = 20260818
function random() {
  state = state * 48271 % 2147483647
  return state / 2147483647
}

// ---- task data
async function readTaskData() {
  const zip = new JSZip(), inner = join(folder, 'TASKDATA')
  for (const name of readdirSync(inner)) zip.file('TASKDATA/' + name, readFileSync(join(inner, name)))
  const manager = new ISOXMLManager()
  await manager.parseISOXMLFile(await zip.generateAsync({ type: 'uint8array' }), 'application/zip')
  check(manager.getWarnings().length === 0, 'isoxml warns: ' + manager.getWarnings().join('; '))
  for (const [id, reference] of Object.entries(manager.xmlReferences)) check(reference.entity, id + ' is not defined')
  return manager
}

function checkPlaces(diagonal, extent, codeAt) {
  const counts = { treat: 0, dig: 0, leave: 0, outside: 0 }, [west, south, east, north] = extent
  const margin = [(east - west) * 0.05, (north - south) * 0.05]
  let places = 0
  for (let tries = 0; places < 200 && tries < 100000; tries++) {
    const place = [west - margin[0] + random() * (east - west + 2 * margin[0]), south - margin[1] + random() * (north - south + 2 * margin[1])]
    if (borderOf(place) < diagonal) continue
    const zone = zoneAt(place), name = codeAt(place)
    check(name === zone, `at ${place} the file says ${name}, the survey ${zone}`)
    counts[zone]++
    places++
  }
  check(places === 200 && ['treat', 'leave', 'outside'].every((zone) => counts[zone] >= 10), 'too few places: ' + JSON.stringify(counts))
  return counts
}

function checkGrid(task, zones) {
  const grids = task.attributes.Grid ?? []
  check(grids.length === 1, 'no single grid')
  const grid = grids[0].attributes, bytes = grids[0].binaryData
  const { GridMinimumNorthPosition: south, GridMinimumEastPosition: west, GridCellNorthSize: north, GridCellEastSize: east } = grid
  const rows = grid.GridMaximumRow, columns = grid.GridMaximumColumn, areas = {}
  check(grid.GridType === '1' && rows <= 350 && columns <= 350, 'grid is not of type 1 or too large')
  check(bytes.length === rows * columns && grid.Filelength === bytes.length, 'grid file has the wrong length')
  for (let i = 0; i < bytes.length; i++) {
    const row = Math.floor(i / columns), zone = zones.get(bytes[i])
    if (!zone) { check(false, 'cell code without zone: ' + bytes[i]); break }
    areas[zone.name] = (areas[zone.name] ?? 0) + (below(south + (row + 1) * north) - below(south + row * north)) * east * radian
  }
  const width = east * radian * a * Math.cos(south * radian), height = north * 111132 // near enough for a diagonal
  check(Math.hypot(width, height) >= 2 * Math.SQRT2 * 0.99, 'cells are smaller than 2 m')
  const counts = checkPlaces(1.01 * Math.hypot(width, height), [west, south, west + columns * east, south + rows * north], ([x, y]) => {
    const column = Math.floor((x - west) / east), row = Math.floor((y - south) / north)
    return row < 0 || column < 0 || row >= rows || column >= columns ? 'outside' : zones.get(bytes[row * columns + column]).name
  })
  return [areas, `${columns} x ${rows} cells, places ${JSON.stringify(counts)}`]
}

function checkPolygons(zones) {
  const areas = {}, shapes = []
  for (const zone of zones.values()) {
    if (!zone.polygons.length) continue
    check(expect.version === '4' || zone.polygons.length === 1, 'version 3 takes one polygon for a zone')
    if (expect.version === '4')
      for (const polygon of zone.polygons)
        check(polygon.attributes.LineString.filter((line) => line.attributes.LineStringType === '1').length === 1, 'version 4 takes one outer ring for a polygon')
    for (const line of zone.polygons.flatMap((polygon) => polygon.attributes.LineString))
      check(closed(line.attributes.Point.map((p) => [p.attributes.PointEast, p.attributes.PointNorth])), 'a ring is open')
    const geometry = ExtendedPolygon.toGeoJSON(zone.polygons)
    areas[zone.name] = shapeArea(geometry)
    shapes.push([zone.name, geometry])
  }
  const all = shapes.flatMap(([, geometry]) => rings(geometry)).flat(), xs = all.map((p) => p[0]), ys = all.map((p) => p[1])
  const counts = checkPlaces(0.01, [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
    (place) => shapes.find(([, geometry]) => inside(place, geometry))?.[0] ?? 'outside')
  return [areas, `polygons, places ${JSON.stringify(counts)}`]
}

async function checkTaskData() {
  const manager = await readTaskData(), root = manager.rootElement.attributes
  check(String(root.VersionMajor) === expect.version && String(root.VersionMinor) === '3', 'version is not ' + expect.version + '.3')
  check(root.Task.length === 1 && root.Partfield.length === 1, 'not one task on one field')
  const task = root.Task[0], stated = root.Partfield[0].attributes.PartfieldArea
  check(task.attributes.PartfieldIdRef && task.attributes.CustomerIdRef && task.attributes.FarmIdRef, 'a task needs field, customer and farm')
  check(Math.abs(stated - survey.field.area_ha * 1e4) <= 1, `the field's area is ${stated} m2`)
  check(near(shapeArea(root.Partfield[0].toGeoJSON()), stated, 1e-4), "the boundary's area is not that of the field")
  const zones = new Map()
  for (const zone of task.attributes.TreatmentZone) {
    const { TreatmentZoneCode: code, TreatmentZoneDesignator: label, ProcessDataVariable: rates } = zone.attributes
    const name = label.split(' ')[0]
    check(!zones.has(code), 'a zone code is there twice')
    check(rates.length === 1 && rates[0].attributes.ProcessDataDDI === expect.ddi, 'not one rate of DDI ' + expect.ddi)
    check(rates[0].attributes.ProcessDataValue === (expect.steps[name] ?? 0), `${label} is ${rates[0].attributes.ProcessDataValue}`)
    zones.set(code, { name, polygons: zone.attributes.PolygonTreatmentZoneonly ?? [] })
  }
  for (const key of ['DefaultTreatmentZoneCode', 'PositionLostTreatmentZoneCode', 'OutOfFieldTreatmentZoneCode'])
    check(zones.get(task.attributes[key])?.name === 'outside', key + ' is not the zone outside')
  const [areas, words] = expect.layout === 'grid' ? checkGrid(task, zones) : checkPolygons(zones)
  for (const name of names)
    check(near(areas[name] ?? 0, zoneArea(name), 0.01), `${name}: ${areas[name]} m2, the survey says ${zoneArea(name)}`)
  console.log(`version ${expect.version}, ${words}`)
}

// ---- shapefile
function readShapefile(stem) {
  const shp = readFileSync(stem + '.shp'), dbf = readFileSync(stem + '.dbf'), shapes = []
  check(shp.readInt32BE(0) === 9994 && shp.readInt32LE(28) === 1000 && shp.readInt32LE(32) === 5, 'the .shp header is wrong')
  check(shp.readInt32BE(24) * 2 === shp.length, 'the .shp states another length')
  for (let at = 100; at < shp.length; at += 8 + shp.readInt32BE(at + 4) * 2) {
    const parts = shp.readInt32LE(at + 8 + 36), points = shp.readInt32LE(at + 8 + 40), first = at + 8 + 44
    const starts = Array.from({ length: parts }, (_, i) => shp.readInt32LE(first + 4 * i)).concat(points)
    const place = (i) => [shp.readDoubleLE(first + 4 * parts + 16 * i), shp.readDoubleLE(first + 4 * parts + 16 * i + 8)]
    shapes.push(starts.slice(0, -1).map((start, i) => Array.from({ length: starts[i + 1] - start }, (_, k) => place(start + k))))
  }
  const header = dbf.readInt16LE(8), length = dbf.readInt16LE(10), fields = []
  for (let at = 32, offset = 1; dbf[at] !== 0x0d; offset += dbf[at + 16], at += 32)
    fields.push({ name: dbf.toString('latin1', at, at + 11).replace(/\0.*/, ''), type: String.fromCharCode(dbf[at + 11]), width: dbf[at + 16], decimals: dbf[at + 17], offset })
  const rows = Array.from({ length: dbf.readInt32LE(4) }, (_, i) => Object.fromEntries(fields.map((field) =>
    [field.name, dbf.toString('utf8', header + i * length + field.offset, header + i * length + field.offset + field.width).trim()])))
  return { shapes, rows, fields }
}

function checkShapefile() {
  const { shapes, rows, fields } = readShapefile(join(folder, 'zones')), numbers = fields.filter((field) => field.type === 'N')
  check(numbers.length === 1 && numbers[0].name === 'RATE' && numbers[0].width === 14 && numbers[0].decimals === 4, 'RATE is not the only number, N 14.4')
  check(readFileSync(join(folder, 'zones.prj'), 'latin1').startsWith('GEOGCS["GCS_WGS_1984",'), 'zones.prj is not WGS84')
  check(shapes.length === rows.length && rows.length === surveyZones.length, 'the shapefile has ' + shapes.length + ' shapes')
  const areas = {}
  rows.forEach((row, i) => {
    check(Math.abs(Number(row.RATE) - expect.rates[row.ZONE]) <= 5e-5 && row.UNIT === expect.unit, 'row ' + JSON.stringify(row))
    check(shapes[i].every(closed), 'a ring of the shapefile is open')
    areas[row.ZONE] = -shapes[i].reduce((sum, ring) => sum + ringArea(ring), 0) // outer rings clockwise: below 0
    // the areas add up only where every outer ring is clockwise and every hole is not
    check(near(areas[row.ZONE], zoneArea(row.ZONE), 1e-5), `shapefile, ${row.ZONE}: ${areas[row.ZONE]} m2, the survey says ${zoneArea(row.ZONE)}`)
  })
  return areas
}

// ---- GeoJSON
function checkGeojson() {
  const all = JSON.parse(readFileSync(join(folder, 'zones.geojson'), 'utf8')), areas = {}
  check(all.type === 'FeatureCollection' && !('crs' in all), 'not a feature collection of RFC 7946')
  check(all.features.length === surveyZones.length, 'GeoJSON has ' + all.features.length + ' features')
  for (const { properties, geometry } of all.features) {
    check(properties.rate === expect.rates[properties.zone] && properties.unit === expect.unit, 'properties ' + JSON.stringify(properties))
    for (const polygon of polygonsOf(geometry))
      polygon.forEach((ring, i) => check(closed(ring) && (ringArea(ring) > 0) === (i === 0), `ring ${i} of ${properties.zone} breaks the right-hand rule`))
    areas[properties.zone] = shapeArea(geometry)
    check(near(areas[properties.zone], zoneArea(properties.zone), 1e-5), `GeoJSON, ${properties.zone}: ${areas[properties.zone]} m2`)
  }
  return areas
}

if (existsSync(join(folder, 'TASKDATA'))) await checkTaskData()
const both = ['zones.shp', 'zones.geojson'].filter((name) => existsSync(join(folder, name)))
const [first, second] = both.map((name) => name === 'zones.shp' ? checkShapefile() : checkGeojson())
if (second) for (const name of Object.keys(first)) check(near(first[name], second[name], 1e-9), `shapefile and GeoJSON differ in ${name}`)
if (!existsSync(join(folder, 'TASKDATA')) && !both.length) check(false, 'nothing to check in ' + folder)
process.exit(wrong ? 1 : 0)
