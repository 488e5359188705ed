# shellcheck shell=bash disable=SC2034
# Debian 12 packages, and one way to get those that are missing. Sourced by demo.sh and test.sh.

# Needed to build and run.
build_packages=(cmake ninja-build pkg-config gcc g++ libc6-dev
    libgdal-dev libproj-dev libgeos-dev libpng-dev libxml2-dev
    liblapacke-dev libopenblas-dev libnlopt-dev
    libcairo2-dev libpango1.0-dev fonts-dejavu-core
    libjansson-dev libmd-dev libsqlite3-dev libjs-leaflet libmicrohttpd-dev)

# Needed besides to test; libomp-dev for the omp.h that clang-tidy reads.
test_packages=(libcmocka-dev gdal-bin clang-format clang-tidy libomp-dev man-db poppler-utils python3 libxml2-utils
    postgresql-15 postgresql-15-postgis-3 chromium)
# A Node.js from elsewhere brings its own npm and would not have Debian's beside it.
if ! command -v npm >/dev/null; then test_packages+=(nodejs npm); fi

say() {
    echo "== $*"
}

# Runs a command as root, through sudo where this user is not root.
as_root() {
    if [[ $(id -u) == 0 ]]; then
        "$@"
    elif command -v sudo >/dev/null; then
        sudo "$@"
    else
        echo "this needs root: run it as root, or install sudo" >&2
        return 1
    fi
}

# Installs those of the named packages that are missing, and says which.
install_missing() {
    local package missing=()
    for package; do
        [[ $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) == installed ]] || missing+=("$package")
    done
    if ((${#missing[@]} == 0)); then
        say "all ${#} packages are installed already"
        return
    fi
    if ! command -v apt-get >/dev/null; then
        echo "missing: ${missing[*]}; this system has no apt-get, install them its own way" >&2
        return 1
    fi
    say "installing ${missing[*]}"
    local quiet=(env DEBIAN_FRONTEND=noninteractive apt-get -qq -o Dpkg::Use-Pty=0 -o APT::Install-Recommends=false)
    # The lists of a fresh system are empty, those of an old one name versions that are gone.
    if ! as_root "${quiet[@]}" install -y "${missing[@]}" >/dev/null 2>&1; then
        as_root "${quiet[@]}" update
        as_root "${quiet[@]}" install -y "${missing[@]}" >/dev/null
    fi
}
