#!/usr/bin/env bash
# Both commands of the README on a bare Debian 12: debootstrap's smallest system in a folder of its own, a clone of HEAD
# in it, nothing else. Needs root and debootstrap. Usage: test_bare.sh [demo | test], else one after the other.
#
# Of this machine only these come along, read as it runs: where Debian is fetched (its apt sources), where npm packages
# are fetched (its npm settings, with the certificates named there), and a proxy. All else must come from the packages.
set -euo pipefail
cd "$(dirname "$0")/.."
release=bookworm
case ${1:-} in
    "") commands=(demo test) ;;
    demo | test) commands=("$1") ;;
    *) echo "usage: test_bare.sh [demo | test]" >&2; exit 2 ;;
esac
[[ $(id -u) == 0 ]] || { echo "this needs root" >&2; exit 1; }
for tool in debootstrap unshare git apt-get; do
    command -v "$tool" >/dev/null || { echo "this needs $tool: apt-get install $tool" >&2; exit 1; }
done

place=$(mktemp -d)
root=$place/root
world=
# The inner world ends before its root goes; it has ended when its first process, the child of `unshare`, is gone.
clean_up() {
    if [[ -n $world ]]; then
        kill -KILL "$(cat "/proc/$world/task/$world/children")" || true
        wait "$world" || true
    fi
    rm -rf --one-file-system "$place"
}
trap clean_up EXIT
trap 'exit 143' INT TERM HUP

# apt's own reading of its sources, old style or new: URI, suite and component of each.
# shellcheck disable=SC2016 # the braces are apt-get's
sources=$(apt-get indextargets --format 'deb $(REPO_URI) $(RELEASE) $(COMPONENT)' 'Created-By: Packages' |
    awk -v release="$release" '$3 ~ "^" release && $4 == "main"')
mirror=$(awk -v release="$release" '$3 == release { print $2; exit }' <<<"$sources")
[[ -n $mirror ]] || { echo "the apt sources of this machine name no mirror of $release" >&2; exit 1; }

settings=()
eval "$(apt-config shell http_proxy Acquire::http::Proxy https_proxy Acquire::https::Proxy)"
for name in http_proxy https_proxy no_proxy; do
    if [[ -n ${!name:-} ]]; then
        export "${name?}"
        settings+=("$name=${!name}")
    fi
done
certificates=
if command -v npm >/dev/null; then
    settings+=("npm_config_registry=$(npm config get registry)")
    certificates=$(npm config get cafile)
fi

echo "== a bare $release"
include=()
if [[ $sources == *https:* ]]; then include=(--include=ca-certificates); fi
debootstrap --variant=minbase "${include[@]}" "$release" "$root" "$mirror" >"$place/log" 2>&1 ||
    { tail -5 "$place/log" >&2; exit 1; }
echo "$sources" >"$root/etc/apt/sources.list"
if [[ -f $certificates ]]; then
    cp "$certificates" "$root/etc/npm-certificates.pem"
    settings+=(npm_config_cafile=/etc/npm-certificates.pem)
fi
git clone -q --no-hardlinks . "$root/fieldfoci"
echo "== HEAD is $(git log -1 --format='%h %s')"

# In a world of its own for mounts and processes: both are gone with it, however it ends. The root is mounted on itself,
# since a test can mount a small disk only where its root is a mount.
inside() { # COMMAND
    # shellcheck disable=SC2016 # the arguments of the inner shell
    unshare --mount --pid --fork --kill-child bash -c '
        mount --bind "$0" "$0" && mount -t proc proc "$0/proc" && mount -t tmpfs tmpfs "$0/dev/shm" &&
            exec chroot "$0" env -i --chdir=/fieldfoci "$@"' "$root" \
        PATH=/usr/local/sbin:/usr/local/bin:/usr/sbin:/usr/bin:/sbin:/bin HOME=/root "${settings[@]}" "$1" \
        >"$place/log" 2>&1 &
    world=$!
    tail -n +1 -f --pid="$world" "$place/log" &
    local shown=$! status=0
    wait "$world" || status=$?
    world=
    wait "$shown"
    return "$status"
}
for command in "${commands[@]}"; do
    echo "== scripts/$command.sh on a bare $release"
    inside "scripts/$command.sh"
done
# Whatever a test wants to have, a bare machine gets.
if grep '\*\*\*Skipped' "$place/log"; then
    echo "on a bare machine nothing may be skipped" >&2
    exit 1
fi
if [[ ${commands[0]} == demo && ! -s $root/fieldfoci/demo/map.png ]]; then
    echo "scripts/demo.sh made no demo/map.png" >&2
    exit 1
fi
echo "== a bare $release passes: ${commands[*]/%/.sh}"
