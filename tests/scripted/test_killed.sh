#!/usr/bin/env bash
# Killed while it overwrites: the old survey is whole or the new one is, at 20 moments of the run.
set -uo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place" || exit 1
map=("$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson"
    --hits infected --checked checked --threshold 10 --cell 4 --quiet)
sums() {
    (cd "$1" && find . -type f ! -name '.*' -exec sha256sum {} + | sort)
}
"${map[@]}" --title first --out old || exit 1
started=$(date +%s%N)
"${map[@]}" --title second --out new || exit 1
length=$((($(date +%s%N) - started) / 1000000))
first=$(sums old)
second=$(sums new)
[[ $first != "$second" ]] || { echo "the two surveys do not differ"; exit 1; }
cp -r old survey
olds=0
for kill in $(seq 20); do
    # Ten over the whole run, ten around its end, where files are put in place.
    if ((kill <= 10)); then
        wait_ms=$((length * kill / 11))
    else
        wait_ms=$((length * (80 + 4 * (kill - 10)) / 100))
    fi
    "${map[@]}" --title second --out survey --overwrite &
    process=$!
    sleep "$(printf '%d.%03d' $((wait_ms / 1000)) $((wait_ms % 1000)))"
    kill -9 "$process" 2>/dev/null
    wait "$process" 2>/dev/null
    now=$(sums survey)
    if [[ $now == "$first" ]]; then
        olds=$((olds + 1))
    elif [[ $now != "$second" ]]; then
        echo "kill $kill after $wait_ms of $length ms: the survey is neither the old nor the new one"
        diff <(echo "$first") <(echo "$now")
        exit 1
    else
        rm -rf survey
        cp -r old survey
    fi
done
echo "20 kills: $olds times the old survey, $((20 - olds)) times the new one"
# What was left over does not stand in the way, and is not taken for a survey.
"${map[@]}" --title second --out survey --overwrite && [[ $(sums survey) == "$second" ]] || exit 1
[[ -z $(find . -name '.*fieldfoci*') ]] || { echo "left for good: $(find . -name '.*fieldfoci*')"; exit 1; }
