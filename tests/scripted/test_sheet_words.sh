#!/usr/bin/env bash
# What prevents harm is never cut off: every caution and warning of survey.json stands whole on the sheet, in order, for
# fields of every shape, four profiles and both papers. Read with pdftotext; the picture is the same drawing, and is
# higher than a sheet just where the PDF has more than one page.
set -euo pipefail
[[ $(basename "$FOCI_BUILD") != sanitize ]] || exit 77 # the drawing itself is sanitized in tests/show
command -v pdftotext >/dev/null || { echo "pdftotext is missing (poppler-utils)"; exit 1; }
here=$FOCI_SOURCE/tests/scripted
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
python3 "$here/make_sheets.py" .
wrong=0 sheets=0

sheet() { # STOPS FIELD OUT OPTIONS...
    local out=$3
    "$FOCI_PROGRAM" map "$1" --field "$2" --hits hits --checked checked --when date --threshold 10 --crs EPSG:32631 \
        --surface idw --quiet --out "$out" "${@:4}" 2>err || { cat err; wrong=1; return; }
    pdftotext -raw "$out/map.pdf" text
    python3 "$here/check_sheet.py" "$out/survey.json" text || { echo "  ($*)"; wrong=1; }
    local pages height
    pages=$(pdfinfo "$out/map.pdf" | sed -n 's/^Pages: *//p')
    height=$(gdalinfo "$out/map.png" 2>/dev/null | sed -n 's/^Size is [0-9]*, //p')
    (((pages > 1) == (height > 1236))) || { echo "$out: $pages pages, picture $height high"; wrong=1; }
    sheets=$((sheets + 1))
}

for shape in strip square garden circle corner; do
    for disease in southern-stem-rot-of-peanut pod-rot-of-peanut sclerotinia-stem-rot-of-soybean longest.json; do
        for paper in letter a4; do
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

# The README of a task says the same in the same order.
"$FOCI_PROGRAM" task square-longest-letter --treat 15 --unit gal/ac --product "Mix" --even-so "a test" --out task --quiet
python3 "$here/check_sheet.py" square-longest-letter/survey.json task/README.txt task/README.txt || wrong=1
((sheets == 42)) || wrong=1
exit $wrong
