# Sourced by tests that take a browser: sets `tools` to a folder with playwright-core and axe-core, or skips the test.
[[ $(basename "$FOCI_BUILD") != sanitize ]] || exit 77 # what is looked at is sanitized in tests of its own
command -v chromium >/dev/null || { echo "chromium is missing"; exit 1; }
tools=$FOCI_BUILD/browser
mkdir -p "$tools"
exec 9>"$tools/lock" # two tests may come at once
flock 9
if ! cmp -s "$tools/package-lock.json" "$FOCI_SOURCE/tests/browser/package-lock.json" || [[ ! -d $tools/node_modules/axe-core ]]; then
    command -v npm >/dev/null || { echo "skipped: npm is not installed"; exit 77; }
    cp "$FOCI_SOURCE"/tests/browser/{package.json,package-lock.json,.npmrc} "$tools"
    if ! (cd "$tools" && npm ci --no-audit --no-fund --ignore-scripts >log 2>&1); then
        rm -rf "$tools/node_modules"
        cat "$tools/log"
        echo "skipped: the npm registry cannot be reached"
        exit 77
    fi
fi
cp "$FOCI_SOURCE"/tests/browser/*.mjs "$tools"
exec 9>&-
