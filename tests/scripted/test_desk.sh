#!/usr/bin/env bash
# The desk as its people have it: the whole way in a browser, by mouse, by keys and on a phone, judged by axe-core
# (MPL-2.0); what it made is byte for byte what the command makes of the same job.
set -euo pipefail
# shellcheck source=../support/browser_tools.sh
source "$FOCI_SOURCE/tests/support/browser_tools.sh"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$FOCI_PROGRAM" desk "$work/desk" --no-browser >"$work/said" 2>"$work/told" &
desk=$!
trap 'kill $desk 2>/dev/null || true; rm -rf "$work"' EXIT
for _ in $(seq 100); do
    address=$(grep -om1 'http://[^ ]*' "$work/said") && break
    sleep 0.05
done
(cd "$tools" && node check_desk.mjs "$address" "$FOCI_TESTDATA")
wait $desk || { echo "the desk ended with $?"; cat "$work/told"; exit 1; }
visit=$work/desk/inbox/north-forty-2026
"$FOCI_PROGRAM" map --job "$visit/job.json" --out "$work/again" --quiet
for file in "$work"/again/*; do
    cmp "$file" "$work/desk/surveys/north-forty-2026/$(basename "$file")" || { echo "$(basename "$file") is another than the command's"; exit 1; }
done
left=$(find "$work/desk" -name '.coming-*')
[[ -z $left ]] || { echo "half received: $left"; exit 1; }
