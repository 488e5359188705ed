#!/usr/bin/env bash
# What is installed works for a stranger: a small program of theirs builds through pkg-config alone and through CMake,
# against the shared and the static library; the program runs from there; man page and completion are sound.
set -euo pipefail
if grep -q '^FOCI_SANITIZE:BOOL=ON' "$FOCI_BUILD/CMakeCache.txt"; then
    echo "skipped: a stranger's program has no sanitizer; the other presets run this"
    exit 77
fi
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
prefix=$folder/prefix
cmake --install "$FOCI_BUILD" --prefix "$prefix" >/dev/null
library=$(dirname "$(find "$prefix" -name libfieldfoci.a)")
export PKG_CONFIG_PATH=$library/pkgconfig

cat >"$folder/stranger.c" <<'END'
#include <fieldfoci/fieldfoci.h>
#include <stdio.h>

int main(void) {
    foci_point corners[] = {{0, 0}, {2.5, 0}, {2.5, 3.2}, {0, 3.2}};
    foci_ring ring = {4, corners};
    foci_polygon polygon = {1, &ring};
    foci_multipolygon field = {1, &polygon};
    printf("%g %s\n", foci_multipolygon_area(&field), foci_correlation_find("spherical")->name);
    return 0;
}
END
expect() { # WHAT PROGRAM
    local said
    said=$(LD_LIBRARY_PATH=$library "$2")
    [[ $said == "8 spherical" ]] || { echo "$1: the stranger's program says '$said'"; exit 1; }
}

# pkg-config writes the prefix it was configured with, so it is told where things went.
read -ra flags < <(pkg-config --define-variable=prefix="$prefix" --cflags --libs fieldfoci)
gcc -std=c17 "$folder/stranger.c" -o "$folder/through_pkg_config" "${flags[@]}"
expect "pkg-config" "$folder/through_pkg_config"

# The program that docs/library.md shows: arrays in memory come to zones, a picture and a survey folder, through pkg-config alone.
gcc -std=c17 -Wall -Wextra -Wpedantic -Werror "$FOCI_SOURCE/docs/library.c" -o "$folder/library" "${flags[@]}" -lm
(cd "$folder" && LD_LIBRARY_PATH=$library ./library >said) || { echo "docs/library.c fails"; exit 1; }
grep -Eqx '[0-9]+\.[0-9]{2} ha, chance 0\.[5-9][0-9]' "$folder/said" || { echo "docs/library.c says: $(cat "$folder/said")"; exit 1; }
[[ -s $folder/map.png && -s $folder/survey/survey.json ]]
! (cd "$folder" && LD_LIBRARY_PATH=$library ./library >/dev/null 2>said_again) || { echo "docs/library.c replaces its folder"; exit 1; }
grep -qx 'survey: is already there; add overwrite to replace it, or choose another name' "$folder/said_again"

cat >"$folder/CMakeLists.txt" <<'END'
cmake_minimum_required(VERSION 3.25)
project(stranger C)
find_package(fieldfoci 0.1 REQUIRED)
foreach(kind shared static)
  add_executable(${kind} stranger.c)
  target_link_libraries(${kind} PRIVATE fieldfoci::${kind})
endforeach()
END
cmake -G Ninja -S "$folder" -B "$folder/build" -DCMAKE_PREFIX_PATH="$prefix" >/dev/null
cmake --build "$folder/build" >/dev/null
expect "CMake, shared" "$folder/build/shared"
expect "CMake, static" "$folder/build/static"

[[ $("$prefix/bin/fieldfoci" --version) == "$("$FOCI_PROGRAM" --version)" ]]
page=$prefix/share/man/man1/fieldfoci.1
warnings=$(MANWIDTH=200 man --warnings -l "$page" 2>&1 >"$folder/page.txt")
[[ -z $warnings ]] || { echo "man page: $warnings"; exit 1; }
grep -q -- '--treat-chance' "$folder/page.txt"
completion=$prefix/share/bash-completion/completions/fieldfoci
bash -n "$completion"
# The completion, loaded and asked: `fieldfoci ma<TAB>`.
# shellcheck disable=SC1090 # the path is this run's
source "$completion"
asked=$(complete -p fieldfoci | sed -n 's/.*-F \([^ ]*\).*/\1/p')
COMP_WORDS=(fieldfoci ma) COMP_CWORD=1 COMP_LINE="fieldfoci ma" COMP_POINT=12
"$asked" fieldfoci ma fieldfoci
[[ " ${COMPREPLY[*]} " == *" map "* ]] || { echo "completion of 'ma' gives '${COMPREPLY[*]}'"; exit 1; }
