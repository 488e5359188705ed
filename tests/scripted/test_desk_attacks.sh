#!/usr/bin/env bash
# The desk's door: who is let in, what is made of malformed requests, tricks with paths, sizes and crowds, and what a kill leaves.
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
# Sanitizers keep what is freed for a while and need twice the memory.
[[ $(basename "$FOCI_BUILD") != sanitize ]] || export MOST_MB=600
python3 "$FOCI_SOURCE/tests/scripted/desk_attacks.py" "$FOCI_PROGRAM" "$work/desk"
