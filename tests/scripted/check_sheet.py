"""check_sheet.py SUMMARY TEXT [README | --rows]: every caution and warning of survey.json (or seasons.json) stands whole in the
text of the sheet, in its order: cautions, warnings, then how it was made; README too where it is given. With --rows: the
page to take along has hotspots and dig-checks in rows: number, place, chance."""
import json
import re
import sys
import unicodedata


def bare(text):
    """Lines end where they may: without blanks, ligatures and marks of direction."""
    return re.sub(r"\s|[\u2066-\u2069]", "", unicodedata.normalize("NFKC", text))


def check(summary, path, ends):
    with open(path, encoding="utf-8") as file:
        text = bare(file.read())
    at, wrong = 0, []
    for sentence in summary["cautions"] + summary["warnings"]:
        found = text.find(bare(sentence), at)
        if found < 0:
            where = "out of order" if bare(sentence) in text else "missing"
            wrong.append(f"{path}: {where}: {sentence}")
        else:
            at = found
    if ends and text.find(bare(ends)) < at and bare(ends) in text:
        wrong.append(f"{path}: how it was made stands before what matters more")
    return wrong


def chance_of(chance):
    if chance is None:
        return "not known"
    return "over 99 %" if chance > 0.99 else "under 1 %" if chance < 0.01 else f"{100 * chance:.0f} %"


def check_rows(summary, path):
    """The rows, as pdftotext -raw keeps them together: "3 not sure 42.97405, -39.33003 36 %"."""
    with open(path, encoding="utf-8") as file:
        page = file.read().partition("To take along:")[2]
    digs = sorted(summary.get("digs", []), key=lambda dig: dig["visit"])[:26]
    spots = summary.get("hotspots", [])[:12]
    rows = [rf"{dig['visit']} \D+{dig['lat']:.5f}, {dig['lon']:.5f} {chance_of(dig['chance'])}" for dig in digs]
    rows += [rf"{spot['id']} .+ {chance_of(spot['chance'])} {spot['centre'][1]:.5f}, {spot['centre'][0]:.5f}"
             for spot in spots]
    return [f"{path}: no row {row}" for row in rows if not re.search("^" + row, page, re.MULTILINE)]


with open(sys.argv[1], encoding="utf-8") as opened:
    said = json.load(opened)
options = [s for s in said["cautions"] + said["warnings"] if re.search(r"--[a-z]", s)]
faults = [f"an option is named: {s}" for s in options] + check(said, sys.argv[2], "How made:")
if sys.argv[3:] == ["--rows"]:
    faults += check_rows(said, sys.argv[2])
elif len(sys.argv) > 3:
    faults += check(said, sys.argv[3], None)
untold = [f for f in said.get("findings", []) if f["what"] in ("few stops", "one line", "gaps", "days apart")
          and not said["warnings"]]
faults += [f"a finding is no warning: {f['text']}" for f in untold]
print("\n".join(faults), end="\n" if faults else "")
sys.exit(1 if faults else 0)
