"""Thermal network of a panel, from its formulas (JAX): surfaces, solid paths, wire fins, enclosure law.

The nonlinear balance is solved by Newton's method with the exact Jacobian; derivatives come from the implicit
function theorem. Values: the assumed constants of `crates/physics` (docs list them with their standing).
"""

import jax.numpy as jnp
import numpy as np
from jax import lax

SIGMA = 5.670374419e-8
AREA_PER_CMIL = 5.067075e-10
CMIL = {"14": 4110.0, "12": 6530.0, "10": 10380.0, "8": 16510.0, "6": 26240.0, "2": 66360.0}
KNOBS = ("film", "cabinet", "path", "neck")


def fin(size, metal):
    """Endless fin: conductance at its end, W/K, and the resistance whose heat comes back to the end, ohm."""
    k, rho = (215.0, 3.11e-8) if metal == "aluminium" else (390.0, 1.90e-8)
    area = CMIL[size] * AREA_PER_CMIL
    shed = 11.0 * np.pi * (np.sqrt(4 * area / np.pi) + 1.6e-3)  # W/(m K): film times insulated circumference
    return np.sqrt(shed * k * area), rho / area * np.sqrt(k * area / shed)


class Network:
    """Nodes, edges and surfaces of one panel; two legs, two columns, whole spaces, one section."""

    def __init__(self, panel, service):
        self.nodes, self.links, self.room, self.surfaces = [], [], [], []
        self.wire_ohm = {}
        rows = -(-panel["spaces"] // 2)
        metal = panel.get("bus", {}).get("metal")
        bus_k, bus_rho = (215.0, 3.4e-8) if metal == "aluminium" else (390.0, 1.90e-8)
        self.bar_ohm = bus_rho * 2 * 0.0254 / 8.1e-5
        air = self.node("air")
        w, h, d = 0.37, 0.30 + 0.0254 * rows, 0.09  # flush in a wall, size not measured
        surface = np.clip(0.7 * w * d + 0.9 * w * h + 2 * 0.5 * h * d + 0.5 * w * h, 0.05, 1.25)
        self.enclosure_k = 0.607 * surface**-0.744
        for row in range(rows):
            bar, finger = self.node(f"bar{row}"), self.node(f"finger{row}")
            self.link(bar, finger, 0.25, "neck")
            self.surface(bar, air, 1.2e-3, 0.025, 0.2, None)
            if row >= 2:
                self.link(self.at(f"bar{row - 2}"), bar, bus_k * 8.1e-5 / (2 * 0.0254), None)
        poles = {}
        for breaker in panel["breaker"]:
            stout = max(breaker["rating_a"] / 20, 0.5) ** 0.6
            for pole in range(breaker.get("poles", 1)):
                space = breaker["space"] + 2 * pole
                jaw, body = self.node(f"jaw{space}"), self.node(f"body{space}")
                face, terminal = self.node(f"face{space}"), self.node(f"terminal{space}")
                self.link(jaw, body, 0.10 * stout, "path")
                self.link(body, terminal, 0.12 * stout, "path")
                self.link(body, face, 0.09, "path")
                self.surface(body, air, 5.0e-3, 0.07, 0.92, "film")
                self.surface(face, None, 1.5e-3, 0.06, 0.92, "film")
                self.link(self.at(f"finger{(space - 1) // 2}"), jaw, 0.10, "neck")
                wire = breaker["conductor"]
                g, self.wire_ohm[space] = fin(wire["size"], wire["metal"])
                self.link(terminal, air, g, None)
                poles[space] = body
        for space, body in poles.items():
            if space + 2 in poles:
                self.link(body, poles[space + 2], 0.10, "path")
        g, _ = fin(service["entrance"]["size"], service["entrance"]["metal"])
        for leg in "AB":
            bar = self.at(f"bar{'AB'.index(leg)}")
            lug = self.node(f"lug{leg}")
            self.link(lug, air, 0.5 * g, None)
            self.room.append((lug, 0.5 * g))
            if panel["main"] == "breaker":
                main, feed = self.node(f"main{leg}"), self.node(f"feed{leg}")
                self.surface(main, air, 1.0e-2, 0.1, 0.92, "film")
                self.surface(main, None, 3.0e-3, 0.1, 0.92, "film")
                self.link(lug, main, 0.4, "path")
                self.link(main, feed, 0.4, "path")
                self.link(feed, bar, 0.8, None)
            else:
                self.link(lug, bar, 0.8, None)
        neutral = self.node("neutral")
        self.link(neutral, air, 0.13 + 0.012 * len(panel["breaker"]), None)
        self.surface(neutral, air, 6.0e-3, 0.05, 0.2, None)
        self.finish()

    def node(self, name):
        self.nodes.append(name)
        return len(self.nodes) - 1

    def at(self, name):
        return self.nodes.index(name)

    def link(self, a, b, g, knob):
        self.links.append((a, b, g, knob))

    def surface(self, node, air, area, height, emissivity, knob):
        self.surfaces.append((node, air, area, height, emissivity, knob))

    def finish(self):
        """Laplacians by knob and one-hot matrices, so that balance and Jacobian are matrix products."""
        n = len(self.nodes)
        self.laplacian = {knob: np.zeros((n, n)) for knob in (None, "path", "neck")}
        for a, b, g, knob in self.links:
            self.laplacian[knob] += g * np.outer(np.eye(n)[a] - np.eye(n)[b], np.eye(n)[a] - np.eye(n)[b])
        self.to_room = np.zeros(n)
        for node, g in self.room:
            self.to_room[node] += g
        eye = np.eye(n)
        self.s_node = np.array([eye[s[0]] for s in self.surfaces])
        self.s_air = np.array([eye[s[1]] if s[1] is not None else 0 * eye[0] for s in self.surfaces])
        self.s_room = np.array([float(s[1] is None) for s in self.surfaces])
        self.s_area, self.s_height, self.s_eps = (np.array([s[i] for s in self.surfaces]) for i in (2, 3, 4))
        self.s_film = np.array([float(s[5] == "film") for s in self.surfaces])

    def balance(self, rise, heat, room_k, knobs, jacobian=False):
        """Heat put in less heat shed at each node, W; with its Jacobian over the rises."""
        film, cabinet, path, neck = knobs
        solid = self.laplacian[None] + path * self.laplacian["path"] + neck * self.laplacian["neck"]
        surface, air = self.s_node @ rise, self.s_air @ rise
        theta = surface - air
        area = self.s_area * (1 + self.s_film * (film - 1))
        root = jnp.where(jnp.abs(theta) > 1e-12, (jnp.abs(theta) + 1e-300) / self.s_height, 1e-12) ** 0.25
        ts, ta = surface + room_k, air + room_k
        flow = area * (1.42 * root * theta + self.s_eps * SIGMA * (ts**4 - ta**4))
        k = self.enclosure_k / cabinet**0.804
        chord = k * 0.05**0.804
        t_air = rise[0]
        power = jnp.where(t_air > chord, (jnp.maximum(t_air, chord) / k) ** (1 / 0.804), 0.05 / chord * t_air)
        out = heat - solid @ rise - self.to_room * rise - (self.s_node - self.s_air).T @ flow
        out = out.at[0].add(-power)
        if not jacobian:
            return out
        d_node = area * (1.25 * 1.42 * root + 4 * self.s_eps * SIGMA * ts**3)
        d_air = -area * (1.25 * 1.42 * root + 4 * self.s_eps * SIGMA * ta**3)
        d = solid + jnp.diag(self.to_room)
        d = d + (self.s_node - self.s_air).T @ (d_node[:, None] * self.s_node + d_air[:, None] * self.s_air)
        slope = jnp.where(t_air > chord, power / (0.804 * jnp.maximum(t_air, chord)), 0.05 / chord)
        return out, -d.at[0, 0].add(slope)

    def solve(self, heat, room_k, knobs, start, steps=5):
        """Rises over the room, K. `steps` Newton steps, then one whose derivative is that of the implicit function."""
        fixed = [lax.stop_gradient(x) for x in (heat, room_k)] + [tuple(lax.stop_gradient(k) for k in knobs)]
        rise = start
        for _ in range(steps):
            out, d = self.balance(rise, *fixed, jacobian=True)
            rise = jnp.maximum(rise - jnp.linalg.solve(d, out), 1e-6)
        rise = lax.stop_gradient(rise)
        _, d = self.balance(rise, *fixed, jacobian=True)
        return rise - jnp.linalg.solve(d, self.balance(rise, heat, room_k, knobs))
