"""Makes invented layouts to solve and solves them with an independent solver: HiGHS through scipy.optimize.milp.

    python -m venv env && env/bin/pip install scipy==1.17.1 && env/bin/python layout_milp.py > ../fixtures/layout/cases.json

One binary for each way to put each block; every space taken at most once; for each scenario a variable above the
difference of the legs beyond the tolerance; for each row one above each kind of pair. Shares no code with the program.
"""
import json
import random
import sys
import time

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

SIZES = [12, 12, 12, 16, 16, 20, 20, 20, 24, 24, 24, 24, 30, 30, 30, 30, 32, 36, 40, 40, 42, 42, 42, 42, 42, 54, 60, 66, 72, 84]
LIMIT_S = float(sys.argv[1]) if len(sys.argv) > 1 else 120.0


def instance(seed, n_spaces):
    """Blocks of one and two poles; conductors enter above or below and reach some rows of each column."""
    draw = random.Random(seed)
    n_rows = n_spaces // 2
    blocks, used, old = [], 0, [0, 0]
    fill = draw.choice([0.7, 0.8, 0.9])
    while used + 2 <= fill * n_spaces:
        kind = draw.choices(["one", "two", "partners"], [6, 3, 1])[0]
        n = 1 if kind == "one" else 2
        rating = draw.choice([15, 20, 20, 30, 40]) if kind == "two" else draw.choice([15, 15, 20])
        column = draw.choice([0, 1])
        if n_rows < old[column] + n:
            column = 1 - column
        was = 2 * old[column] + column + 1 if old[column] + n <= n_rows else None
        old[column] += n
        # From above to a last row, or from below to a first row; the other column less deep.
        depth, across = draw.randint(n_rows // 2, n_rows + 4), draw.randint(1, 6)
        rows = lambda deep: [0, min(deep, n_rows) - 1]
        reach = [rows(depth if column == side else max(depth - across, 1)) for side in (0, 1)]
        if draw.random() < 0.3:
            reach = [[n_rows - 1 - last, n_rows - 1] for _, last in reach]
        continuous = draw.random() < 0.12
        electronic = kind != "two" and draw.random() < 0.4
        same = [draw.randint(0, 8 * rating) for _ in range(3)]
        poles = []
        for k in range(n):
            demand = same if kind == "two" else [draw.randint(0, 8 * rating) for _ in range(3)]
            poles.append({"rating": 10 * rating, "demand": demand, "continuous": continuous, "electronic": electronic,
                          "reach": reach, "old": None if was is None else was + 2 * k})
        used += n
        blocks.append({"id": f"{len(blocks) + 1}", "turnable": kind == "partners", "poles": poles})
    weights = {"splice": 100, "leg_difference": 1, "tolerance": 50, "continuous_row": 2, "continuous_pair": 30,
               "electronic_pair": 3, "moved_row": 1}
    return {"seed": seed, "n_spaces": n_spaces, "weights": weights, "blocks": blocks}


def solve(case):
    n_rows, w = case["n_spaces"] // 2, case["weights"]
    ways = []  # block, row, column, turned, cost
    for b, block in enumerate(case["blocks"]):
        n = len(block["poles"])
        for column in (0, 1):
            for row in range(n_rows - n + 1):
                for turned in ([False, True] if block["turnable"] and n > 1 else [False]):
                    poles = block["poles"][::-1] if turned else block["poles"]
                    cost = 0
                    for k, pole in enumerate(poles):
                        r = row + k
                        first, last = pole["reach"][column]
                        cost += 0 if first <= r <= last else w["splice"]
                        cost += w["continuous_row"] * r if pole["continuous"] else 0
                        if pole["old"] is not None:
                            was_row, was_column = divmod(pole["old"] - 1, 2)
                            cost += w["moved_row"] * (abs(was_row - r) + (was_column != column))
                    ways.append((b, row, column, poles, cost))
    n_x, n_s = len(ways), 3
    x_end = n_x
    z = x_end
    pair_c, pair_e = z + n_s, z + n_s + n_rows
    n = pair_e + n_rows
    cost = np.zeros(n)
    cost[:n_x] = [way[4] for way in ways]
    cost[z:z + n_s] = w["leg_difference"]
    cost[pair_c:pair_c + n_rows] = w["continuous_pair"]
    cost[pair_e:pair_e + n_rows] = w["electronic_pair"]
    n_b = len(case["blocks"])
    rows = n_b + case["n_spaces"] + 2 * n_s + 2 * n_rows
    a, low, high = lil_matrix((rows, n)), np.full(rows, -np.inf), np.zeros(rows)
    for b in range(n_b):
        low[b] = high[b] = 1
    high[n_b:n_b + case["n_spaces"]] = 1
    leg_at = n_b + case["n_spaces"]
    pair_at = leg_at + 2 * n_s
    high[leg_at:pair_at] = w["tolerance"]
    high[pair_at:] = 1
    for i, (b, row, column, poles, _) in enumerate(ways):
        a[b, i] = 1
        for k, pole in enumerate(poles):
            r = row + k
            a[n_b + 2 * r + column, i] = 1
            sign = 1 if r % 2 == 0 else -1
            for s in range(n_s):
                a[leg_at + 2 * s, i] += sign * pole["demand"][s]
                a[leg_at + 2 * s + 1, i] -= sign * pole["demand"][s]
            if pole["continuous"]:
                a[pair_at + 2 * r, i] = 1
            if pole["electronic"]:
                a[pair_at + 2 * r + 1, i] = 1
    for s in range(n_s):
        a[leg_at + 2 * s, z + s] = a[leg_at + 2 * s + 1, z + s] = -1
    for r in range(n_rows):
        a[pair_at + 2 * r, pair_c + r] = a[pair_at + 2 * r + 1, pair_e + r] = -1
    whole = np.ones(n)
    whole[z:z + n_s] = 0
    upper = np.ones(n)
    upper[z:z + n_s] = np.inf
    begun = time.perf_counter()
    got = milp(cost, constraints=LinearConstraint(a.tocsr(), low, high), integrality=whole, bounds=Bounds(0, upper),
               options={"time_limit": LIMIT_S, "mip_rel_gap": 0.0})
    spent = time.perf_counter() - begun
    best = None if got.x is None else round(float(got.fun))
    return {"points": best, "proven": got.status == 0, "bound": None if got.mip_dual_bound is None else round(float(got.mip_dual_bound), 3), "seconds": round(spent, 2)}


cases = []
for k, size in enumerate(SIZES):
    case = instance(1000 + k, size)
    case["highs"] = solve(case)
    print(size, len(case["blocks"]), case["highs"], file=sys.stderr)
    cases.append(case)
print("[\n" + ",\n".join(json.dumps(case, separators=(",", ":")) for case in cases) + "\n]")
