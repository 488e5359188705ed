#!/usr/bin/env bash
# Maps the invented demo field, from a bare Debian 12 on: installs what is missing, builds, writes the survey to demo/.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=scripts/packages.sh
source scripts/packages.sh

install_missing "${build_packages[@]}"
say "building"
cmake --preset release -DBUILD_TESTING=OFF >/dev/null
cmake --build --preset release -- --quiet
say "mapping the demo field"
build/release/fieldfoci map testdata/demo/stops-2026.csv --field testdata/demo/field.geojson \
    --hits infected --checked checked --id stop --when date \
    --disease sclerotinia-stem-rot-of-soybean --threshold 10 --row-heading 6 --swath 12 --least-run 15 --season 2026 --out demo --overwrite
say "done"
cat <<END
The picture is $PWD/demo/map.png

Look first at the dark patches with an outline: there the disease has most likely passed the threshold of 10 %.
Then at the small panel: it says how sure that is. How to read the rest: README.md, "Reading the map".
END
