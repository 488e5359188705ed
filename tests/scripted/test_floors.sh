#!/usr/bin/env bash
# scripts/check_floors.sh sees each kind of breach: planted one at a time in a copy of the tree.
set -euo pipefail
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
status=0

fresh() {
    rm -rf "$folder/tree"
    mkdir "$folder/tree"
    cp -r "$FOCI_SOURCE/src" "$FOCI_SOURCE/include" "$folder/tree"
}

plant() { # FILE TEXT WORDS: TEXT put on top of FILE must be caught, with these words
    fresh
    mkdir -p "$folder/tree/$(dirname "$1")"
    touch "$folder/tree/$1"
    sed -i "1i\\$2" "$folder/tree/$1" 2>/dev/null
    [[ -s $folder/tree/$1 ]] || echo "$2" >"$folder/tree/$1"
    if bash "$FOCI_SOURCE/scripts/check_floors.sh" "$folder/tree" >"$folder/said" 2>&1; then
        echo "not caught: $2 in $1"
        status=1
    elif ! grep -qF -- "$3" "$folder/said"; then
        echo "caught, but '$3' is not said: $2 in $1"
        cat "$folder/said"
        status=1
    fi
}

fresh
bash "$FOCI_SOURCE/scripts/check_floors.sh" "$folder/tree"

plant src/base/memory.c '#include "data/places/projection.h"' 'floor base includes data/places/projection.h of the higher floor data'
plant src/data/files/planted.c '#include "fieldfoci/surface.h"' 'floor data includes fieldfoci/surface.h of the higher floor estimate'
plant src/estimate/planted.c '  #  include "decide/zones/patches.h"' 'higher floor decide'
plant src/keep/planted.c '#include "fieldfoci/settings.h"' 'floor keep includes fieldfoci/settings.h of the higher floor run'
plant src/decide/zones/planted.c '#include "keep/folder.h"' 'higher floor keep'
plant src/show/draw/planted.h '#include "fieldfoci/fieldfoci.h"' 'higher floor all'
plant src/cli/planted.c '#include "base/text.h"' 'the program sees public headers only'
plant src/cli/planted.c '#include "desk/folder.h"' 'the program sees public headers only'
plant src/desk/planted.c '#include "base/text.h"' 'the desk sees public headers only'
plant src/run/steps/planted.c '#include "desk/desk.h"' 'higher floor desk'
plant src/desk/planted.c '#include <microhttpd.h>' '<microhttpd.h> may be included only by'
plant src/data/files/planted.c '#include <gdal.h>' '<gdal.h> may be included only by'
plant src/data/files/raster_file.c '#include <ogr_api.h>' '<ogr_api.h> may be included only by'
plant src/estimate/planted.c '#include <cblas.h>' '<cblas.h> may be included only by src/base/linear.c'
plant src/show/draw/planted.c '#include <omp.h>' '<omp.h> may be included only by'
plant src/base/planted.c '#include <curl/curl.h>' '<curl/curl.h> has no door'
plant include/fieldfoci/grid.h '#include <gdal.h>' 'a public header includes the third-party <gdal.h>'
plant include/fieldfoci/grid.h '#include "data/places/overlay.h"' 'a public header includes the private data/places/overlay.h'
plant include/fieldfoci/grid.h '#include "fieldfoci/zones.h"' 'floor data includes fieldfoci/zones.h'
plant include/fieldfoci/planted.h '#include "fieldfoci/planted.h"' 'public header of no known floor'
plant include/fieldfoci/stops.h '#include "fieldfoci/field.h"' 'in a circle'
plant src/attic/planted.c '#include <stdio.h>' 'src/attic is no floor'
plant src/base/attic/planted.c '#include <stdio.h>' 'floor base is flat, it has no room attic'
plant src/data/planted.c '#include <stdio.h>' 'data is none of the rooms files < places'
plant src/data/attic/planted.c '#include <stdio.h>' 'data/attic is none of the rooms files < places'
plant src/data/files/planted.c '#include "data/places/overlay.h"' 'room data/files includes data/places/overlay.h of data/places, which is not below it'
plant src/data/profiles/planted.c '#include "data/stops/columns.h"' 'of data/stops, which is not below it'
plant src/data/stops/planted.c '#include "fieldfoci/field.h"' 'room data/stops includes fieldfoci/field.h of data/field'
plant src/base/planted.c '#include "memory.h"' 'needs its folder'
plant src/base/planted.c '#include "base/gone.h"' 'does not exist'
plant src/run/settings/planted.c '#include "base/memory.c"' 'is no header'

# Two private nouns that include each other, one of them from its source file only.
fresh
echo '#include "data/places/overlay.h"' >>"$folder/tree/src/data/files/json_file.h"
echo '#include "data/files/json_file.h"' >>"$folder/tree/src/data/places/overlay.c"
if bash "$FOCI_SOURCE/scripts/check_floors.sh" "$folder/tree" >"$folder/said" 2>&1; then
    echo "not caught: json_file.h and overlay.c in a circle"
    status=1
fi
grep -q 'in a circle:.*src/data/places/overlay' "$folder/said" || { echo "the circle is not named"; cat "$folder/said"; status=1; }
exit $status
