#!/usr/bin/env bash
# A history in a database server: its own, on a private socket, stopped and removed at the end.
set -uo pipefail
bin=/usr/lib/postgresql/15/bin
if [[ ! -x $bin/initdb || ! -e /usr/share/postgresql/15/extension/postgis.control ]]; then
    echo "skipped: postgresql-15 and postgresql-15-postgis-3 are not installed"
    exit 77
fi
place=$(mktemp -d)
chmod 755 "$place"
as_server=()
if [[ $(id -u) == 0 ]]; then # the server refuses root
    as_server=(runuser -u postgres --)
    install -d -o postgres "$place/server"
else
    mkdir "$place/server"
fi
cleanup() {
    "${as_server[@]}" "$bin/pg_ctl" -D "$place/server/data" -m immediate -w stop >/dev/null 2>&1
    rm -rf "$place"
}
trap cleanup EXIT
cd "$place" || exit 1
fail() {
    echo "$*"
    exit 1
}
"${as_server[@]}" "$bin/initdb" -D "$place/server/data" -U keeper -A trust -E UTF8 --locale=C >log 2>&1 || fail "initdb: $(cat log)"
"${as_server[@]}" "$bin/pg_ctl" -D "$place/server/data" -w -l "$place/server/log" \
    -o "-c listen_addresses='' -c unix_socket_directories='$place/server' -c fsync=off" start >log 2>&1 || fail "start: $(cat log)"
sql() {
    "$bin/psql" -h "$place/server" -U keeper -d "$1" -qtA -v ON_ERROR_STOP=1 -c "$2"
}
sql postgres 'CREATE DATABASE farm' && sql farm 'CREATE EXTENSION postgis' || fail "no database"
history="PG:host=$place/server user=keeper dbname=farm"

"$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --hits infected \
    --checked checked --threshold 10 --cell 16 --season 2026 --quiet --out survey || exit 1
for number in $(seq 10 39); do
    mkdir "season-$number"
    ln -s "$place/survey/survey.gpkg" "season-$number/survey.gpkg"
    sed "s/\"season\": \"2026\"/\"season\": \"$number\"/" survey/survey.json >"season-$number/survey.json"
done

# No tables yet: nothing to list. Two recorders make them at the same time; some surveys are in both.
"$FOCI_PROGRAM" history "$history" 2>said && fail "an empty database was listed"
grep -q "no table 'fields'" said || fail "an empty database: $(cat said)"
"$FOCI_PROGRAM" record season-[12]? --history "$history" --quiet &
first=$!
"$FOCI_PROGRAM" record season-[23]? --history "$history" --quiet &
second=$!
wait "$first" || fail "the first of two recorders failed"
wait "$second" || fail "the second of two recorders failed"
[[ $(sql farm 'SELECT count(*), count(DISTINCT sha256) FROM surveys') == "30|30" ]] || fail "surveys: $(sql farm 'SELECT count(*) FROM surveys')"
[[ $(sql farm 'SELECT count(*), count(DISTINCT survey) FROM stops') == "2970|30" ]] || fail "stops: $(sql farm 'SELECT count(*) FROM stops')"
[[ $(sql farm 'SELECT count(*) FROM fields') == 1 ]] || fail "fields: $(sql farm 'SELECT count(*) FROM fields')"
[[ $(sql farm "SELECT count(*) FROM digs WHERE ST_SRID(geom) = 4326") == 300 ]] || fail "digs"

# Twice is once, notes come later, and the same list comes from a server and from a file.
"$FOCI_PROGRAM" record season-* --history file.gpkg --crop "keeper's choice" --quiet || exit 1
"$FOCI_PROGRAM" record season-* --history "$history" --crop "keeper's choice" --quiet || exit 1
"$FOCI_PROGRAM" history file.gpkg --json >file.json || exit 1
"$FOCI_PROGRAM" history "$history" --json >server.json || exit 1
# The driver writes numbers with 15 significant digits, places with every bit.
python3 - file.json server.json <<'PYTHON' || fail "the server's list is not the file's"
import json, sys
def read(name):
    return json.load(open(name), parse_float=lambda text: float("%.15g" % float(text)))
sys.exit(read(sys.argv[1]) != read(sys.argv[2]))
PYTHON
sql farm "COPY (SELECT survey || '|' || number || '|' || hits || '|' || checked || '|' || coalesce(chance, -1) || '|' ||
    encode(ST_AsBinary(geom, 'XDR'), 'hex') FROM stops WHERE hits IS NOT NULL ORDER BY survey, number) TO STDOUT" >server.txt || exit 1
python3 - file.gpkg >file.txt <<'PYTHON' || exit 1
import sqlite3, struct, sys
for survey, number, hits, checked, chance, shape in sqlite3.connect(sys.argv[1]).execute(
        "SELECT survey, number, hits, checked, coalesce(chance, -1), geom FROM stops WHERE hits IS NOT NULL "
        "ORDER BY survey, number"):
    x, y = struct.unpack("<dd", shape[-16:])
    print(survey, number, *("%.15g" % n for n in (hits, checked, chance)),
          struct.pack(">BIdd", 0, 1, x, y).hex(), sep="|")
PYTHON
python3 - server.txt >numbers.txt <<'PYTHON' && mv numbers.txt server.txt || exit 1
import sys
for line in open(sys.argv[1]):
    survey, number, hits, checked, chance, shape = line.strip().split("|")
    print(survey, number, *("%.15g" % float(n) for n in (hits, checked, chance)), shape, sep="|")
PYTHON
[[ $(wc -l <file.txt) == 2940 ]] || fail "the file has $(wc -l <file.txt) stops"
cmp file.txt server.txt || fail "the server's stops are not the file's: $(diff file.txt server.txt | head -4)"

# Two seasons out of the server and out of the file: the same comparison, byte for byte.
for year in 2024 2026; do
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-$year.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --hits infected \
        --checked checked --id stop --when date --threshold 10 --cell 16 --digs 0 --quiet --out "demo-$year" || exit 1
    "$FOCI_PROGRAM" record "demo-$year" --history "$history" --quiet || exit 1
    "$FOCI_PROGRAM" record "demo-$year" --history file.gpkg --quiet || exit 1
done
mapfile -t both < <(sql farm "SELECT substr(sha256, 1, 12) FROM surveys WHERE season IN ('2024', '2026') AND first_date <> ''")
[[ ${#both[@]} == 2 ]] || fail "demo surveys on the server: ${both[*]}"
"$FOCI_PROGRAM" seasons --only "${both[0]}" --only "${both[1]}" --history "$history" --out server-seasons --quiet || exit 1
"$FOCI_PROGRAM" seasons --only "${both[0]}" --only "${both[1]}" --history file.gpkg --out file-seasons --quiet || exit 1
for name in persistence.tif classes.tif persistence.png; do
    cmp "server-seasons/$name" "file-seasons/$name" || fail "$name from the server is not that from the file"
done
# A password in the connection string is neither kept nor shown, nor left in the list of processes.
secret=s3cret-Zx9
open="$history password='$secret'"
"$FOCI_PROGRAM" seasons --only "${both[0]}" --only "${both[1]}" --history "$open" --out open-seasons >said 2>&1 || fail "$(cat said)"
"$FOCI_PROGRAM" record demo-2024 --history "$open" >>said 2>&1 || fail "$(cat said)"
"$FOCI_PROGRAM" history "$open" --remove 1999 >>said 2>&1 && fail "what is not there was taken out"
grep -q 'password=\*\*\*' said && grep -q 'password=\*\*\*' open-seasons/seasons.json || fail "the history is not named: $(cat said)"
grep -raF "$secret" said open-seasons && fail "the password is kept or shown"
"$FOCI_PROGRAM" record demo-2024 --history "$open" --quiet &
process=$!
while words=$(tr '\0' ' ' <"/proc/$process/cmdline" 2>/dev/null) && [[ -n $words ]]; do shown=$words; done
wait "$process" || fail "cannot be recorded while it is looked at"
[[ $shown == *'password=***'* && $shown != *"$secret"* ]] || fail "the list of processes shows: $shown"

sql farm "DELETE FROM surveys WHERE first_date <> ''" >said 2>&1 && fail "a survey could be taken from its stops"
for table in stops zones digs; do
    sql farm "DELETE FROM $table WHERE survey IN (SELECT sha256 FROM surveys WHERE first_date <> '')" || exit 1
done
sql farm "DELETE FROM surveys WHERE first_date <> ''" || exit 1

# A transaction that the server refuses at its very end leaves nothing; an entry that lost rows is no entry, and is made
# whole; rows of no survey are refused.
sql farm "CREATE FUNCTION refuse() RETURNS trigger LANGUAGE plpgsql AS \$\$ BEGIN RAISE EXCEPTION 'the disk is full'; END \$\$;
    CREATE CONSTRAINT TRIGGER late AFTER INSERT ON surveys DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION refuse()" || exit 1
before=$(sql farm 'SELECT (SELECT count(*) FROM surveys), (SELECT count(*) FROM stops), (SELECT count(*) FROM digs)')
"$FOCI_PROGRAM" record demo-2024 --history "$history" 2>said
status=$?
[[ $status == 1 ]] && grep -q 'the disk is full' said || fail "refused at the end: status $status, $(cat said)"
[[ $(sql farm 'SELECT (SELECT count(*) FROM surveys), (SELECT count(*) FROM stops), (SELECT count(*) FROM digs)') == "$before" ]] ||
    fail "what was refused at the end left something"
sql farm 'DROP TRIGGER late ON surveys' || exit 1
sql farm "DELETE FROM stops WHERE number = 99 AND survey = (SELECT sha256 FROM surveys WHERE season = '11')" || exit 1
"$FOCI_PROGRAM" record season-11 --history "$history" 2>said || fail "cannot be made whole: $(cat said)"
grep -q 'was there in part, and is whole now' said || fail "an entry without a stop: $(cat said)"
[[ $(sql farm "SELECT count(*), max(crop) FROM stops, surveys WHERE survey = sha256 AND season = '11'") == "99|keeper's choice" ]] ||
    fail "season 11 was not made whole"
sql farm "INSERT INTO digs (survey, id) VALUES ('none', 1)" >said 2>&1 && fail "a dig-check of no survey was taken"

# Tables of an earlier version, without counts and ties, get them.
sql farm 'ALTER TABLE surveys DROP COLUMN stop_rows, DROP COLUMN zone_rows, DROP COLUMN dig_rows;
    ALTER TABLE stops DROP CONSTRAINT stops_of_surveys; DROP INDEX stops_by_survey' || exit 1
"$FOCI_PROGRAM" history "$history" >listed || fail "tables of an earlier version cannot be listed"
[[ $(wc -l <listed) == 31 ]] || fail "tables of an earlier version: $(wc -l <listed) lines are listed"
"$FOCI_PROGRAM" record season-11 --history "$history" --quiet || fail "tables of an earlier version cannot be written"
[[ $(sql farm "SELECT count(*) FROM pg_constraint WHERE conname = 'stops_of_surveys'") == 1 ]] || fail "the tie is not there again"
[[ $(sql farm 'SELECT count(*), count(stop_rows) FROM surveys') == "30|0" ]] || fail "the counts are not there again"

# Another map of a season: refused, or in its place with all that belongs to it; two at a time leave one. Then taken out.
map_otherwise() { # THRESHOLD OUT
    "$FOCI_PROGRAM" map "$FOCI_TESTDATA/demo/stops-2026.csv" --field "$FOCI_TESTDATA/demo/field.geojson" --hits infected \
        --checked checked --threshold "$1" --cell 16 --season 10 --quiet --out "$2" || exit 1
}
map_otherwise 12 other-12
map_otherwise 14 other-14
"$FOCI_PROGRAM" record other-12 --history "$history" 2>said && fail "another map of a season was recorded beside it"
grep -q -- '--replace' said || fail "another map: $(cat said)"
[[ $(sql farm 'SELECT count(*) FROM surveys') == 30 ]] || fail "a refusal changed the history"
"$FOCI_PROGRAM" record other-12 --history "$history" --replace --quiet &
first=$!
"$FOCI_PROGRAM" record other-14 --history "$history" --replace --quiet &
second=$!
wait "$first" || fail "the first of two replacements failed"
wait "$second" || fail "the second of two replacements failed"
[[ $(sql farm "SELECT count(*) FROM surveys WHERE season = '10'") == 1 ]] || fail "two maps of one season are left"
[[ $(sql farm 'SELECT count(*), count(DISTINCT survey) FROM stops') == "2970|30" ]] || fail "stops after the replacement"
[[ $(sql farm "SELECT crop FROM surveys WHERE season = '10'") == "keeper's choice" ]] || fail "the season's crop is lost"
"$FOCI_PROGRAM" history "$history" --remove 10 --field-name "$(sql farm 'SELECT name FROM fields')" 2>said || fail "$(cat said)"
grep -q 'taken out of .*, 10' said || fail "what was taken out: $(cat said)"
[[ $(sql farm 'SELECT count(*), count(DISTINCT survey) FROM stops') == "2871|29" ]] || fail "stops after taking out"
"$FOCI_PROGRAM" history "$history" --remove 10 --quiet 2>said && fail "what is not there was taken out"
grep -q "no survey of season '10'" said || fail "taking out what is not there: $(cat said)"
"$FOCI_PROGRAM" record season-10 --history "$history" --crop "keeper's choice" --quiet || exit 1

# Killed in the middle: what is listed is whole.
for number in $(seq 40 49); do
    mkdir "season-$number"
    ln -s "$place/survey/survey.gpkg" "season-$number/survey.gpkg"
    sed "s/\"season\": \"2026\"/\"season\": \"$number\"/" survey/survey.json >"season-$number/survey.json"
    "$FOCI_PROGRAM" record "season-$number" --history "$history" --quiet &
    process=$!
    sleep "0.0$number"
    kill -9 "$process" 2>/dev/null
    wait "$process" 2>/dev/null
done
"$FOCI_PROGRAM" record season-4? --history "$history" --quiet || fail "cannot be recorded after the kills"
[[ $(sql farm 'SELECT count(*) FROM surveys') == 40 ]] || fail "after the kills: $(sql farm 'SELECT count(*) FROM surveys') surveys"
[[ $(sql farm 'SELECT count(*) FROM stops') == 3960 ]] || fail "after the kills: $(sql farm 'SELECT count(*) FROM stops') stops"
