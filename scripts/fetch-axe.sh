#!/usr/bin/env bash
# Fetches axe-core, the accessibility audit that the browser tests run in the page, into a cache folder, and prints
# the path of its script. It is under MPL-2.0, is used by tests alone, and is never part of the program.
#
#   AXE_CACHE   where it is kept                                      (default: a folder of the user's cache)
set -euo pipefail

version=4.14.1
cache=${AXE_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/panelwright-axe}
script=$cache/axe-core-$version/axe.min.js

if [[ ! -s $script ]]; then
    command -v npm >/dev/null || { echo "axe: npm is not installed" >&2; exit 1; }
    fetched=$(mktemp -d)
    trap 'rm -rf "$fetched"' EXIT
    (cd "$fetched" && npm pack --silent "axe-core@$version" >/dev/null)
    tar -xzf "$fetched"/axe-core-*.tgz -C "$fetched" package/axe.min.js package/LICENSE
    mkdir -p "$(dirname "$script")"
    mv "$fetched/package/LICENSE" "$(dirname "$script")/LICENSE"
    mv "$fetched/package/axe.min.js" "$script"
fi
echo "$script"
