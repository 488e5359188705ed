#!/usr/bin/env bash
# A photo under the map, in every format that is read: the same sheet, its credit on it; what is no such photo is refused
# in one line, and leaves nothing behind.
set -euo pipefail
[[ $(basename "$FOCI_BUILD") != sanitize ]] || exit 77 # the reading itself is sanitized in tests/data
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
wrong=0
fail() {
    echo "$*"
    wrong=1
}
map() { # OUT OPTIONS...
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --hits infected \
        --checked checked --threshold 10 --surface idw --cell 10 --digs 0 --quiet --out "$@"
}
map plain
gdal_translate -q -ot Byte -scale -outsize 300% 300% -mo TIFFTAG_COPYRIGHT="Wren Aerial 2026" plain/severity.tif photo.tif
gdal_translate -q -of PNG -co WORLDFILE=YES photo.tif photo.png
gdal_translate -q -of JPEG -co WORLDFILE=YES photo.tif photo.jpg
gdal_translate -q -of GPKG photo.tif photo.gpkg
gdal_translate -q -of VRT photo.tif photo.vrt
gdal_translate -q -of JP2OpenJPEG photo.tif photo.jp2 || fail "no JPEG 2000 can be made here"
for kind in tif png jpg gpkg jp2; do
    map "$kind" --photo "photo.$kind" --credit "Wren Aerial 2026" 2>err || { cat err; fail "$kind: no map"; continue; }
    ! cmp -s plain/map.png "$kind/map.png" || fail "$kind: the photo is not on the sheet"
    pdftotext "$kind/map.pdf" - | tr '\n' ' ' | grep -q 'Photo: Wren Aerial 2026\.' || fail "$kind: no credit"
done
cmp -s tif/map.png png/map.png || fail "the same photo as PNG makes another sheet"
map own --photo photo.tif
pdftotext own/map.pdf - | tr '\n' ' ' | grep -q 'Photo: Wren Aerial 2026\.' || fail "the file's own credit is not told"
# The report has it as a ground to switch to, with its credit.
grep -q 'data:image/jpeg;base64,' own/report.html && grep -q '<li>Photo: Wren Aerial 2026</li>' own/report.html ||
    fail "the photo is not in the report"
(($(stat -c %s own/report.html) < 2000000)) || fail "the report with a photo is larger than 2 MB"
map again --photo photo.tif
cmp -s own/report.html again/report.html || fail "the same photo twice is not the same report"
cmp -s own/map.png again/map.png || fail "the same photo twice is not the same sheet"

# Marks: lines, points and names from any vector file.
cat >marks.geojson <<'JSON'
{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"name":"Ferry Road"},"geometry":{"type":"LineString","coordinates":[[-39.35,42.975],[-39.33,42.976]]}},
{"type":"Feature","properties":{"name":"lone elm"},"geometry":{"type":"Point","coordinates":[-39.3372,42.9749]}}]}
JSON
map marked --marks marks.geojson
pdftotext marked/map.pdf - | grep -q 'lone elm' || fail "a mark's name is not on the sheet"
grep -q '<title>lone elm</title>' marked/report.html || fail "a mark is not on the report's map"

refused() { # WORDS OPTIONS...
    local words=$1 status=0
    shift
    map refused "$@" 2>err || status=$?
    ((status == 1 || status == 2)) || fail "$*: exit $status"
    (($(wc -l <err) == 1)) && grep -q -- "$words" err || { cat err; fail "$*: not said: $words"; }
    [[ ! -e refused ]] || fail "$*: something is left"
}
rm -f photo.png.aux.xml
refused 'not a photo' --photo photo.vrt
refused '--crs' --photo photo.png
rm photo.pgw 2>/dev/null || rm photo.wld
refused 'world file' --photo photo.png
refused 'not a photo' --photo "$FOCI_TESTDATA/demo/stops-2026.csv"
refused 'missing.tif' --photo missing.tif
refused 'missing.gpx' --marks missing.gpx
gdal_translate -q -a_ullr 500000 4000500 500500 4000000 -a_srs EPSG:32633 photo.tif far.tif
refused 'does not show the field' --photo far.tif
# One that ends before the field is refused too; one that shows a part of it is drawn, and that is said.
read -r west north east south < <(gdalinfo -json photo.tif | python3 -c '
import json, sys
corners = json.load(sys.stdin)["cornerCoordinates"]
print(*corners["upperLeft"], *corners["lowerRight"])')
beside() { python3 -c "print($west + $1 * ($east - $west), $north, $east + $1 * ($east - $west), $south)"; }
# shellcheck disable=SC2046 # four numbers
gdal_translate -q -a_ullr $(beside 1.02) photo.tif strip.tif
refused 'does not show the field' --photo strip.tif
# shellcheck disable=SC2046
gdal_translate -q -a_ullr $(beside 0.5) photo.tif half.tif
map half --photo half.tif
grep -qE 'The photo shows about [45][0-9] % of the field' half/survey.json || fail "half a photo is not said to be half"
exit $wrong
