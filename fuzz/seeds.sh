#!/usr/bin/env bash
# Makes the seed corpora of the fuzz targets from the guide's files, the demo cases and the cases of the record's tests.
# Then, with the nightly toolchain and cargo-fuzz:
#   cargo +nightly fuzz run job_file -- -dict=fuzz/job_file.dict -max_total_time=600
#   cargo +nightly fuzz run stored_facts -- -max_total_time=600
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
corpus=corpus/job_file
mkdir -p "$corpus"
for file in ../cases/*.toml ../crates/record/tests/record/cases/*.toml; do
    [ "$(stat -c %s "$file")" -lt 20000 ] && cp "$file" "$corpus/$(basename "$(dirname "$file")")-$(basename "$file")"
done
# Whole files of the guide: code blocks marked `toml file` and `json file`.
awk -v out="$corpus/guide-" '
    /^```(toml|json) (file|part)$/ { name = out (++count); writing = 1; next }
    /^```$/ { writing = 0 }
    writing { print > name }
' ../docs/job-file.md
mkdir -p corpus/stored_facts
cp ../crates/record/tests/record/facts-v1.jsonl corpus/stored_facts/
echo "$(find "$corpus" -type f | wc -l) seeds in fuzz/$corpus"
