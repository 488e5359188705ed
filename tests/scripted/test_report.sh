#!/usr/bin/env bash
# The report as its readers have it: opened from disk in a browser without a network, with scripts and without, read by
# mouse, finger and keys, judged by axe-core (MPL-2.0), and printed.
set -euo pipefail
# shellcheck source=../support/browser_tools.sh
source "$FOCI_SOURCE/tests/support/browser_tools.sh"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
demo=$FOCI_TESTDATA/demo
counts=(--hits infected --checked checked --id stop --when date --disease sclerotinia-stem-rot-of-soybean --threshold 10)
"$FOCI_PROGRAM" map "$demo/stops-2026.csv" --field "$demo/field.geojson" "${counts[@]}" --cell 5 --quiet --out letter
"$FOCI_PROGRAM" map "$demo/stops-2026.csv" --field "$demo/field.geojson" "${counts[@]}" --cell 5 --quiet --out a4 \
    --paper a4 --surface idw
head -13 "$demo/stops-2026.csv" >few.csv
"$FOCI_PROGRAM" map few.csv --field "$demo/field.geojson" "${counts[@]}" --quiet --out few
"$FOCI_PROGRAM" map "$demo/stops-2024.csv" --field "$demo/field.geojson" "${counts[@]}" --cell 5 --surface idw --quiet --out before
"$FOCI_PROGRAM" seasons "$work/before" letter --quiet --out seasons
for round in letter a4 few seasons; do
    [[ $(stat -c %s $round/report.html) -lt 2000000 ]] || { echo "$round: the report is larger than 2 MB"; exit 1; }
    ! grep -qF "$work" $round/report.html || { echo "$round: the report tells a folder of this machine"; exit 1; }
done
# The whole job, files by their names alone.
for line in 'stops</strong> stops-2026.csv' 'threshold</strong> 10' 'treat-chance</strong> 0.5' 'surface</strong> counts'; do
    grep -qF "<strong>$line<" letter/report.html || { echo "the report does not tell: $line"; exit 1; }
done
grep -qF '<strong>cell</strong> 5<' seasons/report.html || { echo "the comparison does not tell its cell"; exit 1; }
# What the layers hold where stops lie, to be found again under the pointer: longitude, latitude and name of the stop,
# then estimate, bounds and chance, as GDAL reads them.
sed -n '2,$p' "$demo/stops-2026.csv" | cut -d, -f1-3 | tr , ' ' >stops
for layer in severity low high chance; do
    cut -d' ' -f1,2 stops | gdallocationinfo -valonly -wgs84 letter/$layer.tif >$layer
done
paste -d' ' stops severity low high chance >values
for layer in classes persistence; do
    cut -d' ' -f1,2 stops | gdallocationinfo -valonly -wgs84 seasons/$layer.tif >$layer
done
paste -d' ' stops classes persistence >values-of-seasons
(cd "$tools" && node check_report.mjs "$work")
