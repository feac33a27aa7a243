#!/usr/bin/env python3
"""Writes the list of checks in tests/reference/README.md from the doc comments of the tests.

Run from anywhere: python3 tests/reference/scripts/list_checks.py
A test of this package fails while the list is stale.
"""

import re
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent
BEGIN, END = "<!-- list of checks: begin -->", "<!-- list of checks: end -->"


def checks(path):
    doc = []
    for line in path.read_text().splitlines():
        bare = line.strip()
        if bare.startswith("///"):
            doc.append(bare[3:].strip())
        elif bare.startswith("fn "):
            name = re.match(r"fn (\w+)", bare).group(1)
            if name.startswith(("val_", "verif_")):
                yield name, " ".join(doc)
            doc = []
        elif not bare.startswith("#["):
            doc = []


def main():
    lines = []
    for path in sorted((PACKAGE / "tests").rglob("*.rs")):
        found = list(checks(path))
        if not found:
            continue
        lines += ["", f"### {path.relative_to(PACKAGE / 'tests')}", "", "| check | source and tolerance |", "|---|---|"]
        lines += [f"| `{name}` | {doc.replace('|', '/')} |" for name, doc in found]
    readme = PACKAGE / "README.md"
    text = readme.read_text()
    before, rest = text.split(BEGIN)
    _, after = rest.split(END)
    readme.write_text(before + BEGIN + "\n" + "\n".join(lines) + "\n\n" + END + after)


if __name__ == "__main__":
    main()
