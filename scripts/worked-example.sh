#!/usr/bin/env bash
# Makes the papers of docs/worked-example again from its job file, with the program as it is now. PDFs of more than
# 60 kB are left out: the same stands in their text.
#
#   PANELWRIGHT   the program                                    (default: cargo run -p cli --)
set -euo pipefail
cd "$(dirname "$0")/.."

here=docs/worked-example
day=2025-12-10
program=${PANELWRIGHT:-cargo run --quiet -p cli --}

rm -rf "$here/papers"
$program --day "$day" check "$here/job.toml"
$program --day "$day" permit "$here/job.toml" --out "$here/papers" >/dev/null
$program --day "$day" prove "$here/job.toml" >"$here/prove.txt"
$program --day "$day" prove "$here/job.toml" --out "$here/papers" >/dev/null
# The pull list as it was before the day.
before=$(mktemp -d)
$program --day 2025-12-08 prove cases/1-burnt-stabs.toml --out "$before" >/dev/null
rm "$here"/papers/pull-list-*
mv "$before"/pull-list-* "$here/papers"
# What was offered, and how the day was foreseen.
$program --day 2025-11-24 price cases/1-burnt-stabs.toml --option replace-panel --out "$here/papers" >/dev/null
$program --day 2025-11-24 outage cases/1-burnt-stabs.toml --out "$here/papers" >/dev/null
$program --day 2025-11-24 layout cases/1-burnt-stabs.toml --spaces 42 >"$here/layout.txt"
rm -r "$before"
find "$here/papers" -name '*.pdf' -size +60k -delete
ls -l "$here/papers"
