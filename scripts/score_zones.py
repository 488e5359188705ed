#!/usr/bin/python3
"""What does it cost to treat in lanes? Runs `fieldfoci map` over fields whose truth is known and scores its treat zone.

    scripts/score_zones.py PROGRAM FIELDS [--swath 12] [--least-run 15] [--treat-chance 0.4] [--options "..."] [--only NAME]

FIELDS as for score_fields.py. Caught: share of the truth's cells over the threshold that the treat zone covers, against
the cells of highest chance that together have the same area; fields without a treat zone are named and left out of the
mean. Form: the zones laid on a raster along the lanes (0.5 m along, an eighth of a swath across), where a lane must be of
one zone from side to side and no stretch of treat or dig between two other zones may be shorter than the least run; a
stretch that the field's boundary ends has its least length in the lane, not in the field, and is not looked at. Areas:
those of the zones together against the field's. Needs Debian's python3-numpy and python3-gdal.
"""
import argparse
import json
import math
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from osgeo import gdal, ogr, osr

from score_fields import read, sample, true_heading

gdal.UseExceptions()
ogr.UseExceptions()
osr.UseExceptions()

ALONG, ACROSS = 0.5, 8  # meters, pixels per swath
CODES = {"leave": 1, "dig": 2, "treat": 3}


def plane_of(path):
    system = osr.SpatialReference(wkt=gdal.Open(str(path)).GetProjection())
    system.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return system


def burn(package, system, frame, columns, rows):
    """The zones' codes on a raster, 0 where there is none; each pixel by its center."""
    raster = gdal.GetDriverByName("MEM").Create("", columns, rows, 1, gdal.GDT_Byte)
    raster.SetGeoTransform(frame)
    raster.SetProjection(system.ExportToWkt())
    survey = ogr.Open(str(package))  # a layer lives as long as its file is held
    source = survey.GetLayerByName("zones")
    turn = osr.CoordinateTransformation(source.GetSpatialRef(), system)
    memory = ogr.GetDriverByName("Memory").CreateDataSource("")
    for name, code in CODES.items():
        layer = memory.CreateLayer(name, system, ogr.wkbMultiPolygon)
        source.ResetReading()
        for feature in source:
            if feature["zone"] != name:
                continue
            shape = feature.GetGeometryRef().Clone()
            shape.Transform(turn)
            made = ogr.Feature(layer.GetLayerDefn())
            made.SetGeometry(shape)
            layer.CreateFeature(made)
        gdal.RasterizeLayer(raster, [1], layer, burn_values=[code])
    return raster.ReadAsArray()


def reach(field, system, heading):
    """The field's extent across (to the right of the heading) and along."""
    data = ogr.Open(str(field))
    feature = data.GetLayer().GetNextFeature()
    wgs84 = osr.SpatialReference()
    wgs84.ImportFromEPSG(4326)
    wgs84.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    shape = feature.GetGeometryRef().Clone()
    shape.Transform(osr.CoordinateTransformation(wgs84, system))
    part = shape.GetGeometryRef(0)
    ring = np.array((part if part.GetGeometryCount() == 0 else part.GetGeometryRef(0)).GetPoints())[:, :2]
    sin, cos = math.sin(math.radians(heading)), math.cos(math.radians(heading))
    across, along = ring @ [cos, -sin], ring @ [sin, cos]
    return across.min(), across.max(), along.min(), along.max(), sin, cos


def stretches(codes):
    """Code, length and whether both neighbors are other zones, of each stretch of equal codes."""
    cuts = np.flatnonzero(np.diff(codes)) + 1
    starts, ends = np.r_[0, cuts], np.r_[cuts, len(codes)]
    for k, (start, end) in enumerate(zip(starts, ends)):
        held = 0 < k < len(starts) - 1 and codes[start - 1] > 0 and codes[end] > 0
        yield codes[start], end - start, held


def score_form(package, field, system, heading, swath, least):
    """Pixels in which a lane is not of one zone across, shortest stretch of treat and of dig (meters), lanes."""
    west, east, south, north, sin, cos = reach(field, system, heading)
    side = swath / ACROSS
    lanes = math.ceil((east - west) / swath - 1e-9)
    rows = math.ceil((north - south) / ALONG)
    # pixel (column, row) -> west + column x side across, north - row x ALONG along
    frame = (west * cos + north * sin, side * cos, -ALONG * sin, -west * sin + north * cos, -side * sin, -ALONG * cos)
    codes = burn(package, system, frame, lanes * ACROSS, rows)
    mixed, shortest = 0, {"treat": math.inf, "dig": math.inf}
    rim = (east - west) - (lanes - 1) * swath < 0.1 * swath
    for lane in range(lanes):
        strip = codes[:, lane * ACROSS:(lane + 1) * ACROSS].astype(int)
        top = strip.max(axis=1)
        mixed += int(((strip != top[:, None]) & (strip > 0)).any(axis=1).sum()) if not (rim and lane == lanes - 1) else 0
        for code, length, held in stretches(top):
            for name in shortest:
                if held and code == CODES[name]:
                    shortest[name] = min(shortest[name], length * ALONG)
    return mixed, shortest, lanes


def run(program, folder, out, meta, given):
    heading = true_heading(folder / "field.geojson", meta["row_heading_deg"])
    command = [program, "map", str(folder / "points.geojson"), "--field", str(folder / "field.geojson"), "--hits", "infected",
               "--checked", "checked", "--threshold", repr(100 * meta["threshold"]), "--row-heading", repr(heading),
               "--treat-chance", repr(given.treat_chance), "--swath", repr(given.swath), "--least-run",
               repr(given.least_run), "--out", str(out), "--quiet", *shlex.split(given.options)]
    subprocess.run(command, check=True)


def score_field(folder, given, work):
    meta = json.loads((folder / "meta.json").read_text())
    run(given.program, folder, work / "map", meta, given)
    system = plane_of(work / "map" / "severity.tif")
    truth, frame = read(folder / "truth.tif")
    zone = burn(work / "map" / "survey.gpkg", system, frame, truth.shape[1], truth.shape[0])
    rows, columns = np.nonzero(np.isfinite(truth) & (truth >= 0))
    chance = sample(work / "map" / "chance.tif", frame[0] + (columns + 0.5) * frame[1], frame[3] + (rows + 0.5) * frame[5])
    over, treated = truth[rows, columns] >= meta["threshold"], zone[rows, columns] == CODES["treat"]
    best = np.argsort(-np.nan_to_num(chance, nan=-1), kind="stable")[:treated.sum()]
    summary = json.loads((work / "map" / "survey.json").read_text())
    area = sum(part["area_ha"] for part in summary["zones"].values())
    mixed, shortest, lanes = score_form(work / "map" / "survey.gpkg", folder / "field.geojson", system,
                                        meta["row_heading_deg"], given.swath, given.least_run)
    cell = abs(frame[1] * frame[5]) / 1e4
    return {"treated": treated.sum() * cell, "alone": (chance >= given.treat_chance).sum() * cell,
            "caught": over[treated].sum() / over.sum(), "best": over[best].sum() / over.sum(),
            "mixed": mixed, "shortest": shortest, "lanes": lanes,
            "gap": area / summary["field"]["area_ha"] - 1}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("fields", type=Path)
    parser.add_argument("--swath", type=float, default=12)
    parser.add_argument("--least-run", type=float, default=15)
    parser.add_argument("--treat-chance", type=float, default=0.4)
    parser.add_argument("--options", default="", help="further options for map")
    parser.add_argument("--only", help="one field's name")
    given = parser.parse_args()
    folders = sorted(f for f in given.fields.iterdir() if (f / "truth.tif").exists() and given.only in (None, f.name))
    if not folders:
        sys.exit(f"{given.fields}: no folder with a truth.tif")
    ratios, without, bad = [], [], []
    print(f"{'field':<10} {'by cells':>8} {'in lanes':>8} {'caught':>7} {'cells':>7} {'ratio':>7} {'treat':>7} {'dig':>7} "
          f"{'mixed':>6} {'areas':>9}")
    for folder in folders:
        with tempfile.TemporaryDirectory() as work:
            s = score_field(folder, given, Path(work))
        ratio = s["caught"] / s["best"] if s["best"] > 0 else math.nan
        if math.isfinite(ratio):
            ratios.append(ratio)
        else:
            without.append(folder.name)
        if s["mixed"] or min(s["shortest"].values()) < given.least_run - 2 * ALONG or abs(s["gap"]) > 1e-6:
            bad.append(folder.name)
        print(f"{folder.name:<10} {s['alone']:8.3f} {s['treated']:8.3f} {s['caught']:7.4f} {s['best']:7.4f} {ratio:7.4f} "
              f"{s['shortest']['treat']:7.1f} {s['shortest']['dig']:7.1f} {s['mixed']:6d} {s['gap']:+9.1e}", flush=True)
    print(f"\ncaught in lanes against cells of the same area: mean ratio {np.mean(ratios):.4f} over {len(ratios)} fields")
    print("without a treat zone:", ", ".join(without) or "none")
    print("narrower or shorter than can be driven, or with a gap:", ", ".join(bad) or "none")


if __name__ == "__main__":
    main()
