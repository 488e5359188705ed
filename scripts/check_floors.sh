#!/usr/bin/env bash
# Reads the include lines of src/ and include/ and judges them by the house rules (DEVELOPERS.md, "Floor"):
# own floor or lower ones only, own room or lower ones of the floor, no third-party header but in its door, no circle.
# Usage: check_floors.sh [TREE]
set -euo pipefail
cd "${1:-$(dirname "$0")/..}"

declare -A height=([base]=0 [data]=1 [estimate]=2 [decide]=3 [keep]=4 [show]=5 [run]=6 [all]=7 [desk]=8 [cli]=9)

# The rooms of a floor: `<` above the ones before it, side by side without it. A floor without a line is flat.
declare -A rooms=(
    [data]="files < places scales < stops profiles < field < checks"
    [estimate]="space < gaussian < variogram < fit < predict < seasons < surface"
    [decide]="pattern < zones < digs < survey < plan < seasons < words"
    [show]="draw < page < map < report letter < exports seasons task < plan"
    [run]="settings look < steps < seasons plan")

# The floor of each public header, or its floor/room: the lowest in which something of it is made.
# A header whose struct serves lower rooms too has its floor alone, and any room of it may include it.
declare -A floor_of=(
    [error]=base [estimate]=base [execution]=base [geometry]=base [paper]=base [plain_number]=base [rating]=base [dates]=base [notes]=base [words]=base [unfinished]=base [secrets]=base
    [ordinal]=data/scales [stops]=data/stops [field]=data/field [checks]=data/stops [first_look]=data/checks [profile]=data/profiles [grid]=data [photo]=data [marks]=data
    [correlation]=estimate [variogram]=estimate [surface]=estimate [cross_validation]=estimate/surface
    [pattern]=decide/pattern [agreement]=decide/seasons [walk]=decide/digs [dig_points]=decide/digs [gaps]=decide/zones [hotspots]=decide/zones [zones]=decide/zones [economics]=decide/zones [sample_size]=decide/plan [layout]=decide/plan [plan]=decide/plan [survey]=decide/survey [persistence]=decide/seasons [seasons]=decide/seasons
    [summary]=keep [history]=keep
    [export]=show [page]=show/page [map]=show/map [task]=show/task
    [plan_form]=show/plan [look]=run/look [settings]=run/settings [steps]=run/steps [planning]=run/plan [comparison]=run/seasons
    [fieldfoci]=all)

# Third-party headers, each with the only files that may include it.
doors=(
    "proj.h geodesic.h|src/data/places/projection.c"
    "ogr_srs_api.h|src/data/files/gdal_session.c src/data/files/vector_file.c src/data/files/vector_writer.c src/data/files/raster_file.c src/data/files/database.c"
    "ogr_*.h|src/data/files/sheet_rows.c src/data/files/vector_file.c src/data/files/vector_layers.c src/data/files/vector_shape.c src/data/files/vector_writer.c src/data/files/database.c src/data/files/database_handle.c src/data/files/database_schema.c src/data/files/database_rows.c"
    "gdal.h gdal_*.h cpl_*.h|src/data/files/gdal_session.c src/data/files/text_encoding.c src/data/files/text_file.c src/data/files/sheet_rows.c src/data/files/zip_members.c src/data/files/zip_shapefile.c src/data/files/vector_layers.c src/data/files/vector_guard.c src/data/files/vector_file.c src/data/files/vector_writer.c src/data/files/raster_file.c src/data/files/photo_file.c src/data/files/zip_file.c src/data/files/database.c src/data/files/database_handle.c src/data/files/database_file.c src/data/files/database_schema.c"
    "sqlite3.h|src/data/files/geopackage_guard.c"
    "jansson.h|src/data/files/json_file.c"
    "geos_c.h|src/data/places/overlay.c"
    "sha2.h|src/data/files/fingerprint.c"
    "cblas.h lapacke.h|src/base/linear.c"
    "nlopt.h|src/base/optimum.c"
    "cairo.h cairo-*.h pango/*.h|src/show/draw/canvas.c"
    "png.h|src/show/draw/png_file.c"
    "libxml/*.h|src/show/draw/xml_file.c"
    "microhttpd.h|src/desk/http.c"
    "omp.h|src/base/parallel.c")

# Everything else in <> must be the C or C++ language's or the operating system's.
system=" assert.h complex.h ctype.h errno.h fenv.h float.h inttypes.h limits.h locale.h math.h setjmp.h signal.h stdarg.h
 stdatomic.h stdbool.h stddef.h stdint.h stdio.h stdlib.h string.h tgmath.h threads.h time.h cmath
 arpa/inet.h dirent.h fcntl.h ftw.h getopt.h netinet/in.h pthread.h pwd.h strings.h unistd.h linux/fs.h
 sys/file.h sys/ioctl.h sys/mman.h sys/prctl.h sys/random.h sys/resource.h sys/select.h sys/socket.h sys/stat.h sys/syscall.h sys/types.h sys/wait.h "

complaints=0
complain() {
    echo "check_floors: $*" >&2
    complaints=$((complaints + 1))
}

# any_matches NAME PATTERN... : whether one of the shell patterns fits.
any_matches() {
    local name=$1 pattern
    shift
    for pattern; do
        # shellcheck disable=SC2053 # the right side is meant as a pattern
        [[ $name == $pattern ]] && return 0
    done
    return 1
}

# Puts the floor that a file belongs to into REPLY, and floor/room into REPLY_ROOM: the floor alone outside all rooms.
find_floor() {
    if [[ $1 == include/* ]]; then
        local noun=${1##*/}
        REPLY_ROOM=${floor_of[${noun%.h}]:-}
    else
        REPLY_ROOM=${1#src/}
        REPLY_ROOM=${REPLY_ROOM%/*}
    fi
    REPLY=${REPLY_ROOM%%/*}
}

# The height of each room on its floor, by floor/room.
declare -A room_height=()
for floor in "${!rooms[@]}"; do
    level=0
    for word in ${rooms[$floor]}; do
        if [[ $word == "<" ]]; then level=$((level + 1)); else room_height[$floor/$word]=$level; fi
    done
done

judge_own() { # FILE LINE INCLUDED
    local file=$1 line=$2 path target mine target_room mine_room
    if [[ $3 == fieldfoci/* ]]; then
        path=include/$3
    elif [[ $3 == */* ]]; then
        path=src/$3
    elif [[ $file == src/cli/* ]]; then
        path=src/cli/$3 # the program's own header
    else
        complain "$file:$line: \"$3\" needs its folder: \"floor/$3\" or \"fieldfoci/$3\""
        return
    fi
    if [[ $path != *.h ]]; then complain "$file:$line: $3 is no header"; return; fi
    if [[ ! -f $path ]]; then complain "$file:$line: $path does not exist"; return; fi
    edges+="${file%.*} ${path%.*}"$'\n'
    find_floor "$file"
    mine=$REPLY mine_room=$REPLY_ROOM
    find_floor "$path"
    target=$REPLY target_room=$REPLY_ROOM
    if [[ $file == include/* && $path != include/* ]]; then
        complain "$file:$line: a public header includes the private $3"
    fi
    if [[ $mine == cli && $path != include/* && $path != src/cli/* && $path != src/desk/desk.h ]]; then
        complain "$file:$line: the program sees public headers only, not $3"
    elif [[ $mine == desk && $path != include/* && $path != src/desk/* ]]; then
        complain "$file:$line: the desk sees public headers only, not $3"
    elif [[ -n $target && -n $mine && -n ${height[$target]:-} && -n ${height[$mine]:-} ]] && ((height[$target] > height[$mine])); then
        complain "$file:$line: floor $mine includes $3 of the higher floor $target"
    elif [[ $mine == "$target" && $mine_room != "$target_room" && -n ${room_height[$target_room]:-} && -n ${room_height[$mine_room]:-} ]] && ((room_height[$target_room] >= room_height[$mine_room])); then
        complain "$file:$line: room $mine_room includes $3 of $target_room, which is not below it"
    fi
}

judge_foreign() { # FILE LINE HEADER
    local file=$1 line=$2 header=$3 door names places
    [[ $system == *[[:space:]]"$header"[[:space:]]* ]] && return
    if [[ $file == include/* ]]; then
        complain "$file:$line: a public header includes the third-party <$header>"
        return
    fi
    for door in "${doors[@]}"; do
        read -ra names <<<"${door%%|*}"
        any_matches "$header" "${names[@]}" || continue
        read -ra places <<<"${door#*|}"
        any_matches "$file" "${places[@]}" || complain "$file:$line: <$header> may be included only by ${door#*|}"
        return
    done
    complain "$file:$line: <$header> has no door: add it to scripts/check_floors.sh, or do without it"
}

set -f # the doors hold patterns that must not become file names
edges=""
mapfile -t files < <(find src include -name '*.c' -o -name '*.h' -o -name '*.cpp' | sort)
for file in "${files[@]}"; do
    find_floor "$file"
    if [[ $file == include/* && -z $REPLY ]]; then
        complain "$file: public header of no known floor: add it to floor_of in scripts/check_floors.sh"
    elif [[ $file == include/* && $REPLY_ROOM == "$REPLY" ]]; then
        continue # of the whole floor
    elif [[ $file != include/* && -z ${height[$REPLY]:-} ]]; then
        complain "$file: src/$REPLY is no floor"
    elif [[ -n ${rooms[$REPLY]:-} && -z ${room_height[$REPLY_ROOM]:-} ]]; then
        complain "$file: $REPLY_ROOM is none of the rooms ${rooms[$REPLY]}"
    elif [[ -z ${rooms[$REPLY]:-} && $REPLY_ROOM == */* ]]; then
        complain "$file: floor $REPLY is flat, it has no room ${REPLY_ROOM#*/}"
    fi
done
while IFS=: read -r file line text; do
    if [[ $text =~ ^[[:space:]]*#[[:space:]]*include[[:space:]]*[\"\<](fieldfoci/[^\"\>]+)[\"\>] ||
        $text =~ ^[[:space:]]*#[[:space:]]*include[[:space:]]*\"([^\"]+)\" ]]; then
        judge_own "$file" "$line" "${BASH_REMATCH[1]}"
    elif [[ $text =~ ^[[:space:]]*#[[:space:]]*include[[:space:]]*\<([^\>]+)\> ]]; then
        judge_foreign "$file" "$line" "${BASH_REMATCH[1]}"
    else
        complain "$file:$line: an include that cannot be judged: $text"
    fi
done < <(grep -nE '^[[:space:]]*#[[:space:]]*include' "${files[@]}" /dev/null)

# A private header and its source are one: two of them must not need each other. A public header stands for itself, since
# a catalog includes the files of its kinds and these include its public header.
if ! loop=$(awk 'NF && $1 != $2' <<<"$edges" | sort -u | tsort 2>&1 >/dev/null); then
    complain "files include each other in a circle:$(sed -n 's/^tsort: \([a-z]*\/.*\)/ \1/p' <<<"$loop" | tr -d '\n')"
fi

if ((complaints)); then
    echo "check_floors: $complaints breaches of the house rules" >&2
    exit 1
fi
echo "check_floors: ${#files[@]} files, no breach"
