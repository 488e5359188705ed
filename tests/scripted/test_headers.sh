#!/usr/bin/env bash
# Each public header compiles alone, as strict C17 and as C++.
set -euo pipefail
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
for header in "$FOCI_SOURCE"/include/fieldfoci/*.h; do
    name=${header##*/}
    echo "#include \"fieldfoci/$name\"" >"$folder/alone.c"
    cp "$folder/alone.c" "$folder/alone.cpp"
    gcc -std=c17 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I "$FOCI_SOURCE/include" "$folder/alone.c"
    g++ -std=c++17 -Wall -Wextra -Wpedantic -Werror -fsyntax-only -I "$FOCI_SOURCE/include" "$folder/alone.cpp"
done
