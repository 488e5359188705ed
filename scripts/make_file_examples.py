#!/usr/bin/env python3
"""Writes testdata/files: stops and boundaries in files as people and their programs make them, all invented.

Every file holds the stops of clean.csv (or clean_south.csv) or the boundary of clean.geojson, or something wrong on
purpose; cases.tsv says how each is to be read and what is to come of it. Standard library alone; the same bytes each time.
Usage: make_file_examples.py [FOLDER]
"""
import io
import json
import pathlib
import random
import struct
import sys
import zipfile

OUT = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).parent.parent / "testdata" / "files")
COUNT = 24
COLUMNS = ["lon", "lat", "stop", "day", "severity", "hits", "checked", "eggs"]
cases = []


# ---- the stops -------------------------------------------------------------------------------------------------------
def make_stops(west, south):
    """A square walk of 24 stops; coordinates are whole hundredths of a second, so that every writing is exact."""
    draw = random.Random(20260814)
    names = ["Señal", "Grün", "Älter", "Core"]
    stops = []
    for i in range(COUNT):
        lon = round(west * 360000) + (i % 6) * 175 + draw.randrange(60)
        lat = round(south * 360000) + (i // 6) * 130 + draw.randrange(60)
        hits = draw.randrange(0, 9)
        stops.append({
            "lon": lon, "lat": lat, "stop": f"{names[i % 4]} {i + 1}", "day": f"2026-08-{13 if i < 12 else 14}",
            "severity": draw.randrange(5, 400) / 10, "hits": hits, "checked": 20,
            "eggs": draw.randrange(8000, 30000) / 10})
    stops[5]["eggs"] = 1234.0
    stops[2]["severity"] = 0.0
    return stops


NORTH = make_stops(-39.34, 42.97)
SOUTH = make_stops(39.34, -42.97)


def degrees(hundredths):
    return f"{hundredths / 360000:.8f}"


def plain(stop):
    return {"lon": degrees(stop["lon"]), "lat": degrees(stop["lat"]), "stop": stop["stop"], "day": stop["day"],
            "severity": f"{stop['severity']:.1f}", "hits": str(stop["hits"]), "checked": str(stop["checked"]),
            "eggs": f"{stop['eggs']:.1f}"}


def parts(hundredths):
    size = abs(hundredths)
    return size // 360000, size // 6000 % 60, size % 6000 / 100


def letter(hundredths, axis):
    return ("W" if hundredths < 0 else "E") if axis == "lon" else ("S" if hundredths < 0 else "N")


# ---- text ------------------------------------------------------------------------------------------------------------
def quoted(cell, sign):
    cell = str(cell)
    return '"' + cell.replace('"', '""') + '"' if sign in cell or '"' in cell else cell


def rows_of(change=None, stops=NORTH, columns=COLUMNS):
    rows = [list(columns)]
    for i, stop in enumerate(stops):
        cells = plain(stop)
        if change:
            change(cells, stop, i)
        rows.append([cells.get(name, "") for name in columns])
    return rows


def text_of(rows, sign=",", end="\n", quote=quoted):
    return "".join(sign.join(quote(cell, sign) for cell in row) + end for row in rows)


def put(name, content, encoding="utf-8"):
    (OUT / name).write_bytes(content if isinstance(content, bytes) else content.encode(encoding))


VALUE, COUNTS, EGGS = "value=severity", "hits=hits;checked=checked", "value=eggs"


def case(name, options, words="", twin="clean.csv", row=0, refused=False):
    """`words`: what the note or the refusal says; several parts apart by |. `row`: of the refusal."""
    cases.append([name, options, "-" if refused else twin, str(row), words])


def refused(name, options, row, words):
    case(name, options, words, row=row, refused=True)


def comma(cells, *names):
    for name in names or ("lon", "lat", "severity", "eggs"):
        cells[name] = cells[name].replace(".", ",")


# ---- letters, delimiters, line ends ----------------------------------------------------------------------------------
def delimiters():
    rows = rows_of()
    put("clean.csv", text_of(rows))
    put("clean_south.csv", text_of(rows_of(stops=SOUTH)))
    put("windows.csv", text_of(rows, end="\r\n"))
    case("windows.csv", VALUE)
    put("old_mac.csv", text_of(rows, end="\r"))
    case("old_mac.csv", VALUE)
    put("semicolons.csv", text_of(rows, ";"))
    case("semicolons.csv", COUNTS, "semicolons stand between the cells")
    put("tabs.tsv", text_of(rows, "\t"))
    case("tabs.tsv", COUNTS, "tabs stand between the cells")
    put("upright.psv", text_of(rows, "|"))
    case("upright.psv", COUNTS, "upright lines stand between the cells")
    put("told.csv", "sep=;\r\n" + text_of(rows, ";", "\r\n"))
    case("told.csv", VALUE, "semicolons")
    put("all_quoted.csv", text_of(rows, ",", "\r\n", lambda cell, sign: '"' + str(cell) + '"'))
    case("all_quoted.csv", VALUE)
    put("marked_utf8.csv", text_of(rows), "utf-8-sig")
    case("marked_utf8.csv", VALUE)
    put("unicode_text.txt", b"\xff\xfe" + text_of(rows, "\t", "\r\n").encode("utf-16-le"))
    case("unicode_text.txt", VALUE, "UTF-16|tabs")
    put("utf16_big.csv", b"\xfe\xff" + text_of(rows).encode("utf-16-be"))
    case("utf16_big.csv", VALUE, "UTF-16")
    put("utf16_unmarked.csv", text_of(rows).encode("utf-16-le"))
    case("utf16_unmarked.csv", VALUE, "UTF-16")
    put("latin1.csv", text_of(rows, ";", "\r\n"), "latin-1")
    case("latin1.csv", VALUE, "taken for Latin-1|semicolons")
    put("zero_bytes.csv", text_of(rows).encode()[:700] + b"\0\0\0" + text_of(rows).encode()[700:])
    refused("zero_bytes.csv", VALUE, 0, "holds zero bytes")


# ---- what is no stop -------------------------------------------------------------------------------------------------
def titles_and_totals():
    rows = rows_of()
    blank = [""] * len(COLUMNS)
    title = [["Scouting, second round"] + blank[1:], ["Field: made up; walked by two"] + blank[1:], blank]
    put("titles.csv", text_of(title + rows))
    case("titles.csv", VALUE, "names of its columns are in line 4, and 2 lines above are left out")
    commas = rows_of(lambda cells, stop, i: comma(cells))
    put("titles_commas.csv", "Bonitur, zweite Runde\r\nFeld: erfunden\r\n\r\n" + text_of(commas, ";", "\r\n"))
    case("titles_commas.csv", VALUE, "in line 4|decimal marks|semicolons")
    put("blank_rows.csv", text_of(rows[:4] + [blank] + rows[4:9] + [blank, blank] + rows[9:] + [blank] * 5))
    case("blank_rows.csv", VALUE)
    total = ["Total", "", "", "", "", sum(s["hits"] for s in NORTH), 20 * COUNT, ""]
    mean = ["Mean", "", "", "", "11.2", "3.9", "20", ""]
    put("totals.csv", text_of(rows + [blank, total, mean]))
    case("totals.csv", COUNTS, "2 lines of totals (from line 27 on) are left out")
    put("summe.csv", text_of(commas + [["Summe:"] + [str(cell) for cell in total[1:]]], ";"))
    case("summe.csv", COUNTS, "1 line of totals (from line 26 on) is left out")
    full = ["Average", "42.971", "Core", "2026-08-14", "11.2", "4", "20", "1500"]
    put("mean_like_a_stop.csv", text_of(rows + [full]))
    refused("mean_like_a_stop.csv", COUNTS, 25, "looks like a line of totals")
    put("subtotals.csv", text_of(rows[:13] + [["Subtotal"] + total[1:]] + rows[13:] + [total]))
    refused("subtotals.csv", COUNTS, 13, "looks like a line of totals")
    put("no_names.csv", text_of(rows[1:]))
    refused("no_names.csv", VALUE, 0, "line 1 holds data where the names of the columns should stand")


# ---- numbers ---------------------------------------------------------------------------------------------------------
def numbers():
    put("decimal_commas.csv", text_of(rows_of(lambda cells, stop, i: comma(cells)), ";"))
    case("decimal_commas.csv", VALUE, 'commas in column "severity" are decimal marks (row 1:|commas in column "lon"')
    put("quoted_commas.csv", text_of(rows_of(lambda cells, stop, i: comma(cells))))
    case("quoted_commas.csv", EGGS, 'commas in column "eggs" are decimal marks')
    put("bare_commas.csv", text_of(rows_of(lambda cells, stop, i: comma(cells)), quote=lambda cell, sign: str(cell)))
    refused("bare_commas.csv", VALUE, 1, "12 cells under 8 columns")

    def grouped(group, mark):
        def change(cells, stop, i):
            comma(cells, "lon", "lat", "severity") if mark == "," else None
            cells["eggs"] = f"{stop['eggs']:,.1f}".replace(",", "g").replace(".", mark).replace("g", group)
            if stop["eggs"] == 1234:
                cells["eggs"] = f"1{group}234"
        return change
    put("thousands_points.csv", text_of(rows_of(grouped(".", ",")), ";"))
    case("thousands_points.csv", EGGS, '"1.234" in column "eggs" (row 6) was read as 1234')
    put("thousands_commas.csv", text_of(rows_of(grouped(",", "."))))
    case("thousands_commas.csv", EGGS, '"1,234" in column "eggs" (row 6) was read as 1234')
    put("thousands_blanks.csv", text_of(rows_of(grouped("\u00a0", ",")), ";"))
    case("thousands_blanks.csv", EGGS, 'commas in column "eggs" are decimal marks')

    def open_commas(cells, stop, i):
        cells["eggs"] = f"{int(stop['eggs']):,}"
    put("thousands_or_decimals.csv", text_of(rows_of(open_commas), ";"))
    first = next(i for i, s in enumerate(NORTH) if s["eggs"] >= 1000) + 1
    refused("thousands_or_decimals.csv", EGGS, first, "can be a decimal mark or group thousands")

    def one_group(cells, stop, i):
        comma(cells, "lon", "lat", "severity")
        cells["eggs"] = "1.000" if i == 4 else str(int(stop["eggs"]))
    put("thousands_by_points.csv", text_of(rows_of(one_group), ";"))
    refused("thousands_by_points.csv", EGGS, 5, "has a point that can be a decimal mark or, since other columns")

    def sign(form):
        def change(cells, stop, i):
            cells["severity"] = form.format(cells["severity"])
        return change
    put("percent.csv", text_of(rows_of(sign("{} %"))))
    case("percent.csv", VALUE, '"%" in column "severity" is the unit of its numbers')

    def percent_comma(cells, stop, i):
        comma(cells)
        cells["severity"] += "%" if stop["severity"] else ""
    put("percent_commas.csv", text_of(rows_of(percent_comma), ";"))
    case("percent_commas.csv", VALUE, '"%" in column "severity"|decimal marks')

    def units(cells, stop, i):
        cells["hits"] += " plants"
        cells["checked"] += " plants"
    put("units.csv", text_of(rows_of(units)))
    case("units.csv", COUNTS, '"plants" in column "hits" is the unit|"plants" in column "checked"')

    def two_units(cells, stop, i):
        cells["severity"] += " cm" if i == 10 else " in"
    put("two_units.csv", text_of(rows_of(two_units)))
    refused("two_units.csv", VALUE, 11, "has another unit than the cells above")

    def of_twenty(cells, stop, i):
        cells["hits"] = f"{stop['hits']} of 20"
    put("of_twenty.csv", text_of(rows_of(of_twenty)))
    case("of_twenty.csv", "hits=hits;checked=hits", "is so many found of so many")

    def slash(cells, stop, i):
        cells["hits"] = f"{stop['hits']}/20"
    put("slash_twenty.csv", text_of(rows_of(slash)))
    case("slash_twenty.csv", COUNTS, "is so many found of so many")

    def of_less(cells, stop, i):
        cells["hits"] = f"{stop['hits']} of {10 if i == 7 else 20}"
    put("of_ten_and_twenty.csv", text_of(rows_of(of_less)))
    refused("of_ten_and_twenty.csv", COUNTS, 8, "does not say of how many units")

    def percent_hits(cells, stop, i):
        cells["hits"] += " %"
    put("percent_hits.csv", text_of(rows_of(percent_hits)))
    refused("percent_hits.csv", COUNTS, 1, "is a percentage, no number of units")


def headers():
    rows = rows_of()
    rows[0] = ["Lon (deg)", " Latitude ", "Stop", "Day", "Severity, %", "Hits (per 100 ft)", "Checked [plants]", "Eggs"]
    rows[0][1] = " Lat [WGS84] "
    put("units_in_names.csv", text_of(rows))
    case("units_in_names.csv", "hits=Hits;checked=Checked", '"Hits (per 100 ft)" is the one named "Hits"')
    case("units_in_names.csv", "value=severity", '"Severity, %" is the one named "severity"')
    rows = rows_of()
    rows[0][5:7] = ["Hits (north)", "Hits (south)"]
    put("two_alike.csv", text_of(rows))
    refused("two_alike.csv", "hits=Hits;checked=20", 0, 'has 2 columns that "Hits" could mean')


# ---- places ----------------------------------------------------------------------------------------------------------
def angles():
    def all_as(form, stops=NORTH, marks=("°", "'", '"')):
        def change(cells, stop, i):
            for axis in ("lon", "lat"):
                d, m, s = parts(stop[axis])
                cells[axis] = form(d, m, s, letter(stop[axis], axis), stop[axis], marks)
        return rows_of(change, stops)

    def dms(d, m, s, hemisphere, value, marks):
        return f"{d}{marks[0]}{m:02}{marks[1]}{s:05.2f}{marks[2]}{hemisphere}"
    bare = lambda cell, sign: str(cell)
    put("dms_bare.csv", text_of(all_as(dms), quote=bare))
    case("dms_bare.csv", VALUE, 'column "lat" is in degrees and minutes (row 1:')
    put("dms_quoted.csv", text_of(all_as(dms)))
    case("dms_quoted.csv", VALUE, "is in degrees and minutes")
    put("dms_typographic.csv", text_of(all_as(dms, marks=("º", "′", "″"))))
    case("dms_typographic.csv", VALUE, "is in degrees and minutes")
    put("dms_curly.csv", text_of(all_as(dms, marks=("° ", "’ ", "” ")), ";"), "cp1252")
    case("dms_curly.csv", VALUE, "Latin-1|is in degrees and minutes")
    put("dms_signed.csv", text_of(all_as(lambda d, m, s, h, v, k: f"{'-' if v < 0 else ''}{d}°{m}'{s:.2f}\""),
                                  quote=bare))
    case("dms_signed.csv", VALUE, "is in degrees and minutes")
    put("dms_blanks.csv", text_of(all_as(lambda d, m, s, h, v, k: f"{h} {d} {m:02} {s:05.2f}")))
    case("dms_blanks.csv", VALUE, "is in degrees and minutes")
    put("dms_colons.csv", text_of(all_as(lambda d, m, s, h, v, k: f"{'-' if v < 0 else ''}{d}:{m:02}:{s:05.2f}")))
    case("dms_colons.csv", VALUE, "is in degrees and minutes")
    put("degrees_minutes.csv",
        text_of(all_as(lambda d, m, s, h, v, k: f"{d}° {m + s / 60:.9f}' {h}".replace(".", ",")), ";"))
    case("degrees_minutes.csv", VALUE, "is in degrees and minutes")
    put("degrees_letters.csv", text_of(all_as(lambda d, m, s, h, v, k: f"{degrees(abs(v))} {h}")))
    case("degrees_letters.csv", VALUE, 'column "lon" is in degrees')
    put("dms_south_east.csv", text_of(all_as(dms, SOUTH), ";"))
    case("dms_south_east.csv", VALUE, "is in degrees and minutes", twin="clean_south.csv")
    rows = all_as(dms)
    rows[0][:2] = ["Place E-W", "Place N-S"]
    put("dms_other_names.csv", text_of(rows))
    case("dms_other_names.csv", VALUE + ";xy=Place E-W,Place N-S", "is in degrees and minutes")

    def spoiled(name, row, axis, old, new, words, sign=","):
        rows = all_as(dms)
        at = COLUMNS.index(axis)
        rows[row][at] = rows[row][at].replace(old, new)
        put(name, text_of(rows, sign))
        refused(name, VALUE, row, words)
    spoiled("minutes_75.csv", 4, "lat", "°58'", "°75'", "has 60 or more minutes or seconds")
    spoiled("latitude_west.csv", 6, "lat", "N", "W", "is a latitude with E or W")
    spoiled("letter_o.csv", 9, "lon", "W", "O", "has the letter O, which is east in some languages")
    put("seconds_in_quotes.csv", text_of(all_as(dms), quote=lambda cell, sign: '"' + str(cell) + '"'))
    refused("seconds_in_quotes.csv", VALUE, 1, "a seconds mark inside a cell in quotes")


# ---- dates -----------------------------------------------------------------------------------------------------------
def dates():
    names = ["", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug"]

    def as_date(form, days=None):
        def change(cells, stop, i):
            y, m, d = (int(part) for part in (days[i % len(days)] if days else stop["day"]).split("-"))
            cells["day"] = form.format(y=y, m=m, d=d, s=y % 100, name=names[m])
        return rows_of(change)
    put("day_first.csv", text_of(as_date("{d}/{m}/{y}")))
    case("day_first.csv", VALUE, 'dates in column "day" have the day first (row 1: "13/8/2026")')
    put("month_first.csv", text_of(as_date("{m}/{d}/{y} 2:30 PM")))
    case("month_first.csv", VALUE, "have the month first (row 1:")
    put("day_points.csv", text_of(as_date("{d:02}.{m:02}.{y}"), ";"))
    case("day_points.csv", VALUE, "have the day first")
    put("month_names.csv", text_of(as_date("{d}-{name}-{y}")))
    case("month_names.csv", VALUE)
    put("either_first.csv", text_of(as_date("{m}/{d}/{y}", ["2026-08-03", "2026-08-04"])))
    refused("either_first.csv", VALUE, 1, "can be read with the day or the month first; say {dates}")
    put("clean_either.csv", text_of(as_date("{y}-{m:02}-{d:02}", ["2026-08-03", "2026-08-04"])))
    case("either_first.csv", VALUE + ";dates=month-first", twin="clean_either.csv")
    rows = as_date("{d}/{m}/{y}")
    rows[15][3] = "8/14/2026"
    put("both_first.csv", text_of(rows))
    refused("both_first.csv", VALUE, 15, '"8/14/2026" has the month first, but "13/8/2026" in row 1 the day')
    put("short_years.csv", text_of(as_date("{m}/{d}/{s}")))
    refused("short_years.csv", VALUE, 1, "has a year of two digits")
    case("short_years.csv", VALUE + ";dates=month-first")
    refused("day_first.csv", VALUE + ";dates=month-first", 1, "cannot have the month first, as {dates} says")


# ---- workbooks -------------------------------------------------------------------------------------------------------
def archive(name, members):
    with zipfile.ZipFile(OUT / name, "w", zipfile.ZIP_DEFLATED) as out:
        for member, content in members:
            out.writestr(zipfile.ZipInfo(member, (2026, 8, 14, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)


def escaped(text):
    return str(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


XML = '<?xml version="1.0" encoding="UTF-8"?>\n'
OPC, OFFICE = "http://schemas.openxmlformats.org/package/2006/", "http://schemas.openxmlformats.org/officeDocument/2006/"
SHEET = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def column_letter(index):
    return chr(ord("A") + index)


def serial(day):
    """Days since 1899-12-30, as spreadsheets keep them (ECMA-376 part 1, 18.17.4.1)."""
    import datetime
    return (datetime.date.fromisoformat(day) - datetime.date(1899, 12, 30)).days


def sheet_xml(rows):
    """Cells: text, numbers, ("date", day), ("percent", share), None."""
    lines = []
    for r, row in enumerate(rows, 1):
        cells = []
        for c, cell in enumerate(row):
            place = f"{column_letter(c)}{r}"
            if cell is None or cell == "":
                continue
            if isinstance(cell, tuple):
                style, value = (1, serial(cell[1])) if cell[0] == "date" else (2, cell[1])
                cells.append(f'<c r="{place}" s="{style}"><v>{value}</v></c>')
            elif isinstance(cell, str):
                cells.append(f'<c r="{place}" t="inlineStr"><is><t>{escaped(cell)}</t></is></c>')
            else:
                cells.append(f'<c r="{place}"><v>{cell!r}</v></c>')
        lines.append(f'<row r="{r}">{"".join(cells)}</row>')
    return f'{XML}<worksheet xmlns="{SHEET}"><sheetData>{"".join(lines)}</sheetData></worksheet>'


def xlsx(name, sheets):
    """A workbook by ECMA-376; `sheets` are (name, rows)."""
    numbers = range(1, len(sheets) + 1)
    types = "".join(f'<Override PartName="/xl/worksheets/sheet{i}.xml" ContentType="application/vnd.openxmlformats-'
                    'officedocument.spreadsheetml.worksheet+xml"/>' for i in numbers)
    archive(name, [
        ("[Content_Types].xml", f'{XML}<Types xmlns="{OPC}content-types"><Default Extension="rels" ContentType='
         '"application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType='
         '"application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-'
         f'officedocument.spreadsheetml.sheet.main+xml"/>{types}</Types>'),
        ("_rels/.rels", f'{XML}<Relationships xmlns="{OPC}relationships"><Relationship Id="rId1" Type="{OFFICE}'
         'relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>'),
        ("xl/workbook.xml", f'{XML}<workbook xmlns="{SHEET}" xmlns:r="{OFFICE}relationships"><sheets>'
         + "".join(f'<sheet name="{escaped(s[0])}" sheetId="{i}" r:id="rId{i}"/>' for i, s in zip(numbers, sheets))
         + "</sheets></workbook>"),
        ("xl/_rels/workbook.xml.rels", f'{XML}<Relationships xmlns="{OPC}relationships">'
         + "".join(f'<Relationship Id="rId{i}" Type="{OFFICE}relationships/worksheet" Target="worksheets/sheet{i}.xml"/>'
                   for i in numbers)
         + f'<Relationship Id="rId99" Type="{OFFICE}relationships/styles" Target="styles.xml"/></Relationships>'),
        ("xl/styles.xml", f'{XML}<styleSheet xmlns="{SHEET}"><cellXfs count="3"><xf numFmtId="0"/><xf numFmtId="14" '
         'applyNumberFormat="1"/><xf numFmtId="10" applyNumberFormat="1"/></cellXfs></styleSheet>')]
        + [(f"xl/worksheets/sheet{i}.xml", sheet_xml(s[1])) for i, s in zip(numbers, sheets)])


def ods(name, tables):
    """A workbook by OASIS OpenDocument 1.2."""
    def cell_xml(cell):
        if cell is None or cell == "":
            return "<table:table-cell/>"
        if isinstance(cell, tuple) and cell[0] == "date":
            return (f'<table:table-cell office:value-type="date" office:date-value="{cell[1]}"><text:p>x</text:p>'
                    "</table:table-cell>")
        if isinstance(cell, tuple):
            return (f'<table:table-cell office:value-type="percentage" office:value="{cell[1]}"><text:p>x</text:p>'
                    "</table:table-cell>")
        if isinstance(cell, str):
            return (f'<table:table-cell office:value-type="string"><text:p>{escaped(cell)}</text:p>'
                    "</table:table-cell>")
        return f'<table:table-cell office:value-type="float" office:value="{cell!r}"><text:p>x</text:p></table:table-cell>'
    names = "urn:oasis:names:tc:opendocument:xmlns:"
    body = "".join(f'<table:table table:name="{escaped(title)}">'
                   + "".join("<table:table-row>" + "".join(map(cell_xml, row)) + "</table:table-row>" for row in rows)
                   + "</table:table>" for title, rows in tables)
    archive(name, [
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", f'{XML}<manifest:manifest xmlns:manifest="{names}manifest:1.0"/>'),
        ("content.xml", f'{XML}<office:document-content xmlns:office="{names}office:1.0" xmlns:table="{names}table:1.0" '
         f'xmlns:text="{names}text:1.0" office:version="1.2"><office:body><office:spreadsheet>{body}'
         "</office:spreadsheet></office:body></office:document-content>")])


def workbooks():
    def number_rows(change=None):
        rows = [list(COLUMNS)]
        for i, stop in enumerate(NORTH):
            row = [float(degrees(stop["lon"])), float(degrees(stop["lat"])), stop["stop"], ("date", stop["day"]),
                   stop["severity"], stop["hits"], stop["checked"], stop["eggs"]]
            rows.append(change(row, stop, i) if change else row)
        return rows

    def as_text(row, stop, i):
        cells = plain(stop)
        comma(cells)
        return [cells[name] for name in COLUMNS]

    def as_percent(row, stop, i):
        row[4] = ("percent", round(stop["severity"] / 100, 4))
        return row
    titled = [["Scouting, second round"], ["made up"], []] + number_rows()
    titled[7].append("look again: by the ditch")
    total = [[], ["Total", None, None, None, None, sum(s["hits"] for s in NORTH), 20 * COUNT]]
    notes = [["who", "what"], ["both", "walked in the morning"]]
    xlsx("book.xlsx", [("Stops", number_rows())])
    case("book.xlsx", COUNTS)
    xlsx("book_titles.xlsx", [("Stops", titled + total)])
    case("book_titles.xlsx", COUNTS, "in line 4, and 2 lines above are left out|1 line of totals (from line 30 on)")
    xlsx("book_text.xlsx", [("Stops", number_rows(as_text))])
    case("book_text.xlsx", VALUE, 'commas in column "severity" are decimal marks')
    xlsx("book_two_sheets.xlsx", [("Stops", number_rows()), ("Notes", notes)])
    refused("book_two_sheets.xlsx", VALUE, 0, 'has 2 tables: "Stops"|name one with {layer} NAME')
    case("book_two_sheets.xlsx", VALUE + ";layer=Stops")
    xlsx("book_percent.xlsx", [("Stops", number_rows(as_percent))])
    refused("book_percent.xlsx", VALUE, 0, "cell E2 and others are shown as percent")
    ods("book.ods", [("Stops", number_rows())])
    case("book.ods", COUNTS)
    ods("book_titles.ods", [("Stops", titled + total), ("Notes", notes)])
    case("book_titles.ods", VALUE + ";layer=Stops", "in line 4")
    ods("book_percent.ods", [("Stops", number_rows(as_percent))])
    refused("book_percent.ods", VALUE, 0, "are shown as percent")
    put("book.xls", bytes.fromhex("d0cf11e0a1b11ae1") + bytes(504))
    refused("book.xls", VALUE, 0, "is a workbook of a kind that is not read; save it as .xlsx, .ods or CSV")


# ---- shapes ----------------------------------------------------------------------------------------------------------
EDGE = [(-39.3415, 42.9690), (-39.3360, 42.9690), (-39.3360, 42.9722), (-39.3388, 42.9730), (-39.3415, 42.9722)]
WGS84 = ('GEOGCS["GCS_WGS_1984",DATUM["D_WGS_1984",SPHEROID["WGS_1984",6378137.0,298.257223563]],PRIMEM["Greenwich",0.0],'
         'UNIT["Degree",0.0174532925199433]]')


def shapefile(kind, shapes, columns, rows):
    """The .shp, .shx and .dbf of points (1) or polygons (5), by the ESRI shapefile technical description of 1998."""
    xs, ys = zip(*[point for shape in shapes for point in shape])
    records, index, offset = b"", b"", 50
    for number, shape in enumerate(shapes, 1):
        if kind == 1:
            content = struct.pack("<i2d", 1, *shape[0])
        else:
            sx, sy = zip(*shape)
            content = struct.pack("<i4d3i", 5, min(sx), min(sy), max(sx), max(sy), 1, len(shape), 0)
            content += b"".join(struct.pack("<2d", *point) for point in shape)
        records += struct.pack(">2i", number, len(content) // 2) + content
        index += struct.pack(">2i", offset, len(content) // 2)
        offset += 4 + len(content) // 2

    def head(size):
        return struct.pack(">7i", 9994, 0, 0, 0, 0, 0, size) + struct.pack("<2i8d", 1000, kind, min(xs), min(ys), max(xs),
                                                                           max(ys), 0, 0, 0, 0)
    fields = b"".join(struct.pack("<11sc4xBB14x", name.encode(), form.encode(), width, 2 if form == "N" else 0)
                      for name, form, width in columns)
    size = 1 + sum(width for _, _, width in columns)
    table = struct.pack("<4BIHH20x", 3, 126, 8, 14, len(rows), 33 + len(fields), size) + fields + b"\r"
    for row in rows:
        table += b" " + b"".join(
            (f"{cell:>{width}}" if form == "N" else f"{cell:<{width}}").encode("latin-1")[:width]
            for cell, (_, form, width) in zip(row, columns))
    return head(50 + len(records) // 2) + records, head(50 + len(index) // 2) + index, table + b"\x1a"


def packed(stem, parts_of):
    return [(f"{stem}.shp", parts_of[0]), (f"{stem}.shx", parts_of[1]), (f"{stem}.dbf", parts_of[2]),
            (f"{stem}.prj", WGS84)]


def gpx(pieces, kind="trk"):
    inner = "".join("<trkseg>" + "".join(f'<trkpt lat="{y:.7f}" lon="{x:.7f}"/>' for x, y in piece) + "</trkseg>"
                    for piece in pieces)
    return (f'{XML}<gpx version="1.1" creator="by hand" xmlns="http://www.topografix.com/GPX/1/1"><wpt lat="42.969" '
            f'lon="-39.3415"><name>gate</name></wpt><{kind}><name>round the field</name>{inner}</{kind}></gpx>\n')


def shapes():
    columns = [("stop", "C", 20), ("day", "C", 10), ("severity", "N", 9), ("hits", "N", 9), ("checked", "N", 9)]
    rows = [[s["stop"], s["day"], f"{s['severity']:.2f}", f"{s['hits']:.2f}", f"{s['checked']:.2f}"] for s in NORTH]
    points = shapefile(1, [[(s["lon"] / 360000, s["lat"] / 360000)] for s in NORTH], columns, rows)
    ring = list(reversed(EDGE)) + [EDGE[-1]]
    edge = shapefile(5, [ring], [("name", "C", 12)], [["Made up"]])
    archive("stops.zip", packed("round/stops", points) + [("__MACOSX/round/._stops.shp", b"\0\5\x16\7")])
    case("stops.zip", COUNTS)
    archive("two_folders.zip", packed("a/stops", points) + packed("b/stops", points))
    refused("two_folders.zip", COUNTS, 0, "shapefiles in several folders")
    archive("leads_out.zip", packed("../stops", points))
    refused("leads_out.zip", COUNTS, 0, "is an archive without a shapefile")
    archive("no_shapefile.zip", [("read me.txt", "the file is on the other computer\n")])
    refused("no_shapefile.zip", COUNTS, 0, "is an archive without a shapefile")

    geometry = {"type": "Polygon", "coordinates": [[list(point) for point in EDGE + EDGE[:1]]]}
    put("clean.geojson", json.dumps({"type": "Feature", "properties": {"name": "Made up"}, "geometry": geometry}) + "\n")
    field = "field"
    archive("field.zip", packed("field", edge))
    case("field.zip", field, twin="clean.geojson")
    walk = EDGE + [(EDGE[0][0] + 0.0001, EDGE[0][1])]
    put("walked.gpx", gpx([EDGE + EDGE[:1]]))
    case("walked.gpx", field, "the boundary is a closed line", twin="clean.geojson")
    put("nearly_round.gpx", gpx([EDGE + [(EDGE[0][0], EDGE[0][1] + 0.0001)]]))
    case("nearly_round.gpx", field, "the boundary is a line, closed over the 36 ft (11 m) between its ends",
         twin="near:clean.geojson")
    put("in_pieces.gpx", gpx([EDGE[:3], EDGE[2:] + EDGE[:1]]))
    case("in_pieces.gpx", field, "the boundary is a closed line", twin="clean.geojson")
    put("half_round.gpx", gpx([EDGE[:3]]))
    refused("half_round.gpx", field, 1, "is a line that is not closed")
    places = " ".join(f"{x:.7f},{y:.7f},0" for x, y in EDGE + EDGE[:1])
    line = f"<Placemark><name>Edge</name><LineString><coordinates>{places}</coordinates></LineString></Placemark>"
    put("drawn.kml", f'{XML}<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{line}</Document></kml>\n')
    case("drawn.kml", field, "the boundary is a closed line", twin="clean.geojson")
    polygon = (f"<Placemark><name>Edge</name><Polygon><outerBoundaryIs><LinearRing><coordinates>{places}</coordinates>"
               "</LinearRing></outerBoundaryIs></Polygon></Placemark>")
    small = polygon.replace("-39.3360000", "-39.3370000")
    put("two_layers.kml", f'{XML}<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><name>now</name>{polygon}'
        f"</Folder><Folder><name>before</name>{small}</Folder></Document></kml>\n")
    refused("two_layers.kml", field, 0, 'has 2 layers of polygons: "now"|name one with {field-layer} NAME')
    case("two_layers.kml", field + ";layer=now", twin="clean.geojson")


def main():
    OUT.mkdir(parents=True, exist_ok=True)
    for old in OUT.iterdir():
        if old.name != "README.md":
            old.unlink()
    for part in (delimiters, titles_and_totals, numbers, headers, angles, dates, workbooks, shapes):
        part()
    put("cases.tsv", "file\toptions\ttwin\trow\twords\n" + "".join("\t".join(line) + "\n" for line in cases))
    print(f"{len(cases)} cases, {len({line[0] for line in cases})} files in {OUT}")


main()
