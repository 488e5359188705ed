#!/usr/bin/env bash
# Task files of the demo survey: read by another author's library (isoxml, from the npm registry), by a schema of our own,
# by the bytes of the shapefile and by GDAL; the same bytes twice; refusals leave nothing behind.
set -euo pipefail
npm=$FOCI_BUILD/npm
mkdir -p "$npm"
if ! cmp -s "$npm/package-lock.json" "$FOCI_SOURCE/tests/npm/package-lock.json" || [[ ! -d $npm/node_modules/isoxml ]]; then
    command -v npm >/dev/null || { echo "skipped: npm is not installed"; exit 77; }
    rm -rf "$npm/package-lock.json"
    cp "$FOCI_SOURCE"/tests/npm/package.json "$FOCI_SOURCE"/tests/npm/.npmrc "$npm"
    cp "$FOCI_SOURCE/tests/npm/package-lock.json" "$npm/package-lock.json.new"
    mv "$npm/package-lock.json.new" "$npm/package-lock.json"
    if ! (cd "$npm" && npm ci --no-audit --no-fund --ignore-scripts >"$npm/log" 2>&1); then
        tail -3 "$npm/log"
        rm -f "$npm/package-lock.json"
        # Only a registry that does not answer is a reason to skip; packages that cannot be had from one that does are not.
        if (cd "$npm" && npm view --fetch-retries=0 jszip name >/dev/null 2>&1); then exit 1; fi
        echo "skipped: the npm registry cannot be reached"
        exit 77
    fi
fi
cp "$FOCI_SOURCE/tests/npm/check_task.mjs" "$npm" # an import is looked up beside the file

place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
demo=$FOCI_TESTDATA/demo
"$FOCI_PROGRAM" map "$demo/stops-2026.csv" --field "$demo/field.geojson" --hits infected --checked checked --id stop \
    --when date --threshold 10 --surface kriging --quiet --out survey
ogr2ogr -q zones.geojson survey/survey.gpkg zones
ogr2ogr -q field.geojson survey/survey.gpkg field

wrong=0
task() { # OUT OPTIONS...
    "$FOCI_PROGRAM" task survey --product "Mix A & B" --quiet --out "$@"
}

# A rate in the file's steps: L/ha x 10000, kg/ha x 100. 7.5 gal/ac = 7.5 x 3.785411784 / 0.40468564224 = 70.154672...
# L/ha, 15 gal/ac = 140.309345... L/ha; 12.5 lb/ac = 12.5 x 0.45359237 / 0.40468564224 = 14.010639... kg/ha.
check() { # VERSION LAYOUT DDI TREAT DIG LEAVE (steps) TREAT DIG LEAVE (rates) UNIT
    local out=v$1-$2-$3
    task "$out" --treat "$7" --dig "$8" --leave "$9" --unit "${10}" --standard "$1" --layout "$2" --form taskdata \
        --form shapefile --form geojson
    xmllint --nonet --noout --relaxng "$FOCI_SOURCE/tests/schema/task.rng" "$out/TASKDATA/TASKDATA.XML" 2>schema.log ||
        { cat schema.log; wrong=1; }
    node "$npm/check_task.mjs" "$out" survey/survey.json zones.geojson field.geojson "{\"version\":\"$1\",\"layout\":\"$2\",
        \"ddi\":\"$3\",\"steps\":{\"treat\":$4,\"dig\":$5,\"leave\":$6},\"rates\":{\"treat\":$7,\"dig\":$8,\"leave\":$9},
        \"unit\":\"${10}\"}" || { echo "in $out"; wrong=1; }
}
for version in 3 4; do
    for layout in grid polygons; do
        check $version $layout 0001 1403093 701547 0 15 7.5 0 gal/ac
        check $version $layout 0006 1401 0 0 12.5 0 0 lb/ac
    done
done

# GDAL opens both, and finds no shape that crosses itself.
for file in v3-grid-0001/zones.shp v3-grid-0001/zones.geojson; do
    valid=$(ogrinfo -q -ro "$file" -dialect sqlite -sql "select count(*) as n from zones where ST_IsValid(geometry)" |
        sed -n 's/.*n (Integer.*) = //p')
    [[ $valid == 3 ]] || { echo "$file: $valid of 3 shapes are valid"; wrong=1; }
done

# The same bytes, at another time and after an overwrite; what others put beside stays.
task again --treat 15 --dig 7.5 --unit gal/ac --form geojson,taskdata --form shapefile
diff -r v3-grid-0001 again || wrong=1
echo mine >again/note.txt
sleep 1
task again --treat 15 --dig 7.5 --unit gal/ac --form shapefile --form taskdata --overwrite
[[ $(cat again/note.txt) == mine && ! -e again/zones.geojson ]] || { echo "overwriting kept or lost too much"; wrong=1; }
cmp again/zones.dbf v3-grid-0001/zones.dbf || wrong=1

refuse() { # STATUS WORDS OUT OPTIONS...
    local status=0
    task "${@:3}" 2>refused.log || status=$?
    if [[ $status != "$1" ]] || ! grep -qF -- "$2" refused.log || [[ $(wc -l <refused.log) != 1 ]]; then
        echo "exit status $status, not $1 with '$2': $(cat refused.log)"
        wrong=1
    fi
    [[ $3 == again || ! -e $3 ]] || { echo "$3 was left behind"; wrong=1; }
}
refuse 1 "already there" again --treat 15 --unit gal/ac
refuse 2 "--treat" none --unit gal/ac
refuse 2 "--unit" none --treat 15
refuse 2 "--product" none --treat 15 --unit L/ha --product ""
refuse 2 "--treat" none --treat -3 --unit L/ha
refuse 2 "--dig" none --treat 15 --dig -3 --unit L/ha
refuse 2 "check the unit" none --treat 1e9 --unit L/ha
refuse 2 "--form" none --treat 15 --unit L/ha --form paper
mkdir again/TASKDATA/LOG
refuse 1 "LOG" again --treat 15 --unit L/ha --overwrite

# A disease that needs a laboratory's word first.
sed -i 's/"disease": null/"disease": {"title": "A rot", "laboratory": true}/' survey/survey.json
refuse 1 "laboratory's word" none --treat 15 --unit L/ha
task even --treat 15 --unit L/ha --even-so "named by the laboratory"
grep -qF 'B="even so: named by the laboratory"' even/TASKDATA/TASKDATA.XML
grep -qxF -- "- named by the laboratory" even/README.txt
exit $wrong
