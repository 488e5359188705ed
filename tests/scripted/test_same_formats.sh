#!/usr/bin/env bash
# The meuse data (155 soil samples, testdata/reference/README.md) as CSV, shapefile, GeoPackage and GeoJSON give the same
# surface. The first three carry the same coordinates, so their cells must be equal to the last bit. GeoJSON holds degrees
# with 15 decimals and a way there and back through PROJ (0.4 mm here): 0.01 of readings up to 1839 mg/kg. No centre of a
# 17.3 m cell lies on a sample: there the nugget's jump would make a tenth of a millimetre matter.
set -euo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
reference=$FOCI_TESTDATA/reference
system=EPSG:28992
cp "$reference/meuse.csv" .
convert() {
    ogr2ogr -q "$1" meuse.csv -oo X_POSSIBLE_NAMES=x -oo Y_POSSIBLE_NAMES=y -oo AUTODETECT_TYPE=YES -a_srs $system "${@:2}"
}
convert meuse.shp
convert meuse.gpkg
convert meuse.geojson -s_srs $system -t_srs EPSG:4326 -lco COORDINATE_PRECISION=15

for ending in csv shp gpkg geojson; do
    "$FOCI_PROGRAM" map meuse.$ending --value zinc --threshold 500 --crs $system --work-crs $system \
        --field "$reference/meuse_field.geojson" --cell 17.3 --quiet --out "survey_$ending"
    for layer in severity chance; do
        gdal_translate -q -of XYZ "survey_$ending/$layer.tif" "${layer}_$ending.xyz"
    done
done

compare() { # LAYER ENDING TOLERANCE
    paste -d' ' "$1_csv.xyz" "$1_$2.xyz" | awk -v most="$3" -v what="$1 of $2 against csv" '
        $1 != $4 || $2 != $5 { print what ": cells lie elsewhere"; bad = 1; exit }
        tolower($3) == "nan" || tolower($6) == "nan" { if (tolower($3) != tolower($6)) { print what ": nodata differs"; bad = 1; exit } next }
        { d = $3 - $6; if (d < 0) d = -d; if (d > far) far = d; n++ }
        END { if (!bad) printf "%s: %d cells, largest difference %g\n", what, n, far
              exit bad || n < 3000 || far > most }'
}
for layer in severity chance; do
    compare $layer shp 0
    compare $layer gpkg 0
done
compare severity geojson 0.01
compare chance geojson 0.0001
