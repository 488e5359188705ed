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

judge() { # RUN'S STATUS, then for each breach: FILE TEXT WORDS
    local caught=$1
    shift
    while (($#)); do
        if ((!caught)); then
            echo "not caught: $2 in $1"
            status=1
        elif ! grep -F -- "$1" "$folder/said" | grep -qF -- "$3"; then
            echo "caught, but '$3' is not said of $1: $2"
            cat "$folder/said"
            status=1
        fi
        shift 3
    done
}

check_tree() {
    if bash "$FOCI_SOURCE/scripts/check_floors.sh" "$folder/tree" >"$folder/said" 2>&1; then return 0; else return 1; fi
}

# A breach in a file that is there already stands alone in a tree.
plant() { # FILE TEXT WORDS: TEXT put on top of FILE must be caught, with these words
    local caught=0
    fresh
    sed -i "1i\\$2" "$folder/tree/$1"
    check_tree || caught=1
    judge "$caught" "${4:-$1}" "$2" "$3"
}

# Breaches in files of their own share one: each must be told of its own file.
together=()
plant_new() { # FOLDER/planted.ENDING TEXT WORDS
    local file=${1%.*}_$((${#together[@]} / 3)).${1##*.}
    together+=("$file" "$2" "$3")
}
plant_all() {
    local caught=0 i
    fresh
    for ((i = 0; i < ${#together[@]}; i += 3)); do
        mkdir -p "$folder/tree/$(dirname "${together[i]}")"
        echo "${together[i + 1]}" >"$folder/tree/${together[i]}"
    done
    check_tree || caught=1
    judge "$caught" "${together[@]}"
}

fresh
bash "$FOCI_SOURCE/scripts/check_floors.sh" "$folder/tree"

plant src/base/memory.c '#include "data/places/projection.h"' 'floor base includes data/places/projection.h of the higher floor data'
plant_new src/data/files/planted.c '#include "fieldfoci/surface.h"' 'floor data includes fieldfoci/surface.h of the higher floor estimate'
plant_new src/estimate/planted.c '  #  include "decide/zones/patches.h"' 'higher floor decide'
plant_new src/keep/planted.c '#include "fieldfoci/settings.h"' 'floor keep includes fieldfoci/settings.h of the higher floor run'
plant_new src/decide/zones/planted.c '#include "keep/folder.h"' 'higher floor keep'
plant_new src/show/draw/planted.h '#include "fieldfoci/fieldfoci.h"' 'higher floor all'
plant_new src/cli/planted.c '#include "base/text.h"' 'the program sees public headers only'
plant_new src/cli/planted.c '#include "desk/folder.h"' 'the program sees public headers only'
plant_new src/desk/planted.c '#include "base/text.h"' 'the desk sees public headers only'
plant_new src/run/steps/planted.c '#include "desk/desk.h"' 'higher floor desk'
plant_new src/desk/planted.c '#include <microhttpd.h>' '<microhttpd.h> may be included only by'
plant_new src/data/files/planted.c '#include <gdal.h>' '<gdal.h> may be included only by'
plant src/data/files/raster_file.c '#include <ogr_api.h>' '<ogr_api.h> may be included only by'
plant_new src/estimate/planted.c '#include <cblas.h>' '<cblas.h> may be included only by src/base/linear.c'
plant_new src/show/draw/planted.c '#include <omp.h>' '<omp.h> may be included only by'
plant_new src/base/planted.c '#include <curl/curl.h>' '<curl/curl.h> has no door'
plant include/fieldfoci/grid.h '#include <gdal.h>' 'a public header includes the third-party <gdal.h>'
plant include/fieldfoci/grid.h '#include "data/places/overlay.h"' 'a public header includes the private data/places/overlay.h'
plant include/fieldfoci/grid.h '#include "fieldfoci/zones.h"' 'floor data includes fieldfoci/zones.h'
plant_new include/fieldfoci/planted.h '#include "fieldfoci/grid.h"' 'public header of no known floor'
plant include/fieldfoci/stops.h '#include "fieldfoci/field.h"' 'in a circle' 'include/fieldfoci'
plant_new src/attic/planted.c '#include <stdio.h>' 'src/attic is no floor'
plant_new src/base/attic/planted.c '#include <stdio.h>' 'floor base is flat, it has no room attic'
plant_new src/data/planted.c '#include <stdio.h>' 'data is none of the rooms files < places'
plant_new src/data/attic/planted.c '#include <stdio.h>' 'data/attic is none of the rooms files < places'
plant_new src/data/files/planted.c '#include "data/places/overlay.h"' 'room data/files includes data/places/overlay.h of data/places, which is not below it'
plant_new src/data/profiles/planted.c '#include "data/stops/columns.h"' 'of data/stops, which is not below it'
plant_new src/data/stops/planted.c '#include "fieldfoci/field.h"' 'room data/stops includes fieldfoci/field.h of data/field'
plant_new src/base/planted.c '#include "memory.h"' 'needs its folder'
plant_new src/base/planted.c '#include "base/gone.h"' 'does not exist'
plant_new src/run/settings/planted.c '#include "base/memory.c"' 'is no header'

# One of them alone is enough.
plant src/keep/folder.c '#include "fieldfoci/settings.h"' 'floor keep includes fieldfoci/settings.h of the higher floor run'
plant_all

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
