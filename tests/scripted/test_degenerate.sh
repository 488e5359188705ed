#!/usr/bin/env bash
# Input that is thin, flat, piled up or large: a map or one clear line, never a crash, never a hang.
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"

field() { # FILE EAST NORTH ZONE
    printf '{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::%s"}},"features":[{"type":"Feature","properties":{"name":"trial"},"geometry":{"type":"Polygon","coordinates":[[[%d,%d],[%d,%d],[%d,%d],[%d,%d],[%d,%d]]]}}]}\n' \
        "$4" "$2" "$3" $(($2 + 400)) "$3" $(($2 + 400)) $(($3 + 400)) "$2" $(($3 + 400)) "$2" "$3" >"$1"
}

# Stops by awk: N, an expression for the hits of 20 (x and y run from 0 to 400), and for the place.
stops() { # FILE N HITS [EAST NORTH PLACE]
    awk -v n="$2" -v east="${4:-500000}" -v north="${5:-3500000}" 'BEGIN {
        srand(7); print "x,y,hits,checked,score"
        for (i = 0; i < n; i++) {
            x = rand() * 400; y = rand() * 400; '"${6:-}"'
            h = '"$3"'
            printf "%.3f,%.3f,%d,20,%d\n", east + x, north + y, h, h
        }
    }' >"$1"
}

bump='int(rand() * 4 + ((x - 100)^2 + (y - 200)^2 < 8000 ? 9 : 0))'
field field.geojson 500000 3500000 32617
field south.geojson 500000 9400000 32717
stops three.csv 3 "$bump"
stops one.csv 1 4
stops line.csv 30 "$bump" 500000 3500000 'y = x;'
stops equal.csv 40 4
stops zero.csv 40 0
stops full.csv 40 20
stops hot.csv 61 'i == 30 ? 20 : 0'
stops piled.csv 100 "$bump" 500000 3500000 'if (i % 5 == 0) { x = 40 * (i % 7) + 20; y = 40 * (i % 3) + 20 }'
stops many.csv 5000 "$bump"
stops south.csv 60 "$bump" 500000 9400000

failed=0
try() { # STOPS FIELD CRS OPTIONS...
    local name=$1 boundary=$2 crs=$3 status=0
    shift 3
    timeout 60 "$FOCI_PROGRAM" map "$name.csv" --field "$boundary" --crs "$crs" --threshold 15 --cell 20 --out out \
        --overwrite --quiet "$@" 2>message || status=$?
    if [[ $status -gt 1 || ($status -eq 1 && $(wc -l <message) -ne 1) ]]; then
        echo "FAIL $name $*: status $status"
        cat message
        failed=$((failed + 1))
    fi
    # every chance in the summary lies within 0 and 1
    if [[ $status -eq 0 ]] &&
        awk -F '[:,]' '/"chance":/ && $2 !~ /null/ { if ($2 + 0 < 0 || $2 + 0 > 1) bad = 1 } END { exit !bad }' out/survey.json; then
        echo "FAIL $name $*: impossible numbers in survey.json"
        failed=$((failed + 1))
    fi
}

for name in three one line equal zero full hot piled many; do
    try "$name" field.geojson EPSG:32617 --hits hits --checked checked
    try "$name" field.geojson EPSG:32617 --value score
    if [[ $name != many ]]; then
        try "$name" field.geojson EPSG:32617 --value score --surface kriging --trend 1
        try "$name" field.geojson EPSG:32617 --value score --surface indicator
    fi
done
try south south.geojson EPSG:32717 --hits hits --checked checked --row-heading 30
try south south.geojson EPSG:32717 --value score --scale box-cox=0.5 --limits 0,20

if ((failed)); then exit 1; fi
echo "all went through"
