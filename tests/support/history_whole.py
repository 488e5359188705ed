"""Complains where a history file is not whole: arguments are the file and how many surveys it must hold."""
import sqlite3
import sys

base = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
surveys = int(sys.argv[2])


def one(sql):
    return base.execute(sql).fetchone()[0]


found = {"integrity": one("PRAGMA integrity_check"), "surveys": one("SELECT count(*) FROM surveys")}
wanted = {"integrity": "ok", "surveys": surveys}
for table, column in ("stops", "stop_rows"), ("zones", "zone_rows"), ("digs", "dig_rows"):
    found[f"{table} of no survey"] = one(f"SELECT count(*) FROM {table} WHERE survey NOT IN (SELECT sha256 FROM surveys)")
    found[f"surveys without all their {table}"] = one(
        f"SELECT count(*) FROM surveys WHERE {column} IS NOT "
        f"(SELECT count(*) FROM {table} WHERE survey = sha256)")
    wanted[f"{table} of no survey"] = wanted[f"surveys without all their {table}"] = 0
found["surveys of no field"] = one("SELECT count(*) FROM surveys WHERE field_id NOT IN (SELECT id FROM fields)")
wanted["surveys of no field"] = 0
for table in "fields", "surveys", "stops", "zones", "digs":
    found[f"{table} by the file's own count"] = one(
        f"SELECT feature_count FROM gpkg_ogr_contents WHERE table_name = '{table}'")
    wanted[f"{table} by the file's own count"] = one(f"SELECT count(*) FROM {table}")
    found[f"counting triggers of {table}"] = one(
        f"SELECT count(*) FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%feature_count_{table}'")
    wanted[f"counting triggers of {table}"] = 2
wrong = [f"{key}: {found[key]}, not {wanted[key]}" for key in wanted if found[key] != wanted[key]]
if wrong:
    sys.exit(f"{sys.argv[1]}: " + "; ".join(wrong))
