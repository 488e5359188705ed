#!/usr/bin/env bash
# No two files may need each other, at first or at second hand: reads from the object files of a build which file defines
# what another one needs, and looks for circles. Usage: check_circles.sh BUILD
set -euo pipefail
cd "${1:?usage: check_circles.sh BUILD}"

# The objects that the build makes now; what older ones left behind in its folder is none of them.
objects=()
if [[ -f compile_commands.json ]]; then
    mapfile -t objects < <(grep -oE -- '-o CMakeFiles/[^ ]+\.dir/src/[^ ]+\.o' compile_commands.json | cut -c 4- | sort)
fi
if ((!${#objects[@]})); then
    echo "check_circles: $1/compile_commands.json names no object files: configure and build a preset first" >&2
    exit 1
fi
complaints=0
complain() {
    echo "check_circles: $*" >&2
    complaints=$((complaints + 1))
}

# "FILE NEEDED" for each need, once, as src/data/files/json_file. nm writes "PATH: NAME KIND ...": U is needed.
needs=$(nm -A -P -g "${objects[@]}" | awk '
    { file = $1; sub(/:$/, "", file); sub(/^CMakeFiles\/[^\/]*\.dir\//, "", file); sub(/\.(c|cpp)\.o$/, "", file) }
    $3 == "U" { wanted[file " " $2]; next }
    $3 ~ /^[TDBRCGS]$/ { defines[$2] = file }
    END {
        for (pair in wanted) {
            split(pair, part, " ")
            if (part[2] in defines && defines[part[2]] != part[1]) print part[1], defines[part[2]]
        }
    }' | sort -u)

# tsort names the members of each circle that it meets.
if ! loop=$(tsort <<<"$needs" 2>&1 >/dev/null); then
    while read -r circle; do
        complain "files need each other in a circle: $circle"
    done < <(awk '{ sub(/^tsort: /, "") } /contains a loop/ { if (line) print line; line = ""; next }
                  { line = line " " $0 } END { print line }' <<<"$loop")
fi

if ((complaints)); then
    exit 1
fi
echo "check_circles: ${#objects[@]} files, no circle"
