#!/usr/bin/env bash
# A plan's promise on five invented fields, from the plan through the filled form to the map (docs/plan.md has 200); the
# field sheet has its pages, the same bytes twice, and says what it should.
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$FOCI_SOURCE/scripts/score_plan.py" "$FOCI_PROGRAM" --fields 5 --seed 3 --check
cd "$work"
sheet() {
    "$FOCI_PROGRAM" plan --field "$FOCI_TESTDATA/demo/field.geojson" --stops 75 --disease southern-stem-rot-of-peanut \
        --quiet --out "$1"
}
sheet one.pdf
sheet two.pdf
cmp one.pdf two.pdf
pages=$(pdfinfo one.pdf | sed -n 's/^Pages: *//p')
[[ $pages == 4 ]] || { echo "$pages pages, not 4"; exit 1; }
pdftotext one.pdf - | tr '\n' ' ' >text
for words in 'Where to scout' 'S75' 'What to look for, step by step' 'What looks like it' 'What to send to a diagnostic clinic' \
    'How to label it' 'The label is the law'; do
    grep -qF "$words" text || { echo "the sheet does not say: $words"; exit 1; }
done
