#!/usr/bin/env bash
# The drill of backup and restore: a backup of a bench is written, restored into an empty folder, and every named job is
# exported from both, its photos as they were taken. The drill holds when each fact and photo is the same, byte for byte.
#
#   scripts/drill.sh DATA JOB...      DATA is the data folder; jobs are compared by name
#
#   PANELWRIGHT            the program                             (default: panelwright)
#   PANELWRIGHT_DATABASE   server that has the rows, where one has (as for the program itself)
#   DRILL_FOLDER           where backup and restored folder go     (default: a new one, taken away at the end)
set -euo pipefail

(($# >= 2)) || { echo "usage: scripts/drill.sh DATA JOB..." >&2; exit 2; }
program=${PANELWRIGHT:-panelwright}
data=$1
shift
scratch=${DRILL_FOLDER:-$(mktemp -d)}
mkdir -p "$scratch"
# Names and addresses of customers lie in it.
chmod 700 "$scratch"
[[ -n ${DRILL_FOLDER:-} ]] || trap 'rm -rf "$scratch"' EXIT

began=$SECONDS
"$program" backup "$scratch/bench.backup" --data "$data"
backed=$SECONDS
# What is restored is a folder of its own: the rows lie in it.
PANELWRIGHT_DATABASE='' "$program" restore "$scratch/bench.backup" --data "$scratch/restored"
restored=$SECONDS

# Hash of each fact and photo of an exported job; the text files beside them say when they were written.
members() {
    python3 - "$1" <<'PY'
import hashlib, sys, zipfile
with zipfile.ZipFile(sys.argv[1]) as archive:
    names = sorted(name for name in archive.namelist() if name == "facts.jsonl" or name.startswith("photos/"))
    for name in names:
        print(hashlib.sha256(archive.read(name)).hexdigest(), name)
PY
}

n=0
for job in "$@"; do
    n=$((n + 1))
    "$program" export "$job" "$scratch/$n-before.zip" --data "$data" --originals >/dev/null
    PANELWRIGHT_DATABASE='' "$program" export "$job" "$scratch/$n-after.zip" --data "$scratch/restored" --originals >/dev/null
    if ! diff <(members "$scratch/$n-before.zip") <(members "$scratch/$n-after.zip"); then
        echo "drill: $job is not the same after the restore" >&2
        exit 1
    fi
    echo "drill: $job is the same, $(members "$scratch/$n-after.zip" | wc -l) members"
done
echo "drill: holds. $n jobs compared; backup $((backed - began)) s, restore $((restored - backed)) s, $(stat -c %s "$scratch/bench.backup") bytes"
