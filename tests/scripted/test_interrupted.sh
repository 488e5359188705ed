#!/usr/bin/env bash
# Stopped by a signal while it writes: nothing is left but what was there, and it ends by that signal. Killed for good, it
# leaves what the next run removes.
set -uo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place" || exit 1
fail() {
    echo "$*"
    exit 1
}
map=("$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson"
    --hits infected --checked checked --threshold 10 --cell 4 --season 2026 --quiet --out)
"${map[@]}" survey --title first || exit 1
"$FOCI_PROGRAM" record survey --history history.gpkg --quiet || exit 1
echo mine >survey/notes.txt
before=$(find . -type f -exec sha256sum {} + | sort)

stop() { # SIGNAL NAME COMMAND...: sends the signal as soon as something lies beside NAME; the exit status in `status`
    "${@:3}" >said 2>&1 &
    local process=$! tries=0
    until compgen -G ".$2.fieldfoci-*" >/dev/null; do
        ((tries++ < 3000)) && kill -0 "$process" 2>/dev/null || fail "$1 to $2: nothing was written: $(cat said)"
        sleep 0.005
    done
    kill -s "$1" "$process" 2>/dev/null
    wait "$process" 2>/dev/null
    status=$?
}
is_as_before() { # TITLE
    [[ $(find . -type f ! -name said -exec sha256sum {} + | sort) == "$before" ]] ||
        fail "$1: not what was there before: $(find . -type f ! -name said)"
    [[ -z $(find . -name '.*fieldfoci*') ]] || fail "$1: left behind: $(find . -name '.*fieldfoci*')"
}

# A background process of a script ignores SIGINT, and what is ignored stays so: then the shell's own default is needed.
interrupted=(env --default-signal=INT)
for row in "INT 130" "TERM 143" "HUP 129"; do
    read -r signal number <<<"$row"
    stop "$signal" survey "${interrupted[@]}" "${map[@]}" survey --title second --overwrite
    [[ $status == "$number" ]] || fail "$signal to map: status $status"
    is_as_before "$signal to map"
done
stop INT new "${interrupted[@]}" "${map[@]}" new
[[ $status == 130 ]] || fail "INT to a first map: status $status"
is_as_before "INT to a first map"

stop KILL survey "${map[@]}" survey --title second --overwrite
[[ -n $(find . -name '.survey.fieldfoci*') ]] || fail "KILL: nothing was left, so nothing is tested"
"${map[@]}" survey --title first --overwrite || exit 1
is_as_before "the run after KILL"
