"""What did the program leave unused with the cover off?

Beside its own log-odds of burnt a logistic regression is given one more thing that the record says of each stab. Where the
program took from it all that there is, its factor is none; far from none it was overrated (below) or underrated (above) for the
simulator's houses. Only the standard library is needed.

    cargo run --release -p proving -- --panels 200 --seed 1201 --stages bc --details FOLDER/details.csv
    python tests/proving/scripts/left_over.py FOLDER/details.csv
"""

import csv
import math
import sys


def log_odds(text):
    share = min(max(float(text), 1e-4), 1 - 1e-4)
    return math.log(share / (1 - share))


def chance(factors, terms):
    return 1 / (1 + math.exp(-sum(factor * term for factor, term in zip(factors, terms))))


def solved(matrix, right):
    """Gauss's elimination with pivots; the matrix is small."""
    rows = [row[:] + [value] for row, value in zip(matrix, right)]
    n = len(rows)
    for at in range(n):
        pivot = max(range(at, n), key=lambda row: abs(rows[row][at]))
        rows[at], rows[pivot] = rows[pivot], rows[at]
        for row in range(n):
            if row != at:
                part = rows[row][at] / rows[at][at]
                rows[row] = [a - part * b for a, b in zip(rows[row], rows[at])]
    return [rows[at][n] / rows[at][at] for at in range(n)]


def fitted(terms, burnt):
    """Factors by Newton's method, the error of the last one, and the mean log loss."""
    n = len(terms[0])
    factors = [0.0] * n
    for _ in range(25):
        slope, bend = [0.0] * n, [[1e-9 * (a == b) for b in range(n)] for a in range(n)]
        for term, is_burnt in zip(terms, burnt):
            p = chance(factors, term)
            for a in range(n):
                slope[a] += term[a] * (is_burnt - p)
                for b in range(n):
                    bend[a][b] += term[a] * term[b] * p * (1 - p)
        factors = [factor + step for factor, step in zip(factors, solved(bend, slope))]
    last = solved(bend, [0.0] * (n - 1) + [1.0])[-1]
    likely = (p if is_burnt else 1 - p for term, is_burnt in zip(terms, burnt) for p in [chance(factors, term)])
    return factors, math.sqrt(last), -sum(math.log(p) for p in likely) / len(burnt)


with open(sys.argv[1], encoding="utf-8") as file:
    stabs = [row for row in csv.DictReader(file) if row["kind"] == "stab" and row["stage"] == "b"]
burnt = [row["condition"] == "burnt" for row in stabs]
own = [log_odds(row["burnt"]) for row in stabs]

things = {
    "of another make": lambda row: row["other_make"] == "true",
    "with electronics": lambda row: row["arc_fault"] == "true",
    "rating, hundreds of A": lambda row: float(row["rating_a"] or 0) / 100,
    "current was read": lambda row: row["read_a"] != "",
    "current read, hundreds of A": lambda row: float(row["read_a"] or 0) / 100,
    "face above its load's, tens of K": lambda row: float(row["excess_k"] or 0) / 10,
}
for sign in sorted({sign for row in stabs for sign in row["signs_seen"].split()}):
    things[sign] = lambda row, sign=sign: sign in row["signs_seen"].split()
for kind in sorted({row["class"] for row in stabs}):
    things[f"load: {kind}"] = lambda row, kind=kind: row["class"] == kind

(_, slope), _, loss = fitted([[1.0, odds] for odds in own], burnt)
print(f"{len(stabs)} stabs, {sum(burnt)} of them burnt; slope of the log-odds {slope:.2f}, log loss {loss:.4f}")
for name, thing in things.items():
    values = [float(thing(row)) for row in stabs]
    if len(set(values)) == 1:
        continue
    factors, error, less = fitted([[1.0, odds, value] for odds, value in zip(own, values)], burnt)
    n = sum(value != 0 for value in values)
    print(f"{name}: {n} stabs, factor {factors[2]:+.2f} ± {error:.2f}, log loss less by {loss - less:.5f}")
