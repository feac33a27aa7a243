#!/usr/bin/env python3
"""Solves the invented panels of fixtures/ngspice/*.json with ngspice and keeps its answers beside them.

The netlist is built here from the description of the panel, independently of our own builder, so the comparison
holds both the topology and the solver. Every joint has an ammeter (a source of 0 V), so its current is an unknown of
ngspice's own equations.

Run: python3 tests/reference/scripts/ngspice_panels.py   (needs ngspice; standard library only)
"""

import json
import math
import re
import subprocess
import tempfile
from pathlib import Path

FIXTURES = Path(__file__).resolve().parent.parent / "fixtures" / "ngspice"
HERTZ = 60.0
LEGS = {"split-phase": ["A", "B"], "two-legs-of-wye": ["A", "B"], "three-phase-wye": ["A", "B", "C"]}
ANGLE = {
    "split-phase": {"A": 0, "B": 180},
    "two-legs-of-wye": {"A": 0, "B": -120},
    "three-phase-wye": {"A": 0, "B": -120, "C": 120},
}


class Netlist:
    def __init__(self):
        self.lines, self.names, self.ammeters, self.count = [], {}, {}, 0

    def node(self, name):
        if name == "0":
            return "0"
        return self.names.setdefault(name, f"n{len(self.names) + 1}")

    def fresh(self):
        self.count += 1
        return self.count

    def impedance(self, a, b, r, x=0.0, meter=None):
        """From a to b; nothing where r is open. A meter counts the current from a to b."""
        if r == "open":
            return
        a, b = self.node(a), self.node(b)
        if meter is not None:
            middle = f"m{self.fresh()}"
            name = f"vam{self.fresh()}"
            self.lines.append(f"{name} {a} {middle} dc 0 ac 0")
            self.ammeters[meter] = name
            a = middle
        if x > 0:
            middle = f"m{self.fresh()}"
            self.lines.append(f"r{self.fresh()} {a} {middle} {r!r}")
            self.lines.append(f"l{self.fresh()} {middle} {b} {x / (2 * math.pi * HERTZ)!r}")
        elif x < 0:
            middle = f"m{self.fresh()}"
            self.lines.append(f"r{self.fresh()} {a} {middle} {r!r}")
            self.lines.append(f"c{self.fresh()} {middle} {b} {-1 / (2 * math.pi * HERTZ * x)!r}")
        else:
            self.lines.append(f"r{self.fresh()} {a} {b} {r!r}")

    def source(self, a, volts, degrees):
        self.lines.append(f"vs{self.fresh()} {self.node(a)} 0 dc 0 ac {volts!r} {degrees}")


def number(space):
    return int(space.rstrip("ab"))


def row_of(panel, space):
    return (number(space) - 1) // panel["n_columns"]


def leg_of_row(panel, row):
    legs = LEGS[panel["system"]]
    return legs[(legs.index(panel["first_leg"]) + row) % len(legs)]


def neutral_owner(panel, breaker):
    mine = breaker["spaces"][0]
    if breaker.get("partner"):
        return min([mine, breaker["partner"]], key=number)
    return mine


def build(case):
    net = Netlist()
    supply = case["supply"]
    system = case["system"]
    for i, leg in enumerate(LEGS[system]):
        net.source(f"emf:{leg}", case["source_v"], ANGLE[system][leg])
        net.impedance(f"emf:{leg}", f"pole-top:{leg}", *supply["winding"])
        net.impedance(f"pole-top:{leg}", f"service:{leg}", *supply["drop_legs"][i])
    net.impedance("service:N", "0", *supply["drop_neutral"])
    first = case["panels"][0]["id"]
    net.impedance(f"{first}/neutral-bar", f"{first}/earth", supply["bonding"])
    net.impedance(f"{first}/earth", "remote", supply["electrode"], meter="electrode")
    net.impedance("remote", "0", supply["utility_electrode"])

    owners = {}
    for panel in case["panels"]:
        pid = panel["id"]
        by_service = any(s["feed"] == "lugs" or "main_breaker" in s["feed"] for s in panel["sections"])
        net.impedance(f"{pid}/neutral-bar", f"{pid}/neutral-line", panel["neutral_lug"], meter=f"{pid}:neutral:lug")
        if by_service:
            net.impedance(f"{pid}/neutral-line", "service:N", *supply["entrance_neutral"])
        else:
            section = panel["sections"][0]
            parent = section["feed"]["breaker"][0]
            net.impedance(f"{pid}/neutral-line", f"{parent}/neutral-bar", section["feeder"])
        if by_service:
            lugs = next(s["lugs"] for s in panel["sections"] if "lugs" in s)
            for i, leg in enumerate(LEGS[panel["system"]]):
                net.impedance(f"service:{leg}", f"{pid}/line:{leg}", *supply["entrance_legs"][i])
                net.impedance(f"{pid}/line:{leg}", f"{pid}/lug:{leg}", lugs[i], meter=f"{pid}:lug:{leg}")
        for section in panel["sections"]:
            sid = section["id"]
            for i, leg in enumerate(LEGS[panel["system"]]):
                rows = [r for r in range(section["first_row"], section["last_row"] + 1) if leg_of_row(panel, r) == leg]
                head = f"{pid}#row{rows[0]}"
                joint = f"{pid}:feeder:{sid}:{leg}"
                if section["feed"] == "lugs":
                    net.names[head] = net.node(f"{pid}/lug:{leg}")
                elif "main_breaker" in section["feed"]:
                    net.impedance(f"{pid}/lug:{leg}", f"{pid}#main:{leg}", section["main_poles"][i])
                    net.impedance(f"{pid}#main:{leg}", head, section["feeder_joints"][i], meter=joint)
                else:
                    parent_id, space = section["feed"]["breaker"]
                    parent = next(p for p in case["panels"] if p["id"] == parent_id)
                    breaker = next(b for b in parent["breakers"] if space in b["spaces"])
                    parent_legs = [leg_of_row(parent, row_of(parent, s)) for s in breaker["spaces"]]
                    at = parent_legs.index(leg) if set(LEGS[panel["system"]]) <= set(parent_legs) else i
                    load_side = f"{parent_id}/load:{breaker['spaces'][at]}"
                    net.impedance(load_side, f"{pid}#feeder:{sid}:{leg}", section["feeder"])
                    net.impedance(f"{pid}#feeder:{sid}:{leg}", head, section["feeder_joints"][i], meter=joint)
                for before, after in zip(rows, rows[1:]):
                    net.impedance(f"{pid}#row{before}", f"{pid}#row{after}", panel["bus_per_row"] * (after - before))
        for breaker in panel["breakers"]:
            for i, space in enumerate(breaker["spaces"]):
                net.impedance(f"{pid}#row{row_of(panel, space)}", f"{pid}#jaw:{space}", breaker["stabs"][i], meter=f"{pid}:stab:{space}")
                if [pid, space] not in case.get("open", []):
                    net.impedance(f"{pid}#jaw:{space}", f"{pid}/load:{space}", breaker["poles"][i])
                if breaker.get("feeds_section") or breaker.get("spare"):
                    continue
                net.impedance(f"{pid}/load:{space}", f"{pid}/wire:{space}", breaker["terminals"][i], meter=f"{pid}:terminal:{space}")
                net.impedance(f"{pid}/wire:{space}", f"{pid}/receptacle:{space}", breaker["branch"])
            if "neutral_terminal" in breaker:
                owner = neutral_owner(panel, breaker)
                for space in breaker["spaces"]:
                    owners[(pid, space)] = owner
                if owner == breaker["spaces"][0]:
                    net.impedance(f"{pid}#load-neutral:{owner}", f"{pid}/neutral-wire:{owner}", breaker["branch"])
                    net.impedance(f"{pid}/neutral-wire:{owner}", f"{pid}/neutral-bar", breaker["neutral_terminal"], meter=f"{pid}:neutral:{owner}")
    for i, load in enumerate(case["loads"]):
        pid, space = load["from"]
        if load["to"] == "neutral":
            to = f"{pid}#load-neutral:{owners[(pid, space)]}"
        else:
            to = f"{load['to'][0]}/receptacle:{load['to'][1]}"
        net.impedance(f"{pid}/receptacle:{space}", to, load["ohm"], load["x"], meter=f"load:{i}")
    return net


def run(net, title):
    places = sorted(name for name in net.names if "/" in name)
    prints = [f"print v({net.names[name]})" for name in places]
    prints += [f"print i({meter})" for meter in net.ammeters.values()]
    deck = [f"* {title}", *net.lines, ".control", "set numdgt=16", f"ac lin 1 {HERTZ} {HERTZ}", *prints, "quit 0", ".endc", ".end", ""]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "deck.cir"
        path.write_text("\n".join(deck))
        out = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=True).stdout
    found = dict()
    for kind, node, re_part, im_part in re.findall(r"^([vi])\((\w+)\) = (\S+),(\S+)$", out, re.M):
        found[(kind, node)] = (re_part, im_part)
    rows = [("voltage", name, *found[("v", net.names[name])]) for name in places]
    rows += [("current", name, *found[("i", meter)]) for name, meter in net.ammeters.items()]
    return rows


def main():
    version = subprocess.run(["ngspice", "--version"], capture_output=True, text=True, check=True).stdout
    version = re.search(r"ngspice-\S+", version).group(0)
    for path in sorted(FIXTURES.glob("*.json")):
        case = json.loads(path.read_text())
        rows = run(build(case), path.stem)
        lines = [f"# {path.stem}: answers of {version}, ac at 60 Hz, V and A rms; made by scripts/ngspice_panels.py", "kind,name,re,im"]
        lines += [",".join(row) for row in rows]
        (FIXTURES / f"{path.stem}.csv").write_text("\n".join(lines) + "\n")
        print(path.stem, len(rows), "values")


if __name__ == "__main__":
    main()
