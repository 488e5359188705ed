"""Writes the small files of test_bad_input.sh into the working folder: one good set, and what can be wrong with it."""

import json

LON, LAT = -39.340013, 42.970027
STEP = 0.0005  # about 41 m east, 56 m north


def stops(change=None, columns="lon,lat,stop,day,score,hits,checked"):
    """A 6 x 5 walk as CSV rows of texts; `change(row, index)` may alter each."""
    rows = []
    for index in range(30):
        east, north = index % 6, index // 6
        near = 4 - min(abs(east - 2) + abs(north - 3), 4)
        row = {
            "lon": f"{LON + (east + 0.4) * STEP:.6f}", "lat": f"{LAT + (north + 0.4) * STEP:.6f}",
            "stop": f"S{index + 1}", "day": "2026-08-18" if index < 15 else "2026-08-19",
            "score": f"{near * 7.3 + index % 3:.1f}", "hits": str(near * 4 + index % 2), "checked": "20",
        }
        if change:
            change(row, index)
        rows.append(row)
    names = columns.split(",")
    return columns + "\n" + "".join(",".join(row[name] for name in names) + "\n" for row in rows)


def write(name, text):
    with open(name, "w", encoding="utf-8") as file:
        file.write(text)


def field(file, ring, name, kind="Polygon"):
    coordinates = [[[LON + x * STEP, LAT + y * STEP] for x, y in ring]]
    if kind == "LineString":
        coordinates = coordinates[0]
    feature = {"type": "Feature", "properties": {"name": name}, "geometry": {"type": kind, "coordinates": coordinates}}
    write(file, json.dumps({"type": "FeatureCollection", "features": [feature]}))
    return feature


def put(column, text, where=lambda index: True):
    def change(row, index):
        if where(index):
            row[column] = text

    return change


def swap(where=lambda index: True):
    def change(row, index):
        if where(index):
            row["lon"], row["lat"] = row["lat"], row["lon"]

    return change


def flip(column, where=lambda index: True):
    def change(row, index):
        if where(index):
            row[column] = row[column][1:] if row[column].startswith("-") else "-" + row[column]

    return change


def first(count):
    return lambda index: index < count


square = [(-0.2, -0.2), (6, -0.2), (6, 5), (-0.2, 5), (-0.2, -0.2)]
feature = field("field.geojson", square, "Home piece")
field("far_field.geojson", [(x + 400, y) for x, y in square], "Far piece")
field("bowtie_field.geojson", [(-0.2, -0.2), (6, 5), (6, -0.2), (-0.2, 5), (-0.2, -0.2)], "Bow tie")
field("line_field.geojson", square[:3], "A fence", "LineString")
second = json.loads(json.dumps(feature))
second["properties"]["name"] = "Back piece"
write("two_fields.geojson", json.dumps({"type": "FeatureCollection", "features": [feature, second]}))
write("no_field.geojson", '{"type": "FeatureCollection", "features": []}')
write("broken.geojson", '{"type": "FeatureCollection", "features": [')

write("good.csv", stops())
write("empty.csv", "")
write("header_only.csv", "lon,lat,stop,score\n")
write("no_points.csv", stops(columns="stop,score,hits,checked"))
write("inch_marks.csv", stops(put("day", '12" deep', lambda index: index in (2, 20))))
write("open_quote.csv", stops(put("day", '"dry', lambda index: index == 3)))
write("two_pairs.csv", stops(lambda row, index: row.update(x=row["lon"], y=row["lat"]), "lon,lat,x,y,stop,score"))
write("meters.csv", stops(lambda row, index: row.update(x=str(472000 + index * 40), y=str(4757000 + index % 5 * 40)), "x,y,stop,score"))
write("prose.txt", "The field looked fine on Tuesday.\n")
write("notes.csv", "when,what\nTuesday,the field looked fine\n")
write("source.vrt", '<OGRVRTDataSource><OGRVRTLayer name="good"><SrcDataSource>good.csv</SrcDataSource>'
      "<GeometryType>wkbPoint</GeometryType><LayerSRS>WGS84</LayerSRS>"
      '<GeometryField encoding="PointFromColumns" x="lon" y="lat"/></OGRVRTLayer></OGRVRTDataSource>')

write("some_text.csv", stops(put("score", "many", first(2))))
write("all_text.csv", stops(put("score", "many")))
write("nan.csv", stops(put("score", "nan", first(1))))
write("infinite.csv", stops(put("score", "inf", first(1))))
write("huge_number.csv", stops(put("score", "1e999", first(1))))
write("decimal_comma.csv", stops(put("score", '"3,5"')))
write("some_comma.csv", stops(put("score", '"3,5"', first(2))))
write("blank.csv", stops(put("score", "", first(3))))
write("negative.csv", stops(put("score", "-4", first(1))))
write("fifty_five.csv", stops(put("score", "55", first(1))))
write("thousand.csv", stops(put("score", "1000", first(1))).replace(",score,", ",leaf_percent,"))
write("one_stop.csv", "\n".join(stops().split("\n")[:2]) + "\n")
write("two_stops.csv", "\n".join(stops().split("\n")[:3]) + "\n")
write("all_equal.csv", stops(put("score", "12.5")))
write("all_zero.csv", stops(lambda row, index: row.update(score="0", hits="0")))
write("hits_above.csv", stops(put("hits", "21", first(1))))
write("hits_above_all.csv", stops(put("hits", "21")))
write("half_hit.csv", stops(put("hits", "2.5", first(1))))
write("checked_zero.csv", stops(lambda row, index: index < 2 and row.update(hits="0", checked="0")))
write("many_checked.csv", stops(put("checked", "1000000", first(1))))
write("many_checked_all.csv", stops(put("checked", "1000000000")))
write("same_place.csv", stops(lambda row, index: index == 1 and row.update(lon=f"{LON + 0.4 * STEP:.6f}")))
write("swapped.csv", stops(swap()))
write("some_swapped.csv", stops(swap(first(2))))
write("flipped.csv", stops(flip("lon")))
write("some_flipped.csv", stops(flip("lat", first(2))))
write("null_island.csv", stops(lambda row, index: index == 0 and row.update(lon="0", lat="0")))
write("no_place.csv", stops(put("lon", "", first(1))))
write("outside.csv", stops(lambda row, index: index == 0 and row.update(lon=f"{LON - STEP:.6f}")))
write("just_outside.csv", stops(lambda row, index: index == 0 and row.update(lon=f"{LON - 0.25 * STEP:.6f}")))
write("one_line.csv", stops(lambda row, index: row.update(lon=f"{LON + index * 0.18 * STEP:.7f}", lat=f"{LAT + index * 0.15 * STEP:.7f}")))
write("bad_day.csv", stops(put("day", "2026-02-30", first(1))))
write("good.geojson", json.dumps({"type": "FeatureCollection", "features": [
    {"type": "Feature", "properties": {"score": 2.385}, "geometry": {"type": "LineString", "coordinates": [[LON, LAT], [LON + STEP, LAT]]}}]}))



def folders(shapes):
    inner = "".join(f"<Folder><name>{name}</name><Placemark><name>7</name>{shape}</Placemark></Folder>" for name, shape in shapes)
    return f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{inner}</Document></kml>'


point = f"<Point><coordinates>{LON},{LAT}</coordinates></Point>"
ring = " ".join(f"{LON + x * STEP},{LAT + y * STEP}" for x, y in square)
area = f"<Polygon><outerBoundaryIs><LinearRing><coordinates>{ring}</coordinates></LinearRing></outerBoundaryIs></Polygon>"
write("two_walks.kml", folders([("monday", point), ("outline", area), ("tuesday", point)]))
write("two_folders.kml", folders([("home", area), ("marks", point), ("back", area)]))

write("job_not_json.json", "{cell: 5")
field("fffe_field.geojson", square, "a\ufffeb")
field("tangle_field.geojson", [(6 * (i * 7919 % 1009) / 1009, 5 * (i * 104729 % 997) / 997) for i in range(1000)], "Tangle")
write("job_long.json", json.dumps({"program": {"name": "fieldfoci"}, "inputs": [{"sha256": "0" * 64}],
                                   "job": {f"k{i}": i for i in range(200000)}}))
write("job_no_job.json", '{"program": {"name": "fieldfoci"}}')
write("job_unknown.json", '{"job": {"swathe": 12}}')
write("job_device.json", '{"job": {"field": "field.geojson", "hits": "hits", "checked": "checked", "disease": "/dev/zero"}}')
write("job_grid.json", '{"job": {"crs": "+proj=longlat +ellps=clrk66 +nadgrids=grid.gsb"}}')
write("link_field.geojson", json.dumps({"type": "FeatureCollection", "features": [feature], "crs": {
    "type": "link", "properties": {"href": "http://127.0.0.1:9/x", "type": "proj4"}}}))
write("profile_broken.json", '{"name": "x"}')
write("places.csv", "lon,lat,place\n" + "".join(
    f"{LON + i % 50 * 0.1 * STEP:.7f},{LAT + i // 50 * 0.1 * STEP:.7f},place number {i}\n" for i in range(2000)))
