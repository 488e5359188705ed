#!/usr/bin/env bash
# The same input gives the same files, byte for byte, run after run and whatever the number of threads.
set -euo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
export SOURCE_DATE_EPOCH=1787000000
map() { # OUT OPTIONS...
    mkdir "$1"
    (cd "$1" && "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" \
        --hits infected --checked checked --id stop --when date --threshold 10 --quiet --out survey "${@:2}")
}
wrong=0
for kind in "" "--neighbors 12" "--surface idw"; do
    rm -rf one again two
    # shellcheck disable=SC2086 # several words
    { map one --threads 1 $kind; map again --threads 1 $kind; map two --threads 2 $kind; }
    for other in again two; do
        diff -rq one/survey $other/survey || { echo "'$kind': one and $other differ"; wrong=1; }
    done
done
# Another locale writes the same numbers.
LC_ALL=$(locale -a | grep -i '^de_DE.utf' || echo C) map locale --threads 1 --surface idw
diff -rq one/survey locale/survey || wrong=1
exit $wrong
