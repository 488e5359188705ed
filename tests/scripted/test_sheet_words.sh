#!/usr/bin/env bash
# What prevents harm is never cut off: every caution and warning of survey.json stands whole on the sheet, in order, for
# fields of every shape and four profiles, two of the shapes on both papers. Read with pdftotext; the picture is the same drawing, and is
# higher than a sheet just where the PDF has more than its page and the one to take along.
set -euo pipefail
[[ $(basename "$FOCI_BUILD") != sanitize ]] || exit 77 # the drawing itself is sanitized in tests/show
command -v pdftotext >/dev/null || { echo "pdftotext is missing (poppler-utils)"; exit 1; }
here=$FOCI_SOURCE/tests/scripted
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
python3 "$here/make_sheets.py" . "$FOCI_SOURCE/src/data/profiles/pod-rot-of-peanut.json"
wrong=0 sheets=0

sheet() { # STOPS FIELD OUT OPTIONS...
    local out=$3
    "$FOCI_PROGRAM" map "$1" --field "$2" --hits hits --checked checked --when date --threshold 10 --crs EPSG:32631 \
        --surface idw --quiet --out "$out" "${@:4}" 2>err || { cat err; wrong=1; return; }
    pdftotext -raw "$out/map.pdf" text
    python3 "$here/check_sheet.py" "$out/survey.json" text --rows || { echo "  ($*)"; wrong=1; }
    local pages width height
    pages=$(pdfinfo "$out/map.pdf" | sed -n 's/^Pages: *//p')
    ! grep -q "To take along" text || pages=$((pages - 1))
    read -r width height < <(gdalinfo "$out/map.png" 2>/dev/null | sed -n 's/^Size is \([0-9]*\), /\1 /p')
    (((pages > 1) == (width * height > 1600 * 1236))) || { echo "$out: $pages pages, picture $height high"; wrong=1; }
    sheets=$((sheets + 1))
}

for shape in strip square garden circle corner; do
    for disease in southern-stem-rot-of-peanut pod-rot-of-peanut sclerotinia-stem-rot-of-soybean longest.json; do
        for paper in letter a4; do
            # A page of another size holds the same drawing: a long and a square field tell for all.
            [[ $paper == letter || $shape == strip || $shape == square ]] || continue
            sheet "$shape.csv" "$shape.geojson" "$shape-${disease%.json}-$paper" --disease "$disease" --paper "$paper"
        done
    done
done
sheet line.csv square.geojson line --disease pod-rot-of-peanut
sheet few.csv square.geojson few --disease longest.json
for stops in line few; do
    python3 - "$stops/survey.json" <<'PY' || { echo "$stops: what the stops cannot tell is no warning"; wrong=1; }
import json, sys
said = json.load(open(sys.argv[1]))
wanted = {"line": ["lie on one line", "over 19 days"], "few": ["A map takes at least 20"]}[sys.argv[1].split("/")[0]]
sys.exit(not all(any(w in s for s in said["warnings"]) for w in wanted))
PY
done

# A long name wraps, and what stands after it stays; so does what stands after a name that runs from right to left.
python3 - square.geojson <<'PY'
import json, sys
field = json.load(open(sys.argv[1]))
for file, name in (("long", "The field behind the old mill " * 20), ("hebrew", "\u05e9\u05d3\u05d4 12")):
    field["features"][0]["properties"]["name"] = name
    json.dump(field, open(f"{file}.geojson", "w"))
PY
for name in long hebrew; do
    sheet square.csv $name.geojson $name --disease pod-rot-of-peanut
    if ! grep -q 'stops used, none found' text || ! grep -q '2026' text; then
        echo "$name: dates or counts are gone"
        wrong=1
    fi
done
grep -qF ', 39.6 acres (16.0 ha)' text || { echo "hebrew: numbers are jumbled"; wrong=1; }

# The sheet of a comparison, and its report.
for year in 2024 2026; do
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-$year.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --hits infected \
        --checked checked --id stop --when date --disease sclerotinia-stem-rot-of-soybean --threshold 10 --cell 5 \
        --digs 0 --quiet --out "$year"
done
"$FOCI_PROGRAM" seasons 2024 2026 --out both --quiet
pdftotext -raw both/persistence.pdf text
sed -e '/<figure>/,/<\/figure>/d' -e 's/<[^>]*>//g' -e "s/&#39;/'/g; s/&amp;/\&/g" both/report.html >report.txt
python3 "$here/check_sheet.py" both/seasons.json text report.txt || wrong=1

# The README of a task says the same in the same order.
"$FOCI_PROGRAM" task square-longest-letter --treat 15 --unit gal/ac --product "Mix" --even-so "a test" --out task --quiet
python3 "$here/check_sheet.py" square-longest-letter/survey.json task/README.txt task/README.txt || wrong=1
((sheets == 32)) || wrong=1
exit $wrong
