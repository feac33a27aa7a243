#!/usr/bin/env bash
# Builds the pure crates for wasm32-unknown-unknown: proof that they need no clock, file, thread or socket. How the
# target is got is in wasm.sh.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

mapfile -t crates < <(cargo xtask pure)
((${#crates[@]} > 0)) || { echo "wasm: the arrow table names no pure crate" >&2; exit 1; }
selection=(--no-default-features)
for crate in "${crates[@]}"; do selection+=(-p "$crate"); done
bash scripts/wasm.sh build "${selection[@]}"
