"""How well could anybody rank the stabs with a drop?

Beside the program's own area under the curve stand those of one who knows what nobody can: each stab's true resistance; or the
drop with the true laws of the simulator (docs/proving.md) and the true factor of each maker's poles, alone and after the
program's judgement with the cover off. Only the standard library is needed.

    cargo run --release -p proving -- --panels 200 --seed 1201 --stages c --emit FOLDER
    cargo run --release -p proving -- --panels 200 --seed 1201 --stages bc --details FOLDER/details.csv
    python tests/proving/scripts/ceiling.py FOLDER
"""

import csv
import math
import random
import re
import sys
from pathlib import Path

folder = Path(sys.argv[1])
random.seed(1)


def area(scores, burnt):
    """Area under the curve by ranks, ties by halves."""
    pairs = sorted(zip(scores, burnt))
    n_burnt = sum(burnt)
    ranks, at = 0.0, 0
    while at < len(pairs):
        end = at
        while end < len(pairs) and pairs[end][0] == pairs[at][0]:
            end += 1
        ranks += sum(is_burnt for _, is_burnt in pairs[at:end]) * (at + end + 1) / 2
        at = end
    return (ranks - n_burnt * (n_burnt + 1) / 2) / (n_burnt * (len(pairs) - n_burnt))


def usual_pole_mohm(rating_a):
    return (1.2 + 0.095 * rating_a) / rating_a**2 * 1e3


with open(folder / "details.csv", encoding="utf-8") as file:
    rows = {(row["job"], row["stage"], row["joint"]): row for row in csv.DictReader(file)}

stabs = []
for path in sorted(folder.glob("*.toml")):
    job = path.stem.removesuffix("-c")
    for block in re.finditer(r"\[\[drop\]\]\n((?:[^\[\n][^\n]*\n)+)", path.read_text(encoding="utf-8")):
        drop = dict(re.findall(r'(\w+) = "?([^"\n]+)"?', block.group(1)))
        panel, space = drop["to"].split("/load:")
        joint = f"{panel}:stab:{space}"
        row = rows.get((job, "c", joint))
        if row and "amps" in drop:
            stabs.append({
                "maker": (job, panel, row["other_make"]),
                "together": float(drop["mv"]) / float(drop["amps"]),
                "true": float(row["true_mohm"]),
                "rating": float(row["rating_a"]),
                "burnt": int(row["condition"] == "burnt"),
                "cover off": float(rows[(job, "b", joint)]["burnt"]),
                "with drop": float(row["burnt"]),
            })

# The factor of a maker's poles in a panel: the median of what is left beside the true resistance of the stab.
left = {}
for stab in stabs:
    left.setdefault(stab["maker"], []).append((stab["together"] - stab["true"]) / usual_pole_mohm(stab["rating"]))
factor = {maker: sorted(of)[len(of) // 2] for maker, of in left.items()}


def truth(condition):
    """A stab's resistance as the simulator draws it, mΩ."""
    if condition == "sound":
        return 0.05 + random.gammavariate(2, 0.08)
    if condition == "worn":
        return 0.4 + random.weibullvariate(0.7, 1.3)
    if random.random() < 1 / 8:
        return 0.4 * (1.5 / 0.4) ** random.random()
    return 1.5 * 30 ** random.random()


drawn = {condition: [truth(condition) for _ in range(3_000)] for condition in ("sound", "worn", "burnt")}


def likelihood(stab, condition):
    """Density of a drop by the true laws: a pole's own spread is uniform, of 10 to 20 %; meter and load err by 2.3 %."""
    pole = factor[stab["maker"]] * usual_pole_mohm(stab["rating"])
    scale = 1.0 if condition == "sound" else min(1.2, math.sqrt(20 / stab["rating"]))
    error = 0.023 * stab["together"] / pole + 0.01
    below = lambda z: 0.5 * (1 + math.erf(z / math.sqrt(2)))
    total = 0.0
    for mohm in drawn[condition]:
        own = (stab["together"] - mohm * scale) / pole - 1
        for spread in (0.1, 0.125, 0.15, 0.175, 0.2):
            half = math.sqrt(3) * spread
            total += (below((own + half) / error) - below((own - half) / error)) / (2 * half)
    return total / len(drawn[condition]) / pole


def log_ratio(stab):
    not_burnt = 0.85 * likelihood(stab, "sound") + 0.15 * likelihood(stab, "worn")
    return math.log((likelihood(stab, "burnt") + 1e-9) / (not_burnt + 1e-9))


burnt = [stab["burnt"] for stab in stabs]
by_drop = [log_ratio(stab) for stab in stabs]
before = [min(max(stab["cover off"], 1e-4), 1 - 1e-4) for stab in stabs]
both = [drop + math.log(p / (1 - p)) for drop, p in zip(by_drop, before)]
print(f"{len(stabs)} stabs with a drop, {sum(burnt)} burnt, {sum(b and s['true'] < 1.5 for b, s in zip(burnt, stabs))} below 1.5 mΩ")
for words, scores in [
    ("the program", [stab["with drop"] for stab in stabs]),
    ("the program with the cover off", before),
    ("drop over current", [stab["together"] for stab in stabs]),
    ("drop, true laws, true factor of the maker", by_drop),
    ("the same after the program with the cover off", both),
    ("true resistance of the stab", [stab["true"] for stab in stabs]),
]:
    print(f"{words}: {area(scores, burnt):.3f}")
