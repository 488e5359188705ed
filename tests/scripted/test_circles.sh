#!/usr/bin/env bash
# scripts/check_circles.sh sees files that need each other: planted among the objects of this build.
set -euo pipefail
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
status=0
script=$FOCI_SOURCE/scripts/check_circles.sh

fresh() {
    rm -rf "$folder/build"
    mkdir "$folder/build"
    cp -rs "$FOCI_BUILD/CMakeFiles" "$folder/build"
    cp "$FOCI_BUILD/compile_commands.json" "$folder/build"
}

object() { # NAME CODE: the object file of a source src/planted/NAME.c
    local made=CMakeFiles/foci_planted_objects.dir/src/planted/$1.c.o
    mkdir -p "$(dirname "$folder/build/$made")"
    cc -x c -c -o "$folder/build/$made" - <<<"$2"
    echo "cc -o $made -c src/planted/$1.c" >>"$folder/build/compile_commands.json"
}

judge() { # TITLE WORDS: the script must fail with these words; with none it must pass
    if bash "$script" "$folder/build" >"$folder/said" 2>&1; then
        [[ -z $2 ]] || { echo "not caught: $1"; status=1; }
    elif [[ -z $2 ]] || ! grep -qE -- "$2" "$folder/said"; then
        echo "$1: wrongly said, '$2' expected"
        cat "$folder/said"
        status=1
    fi
}

fresh
judge "the build as it is" ""

object a 'void b(void); void a(void); void a(void) { b(); }'
object b 'void b(void); void b(void) { }'
judge "one file needs another" ""

object b 'void a(void); void b(void); void b(void) { a(); }'
judge "two files" 'in a circle:.* src/planted/[ab] src/planted/[ab]'

object b 'void c(void); void b(void); void b(void) { c(); }'
object c 'extern int of_a; int c(void); int c(void) { return of_a; }'
object a 'void b(void); void a(void); int of_a; void a(void) { b(); }'
judge "three files, by a variable" 'in a circle:.* src/planted/[abc] src/planted/[abc] src/planted/[abc]'

object c 'static int of_a; int c(void); int c(void) { return of_a; }'
judge "a name of its own, as another file has" ""

rm "$folder/build/compile_commands.json"
judge "no build" 'names no object files'
exit $status
