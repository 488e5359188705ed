#!/usr/bin/env bash
# Are the C and C++ files laid out as .clang-format says? Changes nothing; `clang-format -i FILE` does.
set -euo pipefail
cd "$(dirname "$0")/.."
find src include tests -name '*.c' -o -name '*.h' -o -name '*.cpp' | grep -v node_modules | sort | xargs clang-format --dry-run -Werror
echo "check_format: all files are laid out as .clang-format says"
