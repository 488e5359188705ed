#!/usr/bin/env bash
# The layers' styles in survey.gpkg: SLD for every layer, each stop drawn by just one rule, the one that the sheet's key
# has for it; each zone by its own.
set -euo pipefail
[[ $(basename "$FOCI_BUILD") != sanitize ]] || exit 77 # the writing itself is sanitized in tests/show
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cd "$work"
map() { # OUT OPTIONS...
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --threshold 10 \
        --surface idw --cell 10 --quiet --out "$@"
}
map counts --hits infected --checked checked
map scores --value infected
python3 - <<'PY'
import operator
import sqlite3
import sys
import xml.etree.ElementTree as tree

SLD, OGC = "{http://www.opengis.net/sld}", "{http://www.opengis.net/ogc}"
COMPARED = {"EqualTo": operator.eq, "LessThan": operator.lt, "LessThanOrEqualTo": operator.le,
            "GreaterThan": operator.gt, "GreaterThanOrEqualTo": operator.ge}


def value(node, row):
    name = node.tag.removeprefix(OGC)
    if name == "PropertyName":
        return row[node.text]
    if name == "Literal":
        try:
            return float(node.text)
        except ValueError:
            return node.text
    a, b = (value(child, row) for child in node)
    return a * b if name == "Mul" else a / b


def holds(node, row):
    name = node.tag.removeprefix(OGC)
    if name in ("Filter", "And"):
        return all(holds(child, row) for child in node)
    a, b = (value(child, row) for child in node)
    return a is not None and COMPARED[name.removeprefix("PropertyIs")](a, b)


def rules_for(rules, row):
    return [rule.findtext(SLD + "Title") for rule in rules
            if rule.find(OGC + "Filter") is None or holds(rule.find(OGC + "Filter"), row)]


wrong = 0
for kind in ("counts", "scores"):
    base = sqlite3.connect(f"{kind}/survey.gpkg")
    base.row_factory = sqlite3.Row
    styles = {row["f_table_name"]: row for row in base.execute("select * from layer_styles")}
    layers = {row[0] for row in base.execute("select table_name from gpkg_geometry_columns")}
    wrong += styles.keys() != layers or any(row["useAsDefault"] != 1 for row in styles.values())
    rules = {}
    for layer, row in styles.items():
        root = tree.fromstring(row["styleSLD"].encode())
        wrong += root.tag != SLD + "StyledLayerDescriptor" or root.get("version") != "1.0.0"
        wrong += root.findtext(f".//{SLD}NamedLayer/{SLD}Name") != layer
        rules[layer] = root.findall(f".//{SLD}Rule")
    seen = set()
    for row in base.execute("select * from stops"):
        reading = row["value"] if kind == "scores" else row["hits"] and 100 * row["hits"] / row["checked"]
        wanted = ("left out" if row["used"] == "no" else "none found" if not reading else
                  ("below", "to", "over")[(reading >= 10) + (reading >= 20)])
        found = rules_for(rules["stops"], row)
        if len(found) != 1 or wanted not in found[0]:
            print(kind, dict(row), wanted, found)
            wrong += 1
        seen |= set(found)
    wrong += len(seen) < 4
    for row in base.execute("select * from zones"):
        word = {"treat": "Treat", "dig": "Dig and look first", "leave": "Leave"}[row["zone"]]
        wrong += rules_for(rules["zones"], row) != [word]
sys.exit(wrong > 0)
PY
