#!/usr/bin/env bash
# Recording where a write, flush, open or renaming fails: a sample; scripts/sweep.sh has them all.
set -uo pipefail
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place" || exit 1
# shellcheck source=tests/support/history_faults.sh
source "$FOCI_SOURCE/tests/support/history_faults.sh"
make_surveys
faults 31 5
echo "$runs recordings with a failing call: $refused did nothing and said so, $((runs - refused)) were whole"
