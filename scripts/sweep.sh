#!/usr/bin/env bash
# The whole of what tests/scripted/test_history_faults.sh samples: recording while every single write, flush, open and
# renaming fails, once and from then on, and on disks of every size from too small to enough. Takes some minutes; needs
# leave to mount a small tmpfs. Usage: sweep.sh [BUILD]
set -uo pipefail
cd "$(dirname "$0")/.." || exit 1
FOCI_SOURCE=$PWD
build=$(cd "${1:-build/dev}" && pwd) || exit 1
export FOCI_SOURCE FOCI_TESTDATA=$FOCI_SOURCE/testdata FOCI_PROGRAM=$build/fieldfoci SOURCE_DATE_EPOCH=1750000000
export FOCI_FAILING_CALLS=$build/tests/libfailing_calls.so LC_ALL=C.UTF-8
if [[ ${2:-} != inside ]]; then
    for way in "unshare -m" "unshare -rm"; do
        if $way sh -c 'mount -t tmpfs -o size=64k tmpfs /mnt' 2>/dev/null; then
            exec $way bash scripts/sweep.sh "$build" inside
        fi
    done
    echo "sweep.sh: mounting a tmpfs is not allowed here"
    exit 1
fi
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place" || exit 1
# shellcheck source=tests/support/history_faults.sh
source "$FOCI_SOURCE/tests/support/history_faults.sh"
make_surveys

faults 1 1
echo "failing calls: $runs recordings, $refused did nothing and said so, $((runs - refused)) were whole"

# Sizes in pages: from one that holds the history alone to one on which recording goes through, over a history of one
# survey and over none.
page=$(getconf PAGESIZE)
sizes() { # SURVEYS-BEFORE
    local before=$1 pages=1 through=0 status
    ((before)) && pages=$((($(stat -c %s one.gpkg) + page - 1) / page + 1))
    for (( ; through < 3; pages++)); do
        title="a disk of $pages pages, $before surveys before"
        mkdir -p disk
        mount -t tmpfs -o "size=$((pages * page))" tmpfs disk || fail "$title: cannot be mounted"
        if ((before)) && ! cp one.gpkg disk/history.gpkg 2>/dev/null; then
            umount disk
            continue
        fi
        "$FOCI_PROGRAM" record second --history disk/history.gpkg --quiet >/dev/null 2>said
        status=$?
        judge "$status" disk "$before"
        through=$((status == 0 ? through + 1 : 0))
        mount -o "remount,size=64m" disk || fail "$title: cannot be made larger"
        again disk $((before + 1))
        umount disk
    done
}
runs=0
refused=0
rm -rf disk
sizes 1
sizes 0
echo "disks of every size: $runs recordings, $refused did nothing and said so, $((runs - refused)) were whole"
