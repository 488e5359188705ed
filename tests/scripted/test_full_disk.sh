#!/usr/bin/env bash
# A disk that fills up while writing: exit 1, one line that says so, nothing half-written left, the old survey whole.
# Needs leave to mount a small tmpfs; skipped with a message where there is none.
set -uo pipefail
if [[ ${1:-} != inside ]]; then
    for way in "unshare -m" "unshare -rm"; do
        if $way sh -c 'mount -t tmpfs -o size=64k tmpfs /mnt' 2>/dev/null; then
            exec $way bash "$0" inside
        fi
    done
    echo "skipped: mounting a tmpfs is not allowed here"
    exit 77
fi

here=$(cd "$(dirname "$0")" && pwd)
mount -t tmpfs -o size=16m tmpfs /mnt
mkdir /mnt/given /mnt/disk
cd /mnt/given && python3 "$here/bad_input_files.py" || exit 1

wrong=0
complain() {
    echo "FAIL $1"
    sed 's/^/    | /' /mnt/stderr | head -5
    wrong=1
}
disk() { # SIZE: an empty disk of that size
    umount /mnt/disk 2>/dev/null
    mount -t tmpfs -o "size=$1" tmpfs /mnt/disk
}
must_fail() { # TITLE COMMAND...
    "${@:2}" >/mnt/stdout 2>/mnt/stderr
    local status=$?
    [[ $status == 1 ]] || complain "$1: exit status is $status, not 1"
    [[ $(wc -l </mnt/stderr) == 1 ]] || complain "$1: not one line"
    grep -qi 'space\|full\|writ' /mnt/stderr || complain "$1: the line does not speak of writing"
}
is_empty() { # TITLE
    local left
    left=$(find /mnt/disk -mindepth 1)
    [[ -z $left ]] || complain "$1: left behind: $left"
}

survey=(map good.csv --value score --field field.geojson --threshold 10 --cell 1 --quiet)
for size in 4k 24k 64k 140k 200k; do
    disk "$size"
    must_fail "map on $size" "$FOCI_PROGRAM" "${survey[@]}" --out /mnt/disk/out
    is_empty "map on $size"
done
for ending in csv geojson gpkg; do
    disk 40k
    must_fail "estimate .$ending" "$FOCI_PROGRAM" estimate good.csv --value score --quiet --at places.csv --out "/mnt/disk/at.$ending"
    is_empty "estimate .$ending"
done
disk 4k
must_fail "variogram picture" "$FOCI_PROGRAM" variogram good.csv --value score --quiet --out /mnt/disk/variogram.png
is_empty "variogram picture"

# Room for one survey but not for two: the old one stays, byte for byte.
disk 8m
"$FOCI_PROGRAM" "${survey[@]}" --out /mnt/disk/out || complain "map on 8m"
room=$(du -sk /mnt/disk/out | cut -f1)
mount -o "remount,size=$((room + 60))k" /mnt/disk
before=$(cd /mnt/disk && find . -type f -exec sha256sum {} + | sort)
must_fail "overwrite" "$FOCI_PROGRAM" "${survey[@]}" --out /mnt/disk/out --overwrite
[[ $before == "$(cd /mnt/disk && find . -type f -exec sha256sum {} + | sort)" ]] || complain "overwrite: the old survey is not what it was"
exit $wrong
