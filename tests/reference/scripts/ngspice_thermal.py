#!/usr/bin/env python3
"""Marches the thermal network of an invented panel through two hours with ngspice and keeps its temperatures.

Kelvin of rise over the room are volts, watts are amperes, J/K are farads. The netlist is built here from the formulas and
assumed values (docs list them with their standing), independently of our own builder and time stepping; films, radiation
and the enclosure law are nonlinear sources. Heats are constant over three stretches.

Run: python3 tests/reference/scripts/ngspice_thermal.py   (needs ngspice; standard library only)
"""

import math
import subprocess
import tempfile
from pathlib import Path

OUT = Path(__file__).resolve().parent.parent / "fixtures" / "ngspice_thermal"
ROOM_K = 295.15
SPACES = 8
ROWS = 4
# Watts by place over (0 to 45, 45 to 75, 75 to 120) minutes. A stab's heat goes half to its finger and half to its jaw.
STRETCHES = [
    (2700.0, {"pole 5": 4.0, "terminal 5": 1.6, "stab 5": 6.0, "pole 2": 2.5, "terminal 2": 0.9, "lug A": 0.8, "main A": 2.0}),
    (1800.0, {"pole 5": 0.2, "stab 5": 0.3, "pole 2": 4.5, "terminal 2": 1.7, "pole 7": 3.0, "stab 7": 0.2, "lug B": 1.1, "neutral": 0.5}),
    (2700.0, {"pole 7": 3.0, "stab 7": 9.0, "terminal 7": 1.2, "main B": 1.5, "bar 1": 0.4}),
]


def fin(cmil, metal):
    k, rho = (215.0, 3.11e-8) if metal == "aluminium" else (390.0, 1.90e-8)
    area = cmil * 5.067075e-10
    shed = 11.0 * math.pi * (math.sqrt(4 * area / math.pi) + 1.6e-3)
    return math.sqrt(shed * k * area)


class Net:
    def __init__(self):
        self.names, self.lines, self.heat, self.count = [], [], {}, 0

    def node(self, name, capacity):
        self.names.append(name)
        self.lines.append(f"c{len(self.names)} n{len(self.names)} 0 {capacity!r} ic=0")

    def at(self, name):
        return "0" if name is None else f"n{self.names.index(name) + 1}"

    def link(self, a, b, g):
        self.count += 1
        self.lines.append(f"r{self.count} {self.at(a)} {self.at(b)} {1 / g!r}")

    def surface(self, node, air, area, height, emissivity):
        self.count += 1
        a, b = self.at(node), self.at(air)
        va, vb = f"v({a})", "0" if air is None else f"v({b})"
        free = f"{1.42 / height ** 0.25!r}*pwr(({va})-({vb}),1.25)"
        radiated = f"{emissivity * 5.670374419e-8!r}*(pow(({va})+{ROOM_K},4)-pow(({vb})+{ROOM_K},4))"
        self.lines.append(f"b{self.count} {a} {b} i={area!r}*({free}+{radiated})")

    def put(self, place, watts, stretch):
        kind, what = place.split() if " " in place else (place, "")
        spots = {
            "pole": [(f"body {what}", 1.0)],
            "terminal": [(f"terminal {what}", 1.0)],
            "lug": [(f"lug {what}", 1.0)],
            "main": [(f"main breaker {what}", 1.0)],
            "bar": [(f"bar at row {what}", 1.0)],
            "neutral": [("neutral bar", 1.0)],
        }
        if kind == "stab":
            spots["stab"] = [(f"finger at row {(int(what) - 1) // 2 + 1}", 0.5), (f"jaw {what}", 0.5)]
        for name, share in spots[kind]:
            of = self.heat.setdefault(name, [0.0] * len(STRETCHES))
            of[stretch] += share * watts


def build():
    net = Net()
    net.node("cabinet air", 3000.0)
    air = "cabinet air"
    w, h, d = 0.37, 0.30 + 0.0254 * ROWS, 0.09
    effective = min(max(0.7 * w * d + 0.9 * w * h + 2 * 0.5 * h * d + 0.5 * w * h, 0.05), 1.25)
    k = 0.607 * effective**-0.744
    # theta = k P^0.804, by its chord below 0.05 W
    v, chord = f"v({net.at(air)})", k * 0.05**0.804
    net.lines.append(f"benc {net.at(air)} 0 i={v} > {chord!r} ? pwr({v}/{k!r},{1 / 0.804!r}) : {0.05 / chord!r}*{v}")
    for row in range(1, ROWS + 1):
        net.node(f"bar at row {row}", 20.0)
        net.node(f"finger at row {row}", 6.0)
        net.link(f"bar at row {row}", f"finger at row {row}", 0.25)
        net.surface(f"bar at row {row}", air, 1.2e-3, 0.025, 0.2)
        if row > 2:
            net.link(f"bar at row {row - 2}", f"bar at row {row}", 215.0 * 8.1e-5 / (2 * 0.0254))
    for space in range(1, SPACES + 1):
        for name, capacity in (("jaw", 8.0), ("body", 100.0), ("face", 20.0), ("terminal", 15.0)):
            net.node(f"{name} {space}", capacity)
        net.link(f"jaw {space}", f"body {space}", 0.10)
        net.link(f"body {space}", f"terminal {space}", 0.12)
        net.link(f"body {space}", f"face {space}", 0.09)
        net.surface(f"body {space}", air, 5.0e-3, 0.07, 0.92)
        net.surface(f"face {space}", None, 1.5e-3, 0.06, 0.92)
        net.link(f"finger at row {(space - 1) // 2 + 1}", f"jaw {space}", 0.10)
        net.link(f"terminal {space}", air, fin(6530.0, "copper"))
        if space > 2:
            net.link(f"body {space - 2}", f"body {space}", 0.10)
    service = fin(66360.0, "aluminium")
    for leg, row in (("A", 1), ("B", 2)):
        net.node(f"lug {leg}", 60.0)
        net.link(f"lug {leg}", air, 0.5 * service)
        net.link(f"lug {leg}", None, 0.5 * service)
        net.node(f"main breaker {leg}", 300.0)
        net.node(f"main to bus {leg}", 30.0)
        net.surface(f"main breaker {leg}", air, 1.0e-2, 0.1, 0.92)
        net.surface(f"main breaker {leg}", None, 3.0e-3, 0.1, 0.92)
        net.link(f"lug {leg}", f"main breaker {leg}", 0.4)
        net.link(f"main breaker {leg}", f"main to bus {leg}", 0.4)
        net.link(f"main to bus {leg}", f"bar at row {row}", 0.8)
    net.node("neutral bar", 100.0)
    net.link("neutral bar", air, 0.13 + 0.012 * SPACES)
    net.surface("neutral bar", air, 6.0e-3, 0.05, 0.2)
    for stretch, (_, heat) in enumerate(STRETCHES):
        for place, watts in heat.items():
            net.put(place, watts, stretch)
    return net


def main():
    net = build()
    edges, t = [], 0.0
    for seconds, _ in STRETCHES:
        edges.append(t)
        t += seconds
    for idx, (name, watts) in enumerate(net.heat.items()):
        points = []
        for start, value in zip(edges, watts):
            points += [(start + (1e-3 if points else 0.0), value)]
            if start > 0:
                points.insert(-1, (start, watts[edges.index(start) - 1]))
        text = " ".join(f"{s!r} {value!r}" for s, value in points)
        net.lines.append(f"ih{idx} 0 {net.at(name)} pwl({text})")
    nodes = [net.at(name) for name in net.names]
    deck = ["thermal network of an invented panel", ".options reltol=1e-7 vntol=1e-9 abstol=1e-12 method=trap"]
    deck += net.lines + [".control", "set numdgt=12", f"tran 300 {t!r} 0 2 uic", "linearize", "set wr_singlescale"]
    with tempfile.TemporaryDirectory() as folder:
        answer = Path(folder) / "answer.txt"
        deck += [f"wrdata {answer} " + " ".join(f"v({n})" for n in nodes), "quit", ".endc", ".end"]
        file = Path(folder) / "deck.cir"
        file.write_text("\n".join(deck) + "\n")
        done = subprocess.run(["ngspice", "-b", str(file)], capture_output=True, text=True, check=False)
        if not answer.exists():
            raise SystemExit(done.stdout + done.stderr)
        rows = [[float(x) for x in line.split()] for line in answer.read_text().splitlines()]
    wanted = [i * 300.0 for i in range(1, int(t // 300) + 1)]
    lines = ["seconds," + ",".join(net.names)]
    for s in wanted:
        row = min(rows, key=lambda row: abs(row[0] - s))
        assert abs(row[0] - s) < 1e-6, (row[0], s)
        lines.append(f"{s:.0f}," + ",".join(f"{x:.4f}" for x in row[1:]))
    OUT.mkdir(parents=True, exist_ok=True)
    (OUT / "rises.csv").write_text("\n".join(lines) + "\n")
    heats = ["place,seconds_1,seconds_2,seconds_3"]
    heats[0] = "place," + ",".join(f"{seconds:.0f}" for seconds, _ in STRETCHES)
    places = sorted({p for _, heat in STRETCHES for p in heat})
    heats += [p + "," + ",".join(str(heat.get(p, 0.0)) for _, heat in STRETCHES) for p in places]
    (OUT / "heats.csv").write_text("\n".join(heats) + "\n")


if __name__ == "__main__":
    main()
