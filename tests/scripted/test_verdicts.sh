#!/usr/bin/env bash
# One verdict drives everything: what the demo field's stops say as they are (patchy), thinned to a quarter (unclear), with
# counts that do not depend on the place (no pattern found) and cut to fifteen (too few stops): survey.json and its files,
# the same verdict from `pattern`, what `task` refuses and what it writes for a reason, `record`, `seasons`, `--earlier`.
set -euo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
demo=$FOCI_TESTDATA/demo
awk -F, 'NR == 1 || NR % 4 == 2' "$demo/stops-2026.csv" >unclear.csv
awk -F, -v OFS=, 'NR > 1 {$6 = (NR * 7919 % 13) % 6} 1' "$demo/stops-2026.csv" >none.csv
head -16 "$demo/stops-2026.csv" >few.csv
cp "$demo/stops-2026.csv" patchy.csv

reading=(--field "$demo/field.geojson" --hits infected --checked checked --id stop --when date --row-heading 6 --quiet)
for name in patchy unclear none few; do
    "$FOCI_PROGRAM" map $name.csv "${reading[@]}" --threshold 10 --cell 10 --season "of $name" --out $name
    "$FOCI_PROGRAM" pattern $name.csv "${reading[@]}" --json >$name.json
done
# without a posterior one permutation test decides
"$FOCI_PROGRAM" map patchy.csv "${reading[@]}" --threshold 10 --cell 10 --surface idw --out by-test
"$FOCI_PROGRAM" pattern patchy.csv "${reading[@]}" --surface idw --json >by-test.json
"$FOCI_PROGRAM" map none.csv "${reading[@]}" --threshold 10 --cell 10 --surface idw --out none-by-test

python3 - <<'END'
import json, os, sys
wrong = 0
def expect(what, found, wanted):
    global wrong
    if found != wanted:
        print(f"{what}: {found!r}, not {wanted!r}")
        wrong = 1
verdicts = {"patchy": "patchy", "unclear": "unclear", "none": "no pattern found", "few": "too few stops", "by-test": "patchy"}
for name, verdict in verdicts.items():
    survey = json.load(open(f"{name}/survey.json"))
    pattern = json.load(open(f"{name}.json"))["pattern"]
    expect(f"{name}: verdict", survey["pattern"]["verdict"], verdict)
    for key in "verdict", "no_pattern_weight", "likeness_p":
        expect(f"{name}: pattern's {key}", pattern[key], survey["pattern"][key])
    zones = {zone: survey["zones"][zone]["area_ha"] for zone in ("treat", "dig", "leave")}
    why = [dig["why"] for dig in survey["digs"]]
    expect(f"{name}: hotspots", len(survey["hotspots"]) > 0, verdict == "patchy")
    expect(f"{name}: treat", zones["treat"] > 0, verdict == "patchy")
    expect(f"{name}: dig", zones["dig"] > 0, name in ("patchy", "unclear", "by-test"))
    expect(f"{name}: any zone", sum(zones.values()) > 0, verdict in ("patchy", "unclear"))
    expect(f"{name}: surface", survey["surface"] is None, name == "few")
    expect(f"{name}: severity", survey["severity"] is None, name == "few")
    expect(f"{name}: severity.tif", os.path.exists(f"{name}/severity.tif"), name != "few")
    expect(f"{name}: chance.tif", os.path.exists(f"{name}/chance.tif"), name not in ("few", "by-test"))
    expect(f"{name}: sheet", os.path.getsize(f"{name}/map.png") > 10000 and os.path.getsize(f"{name}/map.pdf") > 5000, True)
    expect(f"{name}: digs", len(why), 0 if name == "few" else 10)
    if name == "none":
        expect("none: kinds of digs", (why.count("highest"), why.count("outside")), (8, 2))
    if name == "few":
        expect("few: says what a map takes", any("so 5 more" in text for text in survey["warnings"]), True)
    if name == "unclear":
        expect("unclear: warns", any("cannot tell" in text for text in survey["warnings"]), True)
weightless = json.load(open("none-by-test/survey.json"))["pattern"]
expect("by test: no weight", weightless["no_pattern_weight"], None)
expect("by test: verdict", weightless["verdict"], "no pattern found")
sys.exit(wrong)
END

wrong=0
task() { # OUT SURVEY OPTIONS...
    "$FOCI_PROGRAM" task "$2" --treat 15 --unit gal/ac --product "Mix A" --quiet --out "$1" "${@:3}"
}
refuse() { # WORDS SURVEY OPTIONS...
    local status=0
    task refused "${@:2}" 2>log || status=$?
    if [[ $status != 1 ]] || ! grep -qF -- "$1" log || [[ $(wc -l <log) != 1 || -e refused ]]; then
        echo "task $2: exit status $status, not 1 with '$1': $(cat log)"
        wrong=1
    fi
}
task sprayer patchy
refuse "cannot tell whether the disease sits in pockets" unclear
refuse "No pattern was found" none
refuse "No pattern was found" none --even-so "we know the field"
refuse "too few for a map" few --even-so "we know the field"
refuse "how sure they are" by-test
task by-reason unclear --even-so "we know the field" --dig 5 --form geojson
python3 -c 'import json; zones = {f["properties"]["zone"] for f in json.load(open("by-reason/zones.geojson"))["features"]}
assert zones == {"dig", "leave"}, zones'
grep -qF "used nowhere" by-reason/README.txt || { echo "README.txt does not say that --treat is used nowhere"; wrong=1; }
grep -qF "we know the field" by-reason/README.txt || { echo "README.txt does not hold the reason"; wrong=1; }

for name in patchy unclear none few; do
    "$FOCI_PROGRAM" record $name --history farm.gpkg --quiet
done
[[ $("$FOCI_PROGRAM" history farm.gpkg | grep -c '^  of ') == 4 ]] || { echo "not four seasons in the history"; wrong=1; }

"$FOCI_PROGRAM" seasons none few patchy --out both --quiet
python3 -c 'import json
pairs = {(p["first"], p["second"]): p for p in json.load(open("both/seasons.json"))["pairs"]}
for (first, second), pair in pairs.items():
    if "of few" in (first, second):
        assert pair["verdict"] == "no comparison" and "too few stops" in pair["why_not"], pair
    else:
        assert pair["verdict"] in ("came back", "some sign", "cannot tell", "not hot anywhere"), pair
        assert pair["overlap_p"] is not None, pair
assert len(pairs) == 3, pairs'

"$FOCI_PROGRAM" map patchy.csv "${reading[@]}" --threshold 10 --cell 10 --earlier few --out later
grep -qF "too few stops" later/survey.json || { echo "an earlier season of few stops is not said"; wrong=1; }
exit $wrong
