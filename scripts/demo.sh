#!/usr/bin/env bash
# Maps the invented demo fields, from a bare Debian 12 on: installs what is missing, builds, writes the survey of the
# soybean field to demo/, that of two years before to demo-2024/, the comparison of both to demo-seasons/, and the survey
# of the peanut field to demo-peanut/.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=scripts/packages.sh
source scripts/packages.sh

install_missing "${build_packages[@]}"
say "building"
cmake --preset release -DBUILD_TESTING=OFF >/dev/null
cmake --build --preset release -- --quiet
map_season() { # SEASON OUT [OPTION...]
    build/release/fieldfoci map "testdata/demo/stops-$1.csv" --field testdata/demo/field.geojson \
        --hits infected --checked checked --id stop --when date --disease sclerotinia-stem-rot-of-soybean \
        --threshold 10 --row-heading 6 --season "$1" --out "$2" --overwrite "${@:3}"
}
say "mapping the demo field"
map_season 2026 demo
say "comparing it with the season of 2024"
map_season 2024 demo-2024 --quiet >/dev/null
build/release/fieldfoci seasons demo-2024 demo --out demo-seasons --overwrite
say "mapping the peanut field"
build/release/fieldfoci map testdata/demo/peanut-stops-2026.csv --field testdata/demo/peanut-field.geojson \
    --id stop --when date --disease southern-stem-rot-of-peanut --threshold 5 --row-heading 86 --swath 20ft \
    --least-run 30ft --margin 10ft --out demo-peanut --overwrite
say "done"
cat <<END
The picture is $PWD/demo/map.png

Look first at the dark patches with an outline: there the disease has most likely passed the threshold of 10 %.
Then at the small panel: it says how sure that is. How to read the rest: README.md, "Reading the map".

Whether the pockets of 2024 came back: $PWD/demo-seasons/persistence.png

The same without typing commands, as a page on this machine: $PWD/build/release/fieldfoci desk

A field where there is still time to act this season, and whose zones can go to the sprayer (README.md says how):
$PWD/demo-peanut/map.png
END
