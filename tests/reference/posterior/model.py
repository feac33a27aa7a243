"""The model of a small panel, written from its formulas: prior, currents, observations, density, in JAX.

Conditions, shared fingers and the panel's prevalence are summed exactly; resistances and unknown loads are normal
scores of their prior, so that a sampler sees a space that is nearly a normal one where nothing was measured.
"""

import tomllib
from pathlib import Path

import jax
import jax.numpy as jnp
import numpy as np
from jax.scipy.special import logsumexp
from jax.scipy.stats import norm
from jax.scipy.stats import t as student_t
from scipy.stats import norm as norm_np

from network import Network

jax.config.update("jax_enable_x64", True)
HERE = Path(__file__).parent
DATA = HERE.parents[2] / "crates/inference/data"
HEAVY = {"dryer", "cooking", "water-heater", "cooling", "space-heat", "vehicle", "feeder"}


def read(path):
    return tomllib.loads(Path(path).read_text())


PRIORS, SIGNS, COMPLAINTS = (read(DATA / f"{n}.toml") for n in ("priors", "signs", "complaints"))
TOUCH = {"warm": (34.0, 43.2 + 1000 / 900 * 10.2), "hot": (43.2 + 1000 / 900 * 10.2, 43.2 + 1500 / 600 * 10.2)}
IEC = np.array([(10, 3.0), (16, 3.5), (25, 4.5), (32, 6.0), (40, 7.5), (50, 9.0), (63, 13.0), (100, 15.0), (125, 20.0)])


def leg_of(space):
    return "AB"[(space - 1) // 2 % 2]


class Joint:
    def __init__(self, name, kind, modifiers=(), row=None, slot=None):
        self.name, self.kind, self.row, self.slot = name, kind, row, slot
        law = PRIORS["resistance"][kind]
        self.mild = law["burnt"].get("mild", {"share": 0.0, "shows": 1.0, **law["burnt"]})
        classes = [law["sound"], law["worn"], self.mild, law["burnt"]]
        self.mean = np.log([c["median_mohm"] * 1e-3 for c in classes])
        self.sd = np.array([c["spread"] for c in classes])
        film = law["burnt"].get("film", {"share": 0.0, **law["burnt"]})
        self.film = film["share"], np.log(film["median_mohm"] * 1e-3), film["spread"]
        self.odds = np.array([PRIORS["odds"][kind]["worn"], PRIORS["odds"][kind]["burnt"]])
        for name in modifiers:
            self.odds = self.odds * [PRIORS["modifiers"][name]["worn"], PRIORS["modifiers"][name]["burnt"]]


    def shows(self, by_condition):
        """Chance of a sign by class: what shows little shows less, what shows much the more."""
        sound, worn, burnt = by_condition
        if self.mild["share"] == 0:
            return [sound, worn, burnt, burnt]
        little = max(self.mild["shows"] * burnt, sound)
        much = (burnt - self.mild["share"] * little) / (1 - self.mild["share"])
        return [sound, worn, little, min(max(much, burnt), 0.95)]


class Model:
    def __init__(self, job):
        self.job, (panel,) = job, job["panel"]
        self.panel, self.net = panel, Network(panel, job["service"])
        self.rows = -(-panel["spaces"] // 2)
        self.joints_and_poles()
        self.currents()
        self.observations()
        self.noisy_ors()
        self.tables()
        self.air_rise = None  # fixed after the pilot, as the program does
        self.shows_air = None  # the same: how much of a change of the air a node shows

    # ---- unknown resistances ------------------------------------------------------------------------------------
    def joints_and_poles(self):
        panel = self.panel
        on_bus = {"aluminium": ["aluminium-bus"], "copper": ["copper-bus"]}.get(panel["bus"].get("metal"), [])
        damp = ["moisture"] if panel.get("moisture") else []
        self.joints = [Joint(f"main:lug:{leg}", "lug", damp) for leg in "AB"]
        self.poles = []  # (name, rating)
        self.factors, self.own_spread = {}, []  # members by factor; spread of each pole
        pole = PRIORS["pole"]

        def add_pole(name, rating, frame, spread):
            for key, sd in (((frame,), pole["common_spread"]), ((frame, rating), pole["rating_spread"])):
                if len(key) == 1 or frame != "main":
                    self.factors.setdefault(key, (sd, []))[1].append(len(self.poles))
            self.poles.append((name, rating))
            self.own_spread.append(spread)

        if panel["main"] == "breaker":
            self.joints += [Joint(f"main:feeder:bus:{leg}", "feeder", on_bus + damp) for leg in "AB"]
            for leg in "AB":
                add_pole(f"main{leg}", panel["main_a"], "main", pole["own_spread"])
        self.carried = {}  # joint or pole -> space whose current it carries
        for b in panel["breaker"]:
            use = ["heavy-load"] if b.get("class") in HEAVY else []
            if b.get("class") == "general" and b["rating_a"] <= 20:
                use = ["light-load"]
            wire = ["aluminium-wire"] if b["conductor"]["metal"] == "aluminium" else []
            other = ["other-make"] if b.get("other_make") else []
            spaces = [b["space"] + 2 * i for i in range(b.get("poles", 1))]
            for s in spaces:
                self.joints.append(Joint(f"main:stab:{s}", "stab", on_bus + damp + other + use, (s - 1) // 2, s))
                self.joints.append(Joint(f"main:terminal:{s}", "terminal", damp + use + wire, None, s))
                frame, spread = ("other", "own_spread_other_make") if other else ("own", "own_spread")
                add_pole(f"pole{s}", b["rating_a"], frame, pole[spread])
                self.carried |= {f"main:stab:{s}": s, f"main:terminal:{s}": s, f"pole{s}": s}
            if b.get("uses_neutral", len(spaces) == 1):
                s = spaces[0]
                self.joints.append(Joint(f"main:neutral:{s}", "neutral", damp + use + wire, None, s))
                self.carried[f"main:neutral:{s}"] = s
        self.joints.append(Joint("main:neutral:lug", "neutral", damp))
        self.n_own = len(self.joints)
        self.joints += [Joint(f"supply:{leg}", "supply-leg") for leg in "AB"] + [Joint("supply:N", "supply-neutral")]
        loss = np.exp(np.interp(np.log([r for _, r in self.poles]), np.log(IEC[:, 0]), np.log(IEC[:, 1])))
        rating = np.array([r for _, r in self.poles], float)
        self.pole_mean = np.log(PRIORS["pole"]["of_limit"] * loss / rating**2)
        self.index = {j.name: i for i, j in enumerate(self.joints)}
        self.index |= {name: len(self.joints) + i for i, (name, _) in enumerate(self.poles)}

    # ---- load states --------------------------------------------------------------------------------------------
    def currents(self):
        """Loads: each (state, spaces, law); a pole without its own clamp follows the breaker's first clamped one."""
        self.loads, self.load_of = [], {}
        inst = PRIORS["instrument"]
        for k, state in enumerate(self.job["state"]):
            for b in self.panel["breaker"]:
                spaces = [b["space"] + 2 * i for i in range(b.get("poles", 1))]
                shared = None
                for s in spaces:
                    a = state.get("amps", {}).get(str(s))
                    if a is not None:
                        self.loads.append(("measured", a, inst["clamp_relative"] * a + inst["clamp_a"]))
                        self.load_of[k, s] = len(self.loads) - 1
                        shared = len(self.loads) - 1 if shared is None else shared
                for s in spaces:
                    if (k, s) in self.load_of:
                        continue
                    if shared is None:
                        idle = any(x in state.get("unloaded", []) for x in spaces)
                        heavy = b.get("class") in HEAVY
                        self.loads.append(("zero",) if idle else ("unknown", b["rating_a"], heavy))
                        shared = len(self.loads) - 1
                    self.load_of[k, s] = shared
        # carry[state][resistance][load]
        n_res = len(self.joints) + len(self.poles)
        self.carry = np.zeros((len(self.job["state"]), n_res, len(self.loads)))
        spaces = sorted({s for _, s in self.load_of})
        for k in range(len(self.job["state"])):
            for name, s in self.carried.items():
                self.carry[k, self.index[name], self.load_of[k, s]] += 1
            for s in spaces:
                leg, load = leg_of(s), self.load_of[k, s]
                for name in (f"main:lug:{leg}", f"main:feeder:bus:{leg}", f"main{leg}", f"supply:{leg}"):
                    if name in self.index:
                        self.carry[k, self.index[name], load] += 1
                for name in ("main:neutral:lug", "supply:N"):
                    self.carry[k, self.index[name], load] += 1 if leg == "A" else -1

    # ---- observations -------------------------------------------------------------------------------------------
    def observations(self):
        inst, disc, job = PRIORS["instrument"], PRIORS["discrepancy"], self.job
        self.offsets = []  # (name, mean, sd)
        states = [s["name"] for s in job["state"]]
        self.offsets += [(f"room {s['name']}", s["room_c"], inst["room_k"]) for s in job["state"]]
        self.offsets.append(("gradient", disc["gradient"], disc["gradient_spread"]))

        def offset(name, mean, sd):
            names = [o[0] for o in self.offsets]
            if name not in names:
                self.offsets.append((name, mean, sd))
                return len(names)
            return names.index(name)

        # States are held so long that nothing of what ran before is left: the steady network is enough here.
        assert all(s.get("held_min", 0) >= 600 for s in job["state"])
        self.air_offset = [offset(f"air {k}", 0.0, 1.0) for k in range(len(states))]
        self.tailed = {}  # pole offsets are now and then wider

        def rise_error(rise):
            return np.hypot(disc["floor_k"], disc["of_rise"] * max(rise, 3.0))

        def pole_part(space, rise):
            self.tailed[space] = offset(f"pole {space}", 0.0, disc["of_rise_pole"])
            return (self.tailed[space], max(rise, 3.0))

        self.thermal = []  # (state, node, row, bias or None, (pole offset, weight), value, sigma, interval or None)
        for k, s in enumerate(job["state"]):
            for space, c in s.get("faces_c", {}).items():
                bias = offset(f"bias of {s['thermometer']}", 0.0, inst["bias_k"])
                sigma = np.hypot(inst["infrared_noise_k"], rise_error(c - s["room_c"]))
                node, part = self.net.at(f"face{space}"), pole_part(int(space), c - s["room_c"])
                self.thermal.append((k, node, (int(space) - 1) // 2, bias, part, c, sigma, None))
        for t in job.get("touch", []):
            k = states.index(t["state"])
            room, (low, high) = job["state"][k]["room_c"], TOUCH[t["feel"]]
            middle = 0.5 * (max(low, room) + min(high, 95.0))
            sigma = np.hypot(4.0, rise_error(middle - room))
            node, part = self.net.at(f"face{t['space']}"), pole_part(t["space"], middle - room)
            self.thermal.append((k, node, (t["space"] - 1) // 2, None, part, middle, sigma, (low, high)))
        self.linear = []  # (state, {resistance: sign}, own amps by resistance, {offset: weight}, value, sigma)
        for v in job.get("voltage", []):
            k, leg = states.index(v["state"]), v["leg"]
            n = -1.0 if leg == "A" else 1.0
            weights = {f"supply:{leg}": -1.0, f"main:lug:{leg}": -1.0, "supply:N": n, "main:neutral:lug": n}
            source = offset("source", inst["source_v"], inst["source_spread_v"])
            drift = offset(f"drift {v['state']}", 0.0, inst["drift_v"])
            self.linear.append((k, weights, {}, {source: 1.0, drift: 1.0}, v["volts"], inst["volt_v"]))
        for d in job.get("drop", []):
            k, value = states.index(d["state"]), d["mv"] * 1e-3
            weights, own = {}, {}
            for place, sign in ((d["to"], 1.0), (d["from"], -1.0)):
                path = ["supply:N"]
                if place == "neutral-bar":
                    path = ["supply:N", "main:neutral:lug"]
                elif place.startswith("load:"):
                    s = int(place[5:])
                    path = [f"supply:{leg_of(s)}", f"main:lug:{leg_of(s)}", f"main:stab:{s}", f"pole{s}"]
                    assert self.panel["main"] == "lugs"
                for name in path:
                    weights[name] = weights.get(name, 0.0) + sign
            weights = {name: w for name, w in weights.items() if w != 0}
            if "amps" in d:
                s = int(d["to"][5:])
                own = {f"main:stab:{s}": d["amps"], f"pole{s}": d["amps"]}
            relative = np.hypot(inst["drop_relative"], 0.02 if own else 0.0)
            floor = (inst["drop_mv"] + (inst["bar_mv"] if len(weights) > 2 else 0)) * 1e-3
            self.linear.append((k, weights, own, {}, value, np.hypot(relative * value, floor)))
        # A drop ties a stab to its pole. Their scores are replaced by the logarithm of the sum and that of the ratio, for
        # otherwise a sampler has to follow a thin bent ridge. (ln a, ln b) to (ln (a + b), ln a/b) has determinant 1.
        self.tied = []  # (stab, pole, ln sum by the reading)
        for d in job.get("drop", []):
            if "amps" in d:
                space = int(d["to"][5:])
                pole = self.index[f"pole{space}"] - len(self.joints)
                self.tied.append((self.index[f"main:stab:{space}"], pole, np.log(d["mv"] * 1e-3 / d["amps"])))
        self.free_joint = np.array([i not in [t[0] for t in self.tied] for i in range(len(self.joints))], float)
        self.free_pole = np.array([p not in [t[1] for t in self.tied] for p in range(len(self.poles))], float)
        self.sums = []  # (load weights, value, sigma)
        typical = np.array([load[1] if load[0] == "measured" else 0.0 for load in self.loads])
        for k, s in enumerate(job["state"]):
            for place, a in s.get("amps", {}).items():
                if place.isdigit():
                    continue
                name = "main:neutral:lug" if place == "neutral" else f"main:lug:{place[-1]}"
                weights = self.carry[k, self.index[name]]
                value = -a if weights @ typical < 0 else a
                self.sums.append((weights, value, inst["clamp_relative"] * a + inst["clamp_a"]))

    def noisy_ors(self):
        """(silence[joint, condition], elsewhere) of each sign and complaint that is present."""
        self.ors = []
        for sign in self.job.get("sign", []):
            prior = SIGNS[sign["what"]]
            shows = np.zeros((len(self.joints), 4))
            for i, j in enumerate(self.joints):
                if j.slot == sign["place"]:
                    shows[i] = j.shows(prior.get(j.kind, [0, 0, 0]))
            self.ors.append((shows, prior["else"]["slot"], sign.get("seen", True)))
        for complaint in self.job.get("complaint", []):
            prior = COMPLAINTS[complaint["kind"]]
            shows = np.zeros((len(self.joints), 4))
            for i, j in enumerate(self.joints):
                if not (j.kind == "neutral" and j.slot) and j.kind in prior["joints"]:
                    shows[i] = j.shows([0.0, *prior["joints"][j.kind]])
            self.ors.append((shows, 1 - np.prod([1 - c for c in prior["rivals"].values()]), True))

    # ---- prior --------------------------------------------------------------------------------------------------
    def tables(self):
        """Condition chances by prevalence and finger, and quantile tables that turn normal scores into values."""
        cluster = PRIORS["cluster"]
        self.chance = np.zeros((len(cluster["prevalence"]), 2, len(self.joints), 4))
        for p, prevalence in enumerate(cluster["prevalence"]):
            for f in range(2):
                for i, j in enumerate(self.joints):
                    worn, burnt = j.odds
                    if i < self.n_own:
                        worn, burnt = worn * prevalence["worn"], burnt * prevalence["burnt"]
                    if f:
                        worn, burnt = worn * cluster["finger_worn"], burnt * cluster["finger_burnt"]
                    mild = j.mild["share"]
                    self.chance[p, f, i] = np.array([1, worn, mild * burnt, (1 - mild) * burnt]) / (1 + worn + burnt)
        self.p_prev = np.array([p["weight"] for p in cluster["prevalence"]])
        self.p_finger = np.array([1 - cluster["finger_probability"], cluster["finger_probability"]])
        self.on_finger = np.array([j.row is not None for j in self.joints])
        self.mean = np.array([j.mean for j in self.joints])
        self.sd = np.array([j.sd for j in self.joints])
        self.film = np.array([j.film for j in self.joints]).T
        of_finger = np.where(self.on_finger[:, None], self.p_finger, [1.0, 0.0])
        self.marginal = np.einsum("p,if,pfic->ic", self.p_prev, of_finger, self.chance)
        self.grid_low, self.grid_step, n = -7.0, 0.005, 2801
        scores = self.grid_low + self.grid_step * np.arange(n)

        def quantiles(weights, mean, sd, low, high):
            x = np.linspace(low, high, 40001)
            below = sum(w * norm_np.cdf(x, m, s) for w, m, s in zip(weights, mean, sd))
            below = (below - below[0]) / (below[-1] - below[0])
            above = sum(w * norm_np.sf(x, m, s) for w, m, s in zip(weights, mean, sd))
            above = (above - above[-1]) / (above[0] - above[-1])
            z = np.where(below < 0.5, norm_np.ppf(np.maximum(below, 1e-300)), norm_np.isf(np.maximum(above, 1e-300)))
            keep = np.concatenate([[True], np.diff(z) > 1e-9])
            return np.interp(scores, z[keep], x[keep])

        def of_joint(w, m, s, film):
            share, mean, sd = film
            parts = [*w[:3], w[3] * (1 - share), w[3] * share]
            return quantiles(parts, [*m, mean], [*s, sd], m[0] - 6 * s[0], max(m[3] + 6 * s[3], mean + 6 * sd))

        self.table = np.array([of_joint(*joint) for joint in zip(self.marginal, self.mean, self.sd, self.film.T)])
        load = PRIORS["load"]
        ends = np.log([load["least"], load["most"]])
        self.house = np.array([(h["weight"], h["idle"]) for h in load["house"]])
        idle = self.house[:, 0] @ self.house[:, 1]  # of a load whose house is not known
        self.load_tables, self.load_laws = {}, {}
        for i, law in enumerate(self.loads):
            if law[0] == "unknown":
                parts = [load["heavy_idle" if law[2] else "idle"], load["heavy_busy" if law[2] else "busy"]]
                mean, sd = (np.array(v) for v in zip(*[(np.log(p["median"]), p["spread"]) for p in parts]))
                # Each part is cut at the ends by itself, so that the chance of idle is what the house says.
                inside = norm_np.cdf(ends[1], mean, sd) - norm_np.cdf(ends[0], mean, sd)
                self.load_tables[i] = quantiles(np.array([idle, 1 - idle]) / inside, mean, sd, *ends)
                self.load_laws[i] = mean, sd, np.log(inside)

    def log_houses(self, loads):
        """How much likelier the unknown loads of each state are together than each by itself: its house summed out."""
        weight, idle = self.house.T
        total = 0.0
        for k in range(len(self.job["state"])):
            of_state = [i for i in self.load_laws if any(self.load_of[k, s] == i for s in self.spaces_of(k))]
            together = jnp.log(weight)
            for i in of_state:
                mean, sd, log_inside = self.load_laws[i]
                log_idle, log_busy = norm.logpdf(jnp.log(loads[i] / self.loads[i][1]), mean, sd) - log_inside
                by_house = jnp.logaddexp(np.log(idle) + log_idle, np.log1p(-idle) + log_busy)
                together = together + by_house
                total = total - logsumexp(jnp.log(weight) + by_house)
            total = total + logsumexp(together)
        return total

    def spaces_of(self, state):
        return [s for k, s in self.load_of if k == state]

    def from_score(self, table, z):
        """Value at a normal score by straight lines between table entries."""
        at = jnp.clip(((z - self.grid_low) / self.grid_step).astype(int), 0, table.shape[-1] - 2)
        low = jnp.take_along_axis(jnp.asarray(table), at[..., None], -1)[..., 0]
        high = jnp.take_along_axis(jnp.asarray(table), at[..., None] + 1, -1)[..., 0]
        return low + (high - low) / self.grid_step * (z - self.grid_low - at * self.grid_step)

    def log_mixture(self, log_density):
        """Logarithm of the prior density of all conditioned resistances with every condition, finger, prevalence summed.

        Signs that were seen are 1 minus the chance of silence; the product is expanded over their subsets, since
        each term then splits over the joints.
        """
        # The largest is taken out and put back, so its gradient is none; that of a maximum which XLA computes twice can be 0/0.
        top = jax.lax.stop_gradient(log_density.max(axis=1, keepdims=True))
        density = jnp.exp(log_density - top)
        total = 0.0
        seen = [o for o in self.ors if o[2]]
        silent = [o for o in self.ors if not o[2]]
        for subset in range(1 << len(seen)):
            chosen = [o for b, o in enumerate(seen) if subset >> b & 1]
            keep, factor = np.ones((len(self.joints), 4)), (-1.0) ** len(chosen)
            for shows, elsewhere, _ in chosen + silent:
                keep, factor = keep * (1 - shows), factor * (1 - elsewhere)
            parts = jnp.sum(self.chance * keep * density, axis=-1)  # prevalence, finger, joint
            loose = jnp.prod(parts[:, 0][:, ~self.on_finger], axis=1)
            for row in range(self.rows):
                members = np.array([j.row == row for j in self.joints])
                if members.any():
                    loose = loose * jnp.sum(self.p_finger * jnp.prod(parts[:, :, members], axis=2), axis=1)
            total = total + factor * jnp.sum(self.p_prev * loose)
        return jnp.log(total) + jnp.sum(top)

    # ---- the whole density --------------------------------------------------------------------------------------
    def sizes(self):
        self.n_c, self.n_p = len(self.joints), len(self.poles)
        self.n_f = len(self.factors)
        self.membership = np.zeros((self.n_f, self.n_p))
        for f, (sd, members) in enumerate(self.factors.values()):
            self.membership[f, members] = sd
        # Metal that answers to its own heat by a factor of its own. None of it is read here, so only what the rest gets is seen.
        self.metals = [f"terminal{s}" for s in sorted({s for _, s in self.load_of})] + ["lugA", "lugB", "neutral"]
        self.metals += [f"feed{leg}" for leg in "AB" if self.panel["main"] == "breaker"]
        assert not {self.net.at(name) for name in self.metals} & {t[1] for t in self.thermal}
        return self.n_c + self.n_p + self.n_f + len(self.loads) + len(self.offsets) + 4 + len(self.metals)

    def unpack(self, z):
        parts = np.cumsum([self.n_c, self.n_p, self.n_f, len(self.loads), len(self.offsets)])
        zc, zp, zm, zl, zo, zk = jnp.split(z, parts)
        x = self.from_score(self.table, zc)
        ln_pole = self.pole_mean + zm @ self.membership + np.array(self.own_spread) * zp
        for i, p, ln_sum in self.tied:
            total, ratio = ln_sum + 0.03 * zc[i], 2.0 * zp[p] - 1.0
            x = x.at[i].set(total + jax.nn.log_sigmoid(ratio))
            ln_pole = ln_pole.at[p].set(total + jax.nn.log_sigmoid(-ratio))
        loads = []
        for i, law in enumerate(self.loads):
            if law[0] == "measured":
                loads.append(jnp.abs(law[1] + law[2] * zl[i]))
            elif law[0] == "unknown":
                loads.append(law[1] * jnp.exp(self.from_score(self.load_tables[i][None], zl[i : i + 1])[0]))
            else:
                loads.append(jnp.zeros(()))
        offsets = jnp.array([o[1] for o in self.offsets]) + jnp.array([o[2] for o in self.offsets]) * zo
        disc = PRIORS["discrepancy"]
        spread = [disc[f"{n}_spread"] for n in ("film", "cabinet", "path", "neck")]
        alone = disc["metal_alone"]
        others = jnp.maximum((1 - alone * jnp.exp(disc["metal_spread"] * zk[4:])) / (1 - alone), 0.05)
        knobs = (*(jnp.exp(s * k) for s, k in zip(spread, zk[:4])), others)
        return x, jnp.exp(jnp.concatenate([x, ln_pole])), jnp.stack(loads), offsets, knobs

    def heat(self, k, ohm, current, loads, others=None):
        """Heat at each node, W; of that which arises in metal as much as the rest of the panel gets of it."""
        heat = jnp.zeros(len(self.net.nodes))
        watts = ohm * current**2
        for name, i in self.index.items():
            space = self.carried.get(name)
            if name.startswith("supply"):
                continue
            if ":stab:" in name:
                heat = heat.at[self.net.at(f"finger{(space - 1) // 2}")].add(0.5 * watts[i])
                heat = heat.at[self.net.at(f"jaw{space}")].add(0.5 * watts[i])
                continue
            node = {"pole": f"body{space}", "main:terminal": f"terminal{space}", "main:neutral": "neutral"}
            node |= {"main:lug": f"lug{name[-1]}", "main:feeder": f"feed{name[-1]}", "main": f"main{name[-1]}"}
            key = next(p for p in ("pole", "main:terminal", "main:neutral", "main:lug", "main:feeder", "main")
                       if name.startswith(p))
            heat = heat.at[self.net.at(node[key])].add(watts[i])
        for space, ohm_wire in self.net.wire_ohm.items():
            amps = loads[self.load_of[k, space]]
            heat = heat.at[self.net.at(f"terminal{space}")].add(ohm_wire * amps**2)
        if others is not None:
            heat = heat * jnp.ones(len(heat)).at[np.array([self.net.at(name) for name in self.metals])].set(others)
        for leg in (0, 1):
            through = 0.0
            for row in range(self.rows - 1, -1, -1):
                if row % 2 == leg:
                    for space in (2 * row + 1, 2 * row + 2):
                        if (k, space) in self.load_of:
                            through = through + loads[self.load_of[k, space]]
                    heat = heat.at[self.net.at(f"bar{row}")].add(self.net.bar_ohm * through**2)
        return heat

    def rises(self, ohm, loads, offsets, knobs, steps=5):
        out = {}
        for k in {t[0] for t in self.thermal}:
            current = self.carry[k] @ loads
            heat = self.heat(k, ohm, current, loads, *knobs[4:])
            start = jnp.asarray(self.start[k]) if hasattr(self, "start") else jnp.full(len(self.net.nodes), 8.0)
            out[k] = self.net.solve(heat, offsets[k] + 273.15, knobs[:4], start, steps)
        return out

    def air_shown(self, k, pilot):
        """How far each node follows the cabinet air at the mean of the pilot: answers to heat put into the air."""
        parts = [self.unpack(z)[1:] for z in pilot]
        ohm, loads, offsets = (jnp.mean(jnp.stack([p[i] for p in parts]), axis=0) for i in range(3))
        ones = tuple(jnp.ones(()) for _ in range(4))
        rise = self.rises(ohm, loads, offsets, ones, 30)[k]
        heat = self.heat(k, ohm, self.carry[k] @ loads, loads)
        _, d = self.net.balance(rise, heat, offsets[k] + 273.15, ones, jacobian=True)
        answer = jnp.linalg.solve(-d, jnp.eye(len(self.net.nodes))[0])
        return np.asarray(answer / answer[0])

    def predict(self, ohm, loads, offsets, knobs, steps=5):
        rises, g = self.rises(ohm, loads, offsets, knobs, steps), len(self.job["state"])
        thermal = []
        disc = PRIORS["discrepancy"]
        for k, node, row, bias, (pole, weight), *_ in self.thermal:
            air = rises[k][0] if self.air_rise is None else self.air_rise[k]
            shows = 0.5 if self.shows_air is None else self.shows_air[k][node]
            height = 1 - 2 * row / (max(self.rows, 2) - 1)
            value = rises[k][node] + offsets[k] + air * height * offsets[g] + weight * offsets[pole]
            value = value + jnp.hypot(disc["air_k"], disc["of_air"] * air) * shows * offsets[self.air_offset[k]]
            thermal.append(value + (0.0 if bias is None else offsets[bias]))
        linear = []
        for k, weights, own, over, *_ in self.linear:
            value = sum(w * offsets[o] for o, w in over.items())
            for name, w in weights.items():
                i = self.index[name]
                value = value + w * ohm[i] * own.get(name, self.carry[k, i] @ loads)
            linear.append(value)
        return thermal, linear, rises

    def log_likelihood(self, ohm, loads, offsets, knobs):
        nu = PRIORS["instrument"]["degrees_of_freedom"]
        wrong = PRIORS["instrument"]["wrong_chance"]

        def student(value, predicted, sigma, width):
            right = (1 - wrong) / sigma * jnp.exp(student_t.logpdf((value - predicted) / sigma, nu))
            return jnp.log(wrong / width + right)

        # A temperature that is wrong is mostly near that of the room.
        scale = PRIORS["instrument"]["wrong_temperature_k"]

        def around(reading, room):
            return np.pi * scale * (1 + ((reading - room) / scale) ** 2)

        # A drop that is wrong is of any order: even on the logarithm above the usual one.
        usual, most = (1e-3 * PRIORS["instrument"][key] for key in ("wrong_drop_mv", "most_drop_mv"))

        def of_any_order(reading):
            return (usual + reading) * np.log(1 + most / usual)

        thermal, linear, _ = self.predict(ohm, loads, offsets, knobs)
        total = 0.0
        for value, (k, *_, reading, sigma, inside) in zip(thermal, self.thermal):
            if inside is None:
                total += student(reading, value, sigma, around(reading, self.offsets[k][1]))
            else:
                share = norm.cdf((inside[1] - value) / sigma) - norm.cdf((inside[0] - value) / sigma)
                total += jnp.log(0.03 + 0.97 * share)
        for value, (*_, reading, sigma) in zip(linear, self.linear):
            # Drops are read in millivolts, leg voltages in volts.
            total += student(reading, value, sigma, of_any_order(reading) if reading < 1.5 else 240.0)
        for weights, reading, sigma in self.sums:
            total += student(reading, weights @ loads, sigma, 150.0)
        # A joint of metal cannot hold a large voltage.
        bound = PRIORS["bound"]
        largest = jnp.max(jnp.abs(self.carry[:, : self.n_own] @ loads), axis=0)
        over = jnp.maximum(largest * ohm[: self.n_own] - bound["free_v"], 0.0) / bound["width_v"]
        return total + jnp.sum(jnp.log(bound["beyond"] + (1 - bound["beyond"]) / (1 + over**4)))

    def log_density_of(self, x):
        """Of each class; a share of the worst is held by a film."""
        share, mean, sd = self.film
        of = norm.logpdf(x[:, None], self.mean, self.sd)
        metal = np.log1p(-share) + of[:, 3]
        film = np.log(np.maximum(share, 1e-300)) + norm.logpdf(x, mean, sd)
        worst = metal + jax.nn.softplus(film - metal)
        return jnp.concatenate([of[:, :3], worst[:, None]], axis=1)

    def log_own(self, own, spread):
        """Of what a pole has beside its factors: usual, or its own contacts are bad."""
        bad = PRIORS["pole"]["own_contacts"]
        usual = np.log1p(-bad["share"]) + norm.logpdf(own, 0.0, spread)
        return jnp.logaddexp(usual, np.log(bad["share"]) + norm.logpdf(own, bad["shift"], bad["spread"]))

    def potential(self, z):
        """Minus the logarithm of the density of the scores, up to a constant.

        A score z of a resistance x stands for dx/dz = normal(z)/marginal(x); written so, and not by the slopes of the
        table, the density is as smooth as its gradient takes it to be.
        """
        x, *rest = self.unpack(z)
        log_density = self.log_density_of(x)
        alone = logsumexp(jnp.log(self.marginal) + log_density, axis=1)
        n_c, n_p = self.n_c, self.n_p
        own = -0.5 * jnp.concatenate([self.free_joint, self.free_pole, jnp.ones(len(z) - n_c - n_p)]) * z**2
        first = n_c + n_p + self.n_f + len(self.loads)
        tailed = np.array([first + o for o in self.tailed.values()])
        tail = PRIORS["discrepancy"]["pole_tail"]
        usual = jnp.log(1 - tail["share"]) - 0.5 * z[tailed] ** 2
        wide = jnp.log(tail["share"] / tail["times"]) - 0.5 * (z[tailed] / tail["times"]) ** 2
        own = own.at[tailed].set(jnp.logaddexp(usual, wide))
        poles = self.log_own(np.array(self.own_spread) * z[n_c : n_c + n_p], np.array(self.own_spread))
        own = own.at[n_c : n_c + n_p].set(self.free_pole * poles)
        prior = self.log_mixture(log_density) - jnp.sum(alone * self.free_joint) + jnp.sum(own)
        prior += self.log_houses(rest[1])
        for _, p, _ in self.tied:
            centre = self.pole_mean[p] + z[n_c + n_p : n_c + n_p + self.n_f] @ self.membership[:, p]
            prior += self.log_own(jnp.log(rest[0][n_c + p]) - centre, self.own_spread[p])
        return -(prior + self.log_likelihood(*rest))

    def conditions(self, z):
        """Probability of each condition of each joint given all resistances: the mixture is linear in each density."""
        classes = jax.grad(self.log_mixture)(self.log_density_of(self.unpack(z)[0]))
        return jnp.concatenate([classes[:, :2], classes[:, 2:].sum(axis=1, keepdims=True)], axis=1)


def set_start(model):
    """First guess of the rises: resistances as usual, one burnt stab would be far from none of it."""
    typical = np.exp(np.concatenate([model.mean[:, 0] + 0.7, model.pole_mean]))
    loads = np.array([law[1] * (0.15 if law[0] == "unknown" else 1) if len(law) > 1 else 0.0 for law in model.loads])
    offsets = np.array([o[1] for o in model.offsets])
    ones = tuple(jnp.ones(()) for _ in range(4))
    model.start = {k: np.maximum(np.asarray(r), 0.3) for k, r in model.rises(typical, loads, offsets, ones, 40).items()}
    return loads, offsets, ones
