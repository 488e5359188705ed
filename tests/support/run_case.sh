#!/usr/bin/env bash
# Runs one case: run_case.sh FOLDER. The folder holds `command` (one shell line; $PROGRAM and $TESTDATA are set, the
# working folder is empty) and what to expect of it, each file optional:
#   status        exit status (0)
#   stdout        standard output, exactly
#   stdout_has    lines that must occur somewhere in standard output; stderr_has likewise
#   stderr_lines  how many lines standard error has
#   files         all files there are afterwards, one a line
set -uo pipefail
case=$1
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
mkdir "$place/work"
export PROGRAM=$FOCI_PROGRAM TESTDATA=$FOCI_TESTDATA
wrong=0

(cd "$place/work" && bash "$case/command") >"$place/stdout" 2>"$place/stderr"
status=$?
want=$(cat "$case/status" 2>/dev/null || echo 0)
if [[ $status != "$want" ]]; then
    echo "exit status is $status, not $want"
    wrong=1
fi

if [[ -f $case/stdout ]] && ! diff -u "$case/stdout" "$place/stdout"; then
    wrong=1
fi
for stream in stdout stderr; do
    [[ -f $case/${stream}_has ]] || continue
    while IFS= read -r line; do
        grep -qF -- "$line" "$place/$stream" || { echo "$stream does not hold: $line"; wrong=1; }
    done <"$case/${stream}_has"
done
if [[ -f $case/stderr_lines ]]; then
    lines=$(wc -l <"$place/stderr")
    want=$(cat "$case/stderr_lines")
    if [[ $lines != "$want" ]]; then
        echo "standard error has $lines lines, not $want"
        wrong=1
    fi
fi
if [[ -f $case/files ]] && ! diff -u <(sort "$case/files") <(cd "$place/work" && find . -type f -printf '%P\n' | sort); then
    echo "the files left are not those expected"
    wrong=1
fi

if ((wrong)); then
    echo "--- command"; cat "$case/command"
    echo "--- stdout"; head -50 "$place/stdout"
    echo "--- stderr"; head -50 "$place/stderr"
fi
exit $wrong
