#!/usr/bin/env bash
# Every check there is, from a bare Debian 12 on: installs what is missing, then house rules, layout, build and tests
# under gcc with warnings as errors, static analysis, build and tests under the sanitizers. Stops at the first failure.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=scripts/packages.sh
source scripts/packages.sh

passed=0
failed=0
skipped=0
log=$(mktemp)
finish() {
    local status=$?
    rm -f "$log"
    if ((status && !failed)); then failed=1; fi
    if ((skipped)); then echo "$skipped skipped, for the reason in build/*/Testing/Temporary/LastTest.log"; fi
    echo "$passed passed, $failed failed"
    exit "$status"
}
trap finish EXIT

check() { # TITLE COMMAND...
    say "$1"
    "${@:2}"
    passed=$((passed + 1))
}

# Everything runs once, in the build where it tells most: C tests, cases, wrong input and full disks under the sanitizers,
# which see what the plain build sees (both compile with -O1) and more; killing, waiting, comparing bytes, statistics and
# what judges sources in the plain one, which builds no other C tests.
statistics='/test_(score_coverage|walk)$'
dev_tests=(-R "^(scripted|house)/|$statistics" -E '^scripted/test_(bad_input|degenerate|desk_attacks|full_disk|postgis|task|verdicts)$')
dev_targets=(fieldfoci fieldfoci_static generated_pages failing_calls test_score_coverage test_walk)
plain='desk|plan|killed|interrupted|history|history_faults|same_bytes|same_formats|install|sheet_words|photo|styles|report|demo_data|floors|headers|circles'
sanitize_tests=(-E "^scripted/test_($plain)\$|^house/|$statistics")

# Builds a preset's targets and runs those tests that ctest's options choose; ctest's summary gives the numbers.
build_and_test() { # PRESET TARGETS CTEST-OPTIONS...
    local preset=$1 targets=$2 status=0 counts skips
    say "$preset: build"
    cmake --preset "$preset" >"$log" || { cat "$log"; return 1; }
    # shellcheck disable=SC2086 # several targets
    cmake --build --preset "$preset" --target $targets -- --quiet
    say "$preset: tests"
    ctest --preset "$preset" --no-tests=error "${@:3}" 2>&1 | tee "$log" || status=$?
    # ctest counts what was skipped as passed: "100% tests passed, 0 tests failed out of 57"
    counts=$(sed -n 's/^[0-9]*% tests passed, \([0-9]*\) tests failed out of \([0-9]*\)$/\1 \2/p' "$log")
    if [[ -n $counts ]]; then
        skips=$(grep -c '\*\*\*Skipped' "$log") || true
        skipped=$((skipped + skips))
        failed=$((failed + ${counts% *}))
        passed=$((passed + ${counts#* } - ${counts% *} - skips))
    fi
    return "$status"
}

analyze() {
    # The warning options are gcc's; clang-tidy need not know them all.
    local tidy=(clang-tidy --quiet --extra-arg=-Wno-unknown-warning-option -p build/dev)
    # It takes very much memory: large pages save a tenth of its time.
    find src -name '*.c' -o -name '*.cpp' | sort | GLIBC_TUNABLES=glibc.malloc.hugetlb=1 xargs -P 2 -n 2 "${tidy[@]}" 2>"$log" ||
        { grep -v 'warnings\? generated' "$log"; return 1; }
}

install_missing "${build_packages[@]}" "${test_packages[@]}"
check "house rules" bash scripts/check_floors.sh
check "layout" bash scripts/check_format.sh
build_and_test dev "${dev_targets[*]}" "${dev_tests[@]}"
check "no circles" bash scripts/check_circles.sh build/dev
check "static analysis" analyze
build_and_test sanitize all "${sanitize_tests[@]}"
