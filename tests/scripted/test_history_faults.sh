#!/usr/bin/env bash
# Recording where a write, flush, open or renaming fails: a sample; scripts/sweep.sh has them all.
set -uo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place" || exit 1
# shellcheck source=tests/support/history_faults.sh
source "$FOCI_SOURCE/tests/support/history_faults.sh"
make_surveys
faults 41 7

# Another program holds the folder locked: it is said so after 2 s, and after 60 (which the hook lets pass at once) it is
# given up; for reading too.
rm -rf disk
mkdir disk
cp one.gpkg disk/history.gpkg
for command in "record second --history disk/history.gpkg" "history disk/history.gpkg" \
    "seasons --history disk/history.gpkg --out out"; do
    title="a foreign lock, $command"
    # shellcheck disable=SC2086 # words
    flock disk env LD_PRELOAD="$FOCI_FAILING_CALLS" FAILING_CALL=sleep "$FOCI_PROGRAM" $command >/dev/null 2>said
    status=$?
    [[ $status == 1 && $(wc -l <said) == 2 ]] || fail "$title: status $status, $(cat said)"
    grep -q 'note: .*waiting for another program that holds its folder locked' said || fail "$title: $(cat said)"
    grep -q 'has held its folder locked for a minute; end that one' said || fail "$title: $(cat said)"
done
flock disk sleep 2.5 &
sleep 0.1
"$FOCI_PROGRAM" record second --history disk/history.gpkg >/dev/null 2>said || fail "a lock of 2.5 s: $(cat said)"
grep -q 'waiting for another program' said || fail "a lock of 2.5 s is not told of: $(cat said)"
whole disk/history.gpkg 2
wait

echo "$runs recordings with a failing call: $refused did nothing and said so, $((runs - refused)) were whole"
