#!/usr/bin/env bash
# Broken input, as bad_input.tsv lists it: exit 1 or 2 with exactly one clear line and nothing left behind, or exit 0
# with the finding said. Each case runs in a fresh folder that bad_input_files.py has filled.
# In the commands: $S and $C read scores and counts, $F names the field, $O folder and threshold.
set -uo pipefail
here=$(cd "$(dirname "$0")" && pwd)
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
mkdir "$place/given"
(cd "$place/given" && python3 "$here/bad_input_files.py") || exit 1

export PROGRAM=$FOCI_PROGRAM
export S="--value score" C="--hits hits --checked checked" F="--field field.geojson" O="--out out --threshold 10 --cell 12"
# shellcheck disable=SC2317 # called by the commands of the table
fieldfoci() {
    "$PROGRAM" "$@"
}
export -f fieldfoci

wrong=0
complain() { # CASE TEXT
    echo "FAIL $1: $2"
    sed 's/^/    | /' "$place/stderr" | head -5
    wrong=$((wrong + 1))
}
listing() {
    find . -printf '%p %s\n' | sort
}

# run_case NAME STATUS WORDS COMMAND, in the working folder
run_case() {
    local before after status word words
    before=$(listing)
    bash -c "$4" >"$place/stdout" 2>"$place/stderr"
    status=$?
    after=$(listing)
    [[ $status == "$2" ]] || complain "$1" "exit status is $status, not $2"
    cp "$place/stderr" "$place/said"
    if [[ $2 == 0 ]]; then
        [[ -s out/survey.json ]] || complain "$1" "no survey was written"
        cat out/survey.json >>"$place/said" 2>/dev/null
        [[ -s $place/stderr ]] || complain "$1" "nothing is said on standard error"
    else
        [[ $(wc -l <"$place/stderr") == 1 ]] || complain "$1" "standard error has $(wc -l <"$place/stderr") lines, not one"
        [[ $(head -c 11 "$place/stderr") == "fieldfoci: " ]] || complain "$1" "the line does not begin with 'fieldfoci: '"
        [[ ! -s $place/stdout ]] || complain "$1" "standard output is not empty"
        [[ $before == "$after" ]] || complain "$1" "left behind: $(diff <(echo "$before") <(echo "$after") | grep '^[<>]' | head -3)"
    fi
    IFS='|' read -ra words <<<"$3"
    for word in "${words[@]}"; do
        grep -qiF -- "$word" "$place/said" || complain "$1" "'$word' is not said"
    done
}

cases=0
while IFS=$'\t' read -r name status words command; do
    [[ $name == \#* ]] && continue
    cp -r "$place/given" "$place/work"
    cd "$place/work" || exit 1
    run_case "$name" "$status" "$words" "$command"
    cd "$place" && rm -rf "$place/work"
    cases=$((cases + 1))
done <"$here/bad_input.tsv"

echo "$cases cases, $wrong complaints"
((cases >= 40)) || { echo "only $cases cases"; exit 1; }
exit $((wrong > 0))
