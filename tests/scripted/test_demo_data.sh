#!/usr/bin/env bash
# The committed demo field is what its script makes.
set -euo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
PYTHONDONTWRITEBYTECODE=1 python3 "$FOCI_SOURCE/scripts/make_demo_data.py" "$place"
for file in "$place"/*; do
    cmp "$file" "$FOCI_TESTDATA/demo/${file##*/}"
done
