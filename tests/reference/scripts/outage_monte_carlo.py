"""Makes invented days without power and runs each through, with the standard library's random numbers alone.

    python3 outage_monte_carlo.py > ../fixtures/outage/cases.json

The rule of a day: tasks are taken in their order; each holds its people, those who are free first; it begins when the
tasks before it are done, its people are free, and whoever it waits for is there. A window is missed by a crew that is
not ready `until`; whoever is called comes after a wait and not after `latest`; nobody comes with the chance `no_show`.
All minutes of a day are longer or shorter by one factor. Shares no code with the program.

Six further days have an inspector before the utility, too; each is run through with both booked ahead for several hours.
"""
import copy
import json
import random
import sys

RUNS = int(sys.argv[1]) if len(sys.argv) > 1 else 60_000


def three(draw, low, high):
    least = draw.uniform(low, high)
    usual = least + draw.uniform(0, high)
    return [round(least, 1), round(usual, 1), round(usual + draw.uniform(0, 2 * high), 1)]


def invented(seed):
    draw = random.Random(seed)
    crew, tasks = draw.randint(1, 4), []
    n = draw.randint(6, 20)
    cut, back = n // 4, n - 1 - n // 6
    for idx in range(n):
        after = sorted(draw.sample(range(idx), min(idx, draw.choice([0, 1, 1, 2]))))
        if cut < idx and not any(cut <= before for before in after):
            after = sorted(set(after) | {cut})
        if idx == back:
            after = sorted(set(after) | set(range(cut, back)))
        visit = None
        if idx == cut:
            visit = {"id": "cut", "kind": "booked", "from": 480.0, "to": 600.0, "until": 660.0, "no_show": 0.05}
        elif idx == back - 1 and cut < idx:
            visit = {"id": "reconnect", "kind": "called", "wait": three(draw, 10, 40),
                     "latest": draw.choice([900.0, 960.0, 1080.0]), "no_show": 0.03}
        delays = []
        if draw.random() < 0.4:
            delays = [{"n_yes": draw.choice([0, 0, 1]), "n_unknown": draw.choice([1, 1, 6]),
                       "chance": round(draw.uniform(0.05, 0.5), 2), "minutes": three(draw, 5, 25)}]
        tasks.append({"minutes": three(draw, 5, 30), "people": draw.randint(1, 3), "after": after, "visit": visit,
                      "delays": delays, "dark": cut < idx <= back, "back": idx == back})
    return {"seed": seed, "start": 420.0, "crew": crew, "pace": [0.85, 1.0, 1.35], "tasks": tasks}


def length(task, chance):
    least, usual, most = task["minutes"]
    minutes = chance.triangular(least, most, usual)
    for delay in task["delays"]:
        places = delay["n_yes"] + sum(chance.random() < delay["chance"] for _ in range(delay["n_unknown"]))
        if places:
            least, usual, most = delay["minutes"]
            minutes += places * chance.triangular(least, most, usual)
    return minutes


def there(visit, ready, chance):
    """Minute at which the visit begins, or None."""
    if chance.random() < visit["no_show"]:
        return None
    if visit["kind"] == "booked":
        came = chance.uniform(visit["from"], visit["to"])
        return None if visit["until"] < ready else max(came, ready)
    least, usual, most = visit["wait"]
    came = ready + chance.triangular(least, most, usual)
    return came if came <= visit["latest"] else None


def one_day(case, chance):
    """Time of the power back, or the visit that was missed."""
    least, usual, most = case["pace"]
    pace = chance.triangular(least, most, usual)
    people = {person: case["start"] for person in range(case["crew"])}
    ends, missed = {}, None
    for idx, task in enumerate(case["tasks"]):
        minutes = length(task, chance) * pace
        if any(before not in ends for before in task["after"]):
            continue
        first = sorted(people, key=people.get)[: min(task["people"], case["crew"])]
        ready = max([case["start"]] + [ends[before] for before in task["after"]] + [people[one] for one in first])
        start = ready if task["visit"] is None else there(task["visit"], ready, chance)
        if start is None:
            missed = missed or task["visit"]["id"]
            continue
        ends[idx] = start + minutes
        for one in first:
            people[one] = ends[idx]
        if task["back"]:
            return ends[idx], None
    return None, missed


def solve(case):
    chance = random.Random(1_000_003 + case["seed"])
    backs, missed = [], {}
    for _ in range(RUNS):
        back, visit = one_day(case, chance)
        if back is None:
            missed[visit] = missed.get(visit, 0) + 1
        else:
            backs.append(back)
    backs.sort()
    at = sorted({round(backs[int(q * (len(backs) - 1))] / 15) * 15.0 for q in (0.05, 0.25, 0.5, 0.75, 0.95)}) if backs else []
    case["monte_carlo"] = {
        "runs": RUNS,
        "back_by": [[minute, sum(back <= minute for back in backs) / RUNS] for minute in at],
        "missed": {visit: n / RUNS for visit, n in sorted(missed.items())},
    }
    return case


def inspected(seed):
    """A day whose inspector comes before the utility gives the supply back."""
    draw = random.Random(7_000 + seed)
    tasks = []

    def add(minutes, people, after, visit=None, dark=True, back=False):
        tasks.append({"minutes": minutes, "people": people, "after": after, "visit": visit, "delays": [],
                      "dark": dark, "back": back})

    add(three(draw, 20, 40), 1, [], dark=False)
    add(three(draw, 5, 10), 1, [0], {"id": "cut", "kind": "booked", "from": 480.0, "to": 540.0, "until": 660.0,
                                     "no_show": 0.02}, dark=False)
    add(three(draw, 10, 10), 1, [1])
    add(three(draw, 40, 60), 2, [2])
    add(three(draw, 50, 70), 1, [3])
    add(three(draw, 30, 60), 1, [3])
    tasks[-1]["delays"] = [{"n_yes": 0, "n_unknown": 3, "chance": round(draw.uniform(0.1, 0.4), 2),
                            "minutes": three(draw, 10, 25)}]
    add(three(draw, 10, 15), 1, [4, 5], {"id": "inspector", "kind": "called", "wait": [15, 45, 120], "latest": 990.0,
                                         "no_show": 0.05})
    add(three(draw, 5, 10), 1, [6], {"id": "reconnect", "kind": "called", "wait": [15, 45, 120], "latest": 1080.0,
                                     "no_show": 0.03})
    add(three(draw, 15, 20), 1, [7], back=True)
    return {"seed": seed, "start": 420.0, "crew": draw.randint(1, 2), "pace": [0.85, 1.0, 1.35], "tasks": tasks}


def ahead(case):
    """The chance to have the power back that day, for hours at which inspector and utility are booked."""
    rows = []
    for inspector in range(600, 960, 60):
        for supply in [None] + list(range(inspector + 60, 1050, 120)):
            day = copy.deepcopy(case)
            for task in day["tasks"]:
                visit = task["visit"]
                at = {"inspector": inspector, "reconnect": supply}.get(visit and visit["id"])
                if at is not None:
                    visit.update(kind="booked", **{"from": float(at), "to": at + 60.0, "until": at + 60.0})
            chance = random.Random(900_001 + 1_000 * case["seed"] + inspector + (supply or 0))
            backs = sum(one_day(day, chance)[0] is not None for _ in range(RUNS // 6))
            rows.append([inspector, supply, backs / (RUNS // 6)])
    case["ahead"] = {"runs": RUNS // 6, "hours": rows}
    return case


days = [solve(invented(seed)) for seed in range(1, 13)] + [ahead(solve(inspected(seed))) for seed in range(13, 19)]
json.dump(days, sys.stdout, indent=1)
