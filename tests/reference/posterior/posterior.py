"""Posterior of a small panel by an independent sampler: NumPyro's NUTS with all conditions summed out.

    python posterior.py panel-a.toml            # samples, prints, writes panel-a.csv and panel-a.json
    python posterior.py panel-a.toml --predict main:stab:4=12   # readings of the network with 12 mOhm in the stab of space 4

Written from the formulas of the model, not from the Rust: conditions, shared fingers and the panel's prevalence are
summed exactly, the thermal network is solved nonlinearly at every step, errors are Student-t, touches are censored.
Handles what the three panels need: one panel, two legs, whole spaces, one section.
"""

import argparse
import json
import resource
import sys
import time
from pathlib import Path

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
from numpyro.diagnostics import effective_sample_size, split_gelman_rubin
from numpyro.infer import MCMC, NUTS

from model import COMPLAINTS, HERE, PRIORS, SIGNS, Model, read, set_start


def main():
    args = argparse.ArgumentParser()
    args.add_argument("panel")
    args.add_argument("--chains", type=int, default=4)
    args.add_argument("--draws", type=int, default=4000)
    args.add_argument("--warmup", type=int, default=1500)
    args.add_argument("--seed", type=int, default=11)
    args.add_argument("--predict")
    args = args.parse_args()
    model = Model(read(HERE / args.panel))
    n = model.sizes()
    loads, offsets, ones = set_start(model)
    if args.predict:
        ohm = np.exp(np.concatenate([model.mean[:, 0], model.pole_mean]))
        for text in args.predict.split(","):
            name, mohm = text.split("=")
            ohm[model.index[name]] = float(mohm) * 1e-3
        thermal, linear, rises = model.predict(ohm, loads, offsets, ones, 40)
        for value, t in zip(thermal, model.thermal):
            print("thermal", t[0], model.net.nodes[t[1]], f"{float(value):.2f}", "read", t[4], "sigma", round(t[5], 2))
        for value, t in zip(linear, model.linear):
            print("linear", t[1], f"{float(value):.4f}", "read", t[4], "sigma", round(t[5], 4))
        return


    rng = np.random.default_rng(args.seed)
    mean_rise = jax.jit(lambda z: {k: r[0] for k, r in model.rises(*model.unpack(z)[1:]).items()})

    def sample(chains, warmup, draws, seed):
        start = 0.7 * rng.standard_normal((chains, n)) + 0.0
        kernel = NUTS(potential_fn=model.potential, dense_mass=True, target_accept_prob=0.9, max_tree_depth=8)
        mcmc = MCMC(kernel, num_warmup=warmup, num_samples=draws, num_chains=chains, progress_bar=False,
                    chain_method="sequential")
        mcmc.run(jax.random.PRNGKey(seed), init_params=jnp.asarray(start if chains > 1 else start[0]),
                 extra_fields=("num_steps", "diverging"))
        return mcmc

    t0 = time.time()
    pilot = sample(1, 300, 300, args.seed).get_samples()
    model.air_rise = {k: float(np.mean([float(mean_rise(z)[k]) for z in pilot])) for k in model.start}
    model.shows_air = {k: model.air_shown(k, pilot) for k in model.start}
    print("air rise", model.air_rise, "pilot s", round(time.time() - t0), flush=True)
    cpu0 = resource.getrusage(resource.RUSAGE_SELF).ru_utime
    mcmc = sample(args.chains, args.warmup, args.draws, args.seed + 1)
    cpu = resource.getrusage(resource.RUSAGE_SELF).ru_utime - cpu0
    z = mcmc.get_samples(group_by_chain=True)
    chances = np.asarray(jax.lax.map(jax.jit(model.conditions), z.reshape(-1, n))).reshape(z.shape[0], z.shape[1], -1, 3)
    extra = mcmc.get_extra_fields(group_by_chain=True)
    # How far the network was from balance at the draws.
    worst = 0.0
    for zz in np.asarray(z).reshape(-1, n)[:: max(1, z.shape[0] * z.shape[1] // 200)]:
        ohm, ld, off, kn = model.unpack(zz)[1:]
        near, far = model.rises(ohm, ld, off, kn), model.rises(ohm, ld, off, kn, 30)
        worst = max(worst, max(float(jnp.abs(near[k] - far[k]).max()) for k in near))
    log_x = np.asarray(jax.vmap(jax.vmap(lambda q: model.unpack(q)[0]))(z))
    lines = ["joint,prior_burnt,sound,worn,burnt,mc_error,r_hat,r_hat_ln_ohm,effective"]
    report = []
    for i, j in enumerate(model.joints):
        s = chances[:, :, i, 2]
        ess = min(float(effective_sample_size(s)), s.size)
        error = float(s.std() / np.sqrt(ess))
        r_hat, r_x = float(split_gelman_rubin(s)), float(split_gelman_rubin(log_x[:, :, i]))
        report.append((error, ess, max(r_hat, r_x)))
        m = chances[:, :, i].mean(axis=(0, 1))
        lines.append(f"{j.name},{model.marginal[i, 2:].sum():.9f},{m[0]:.5f},{m[1]:.5f},{m[2]:.5f},{error:.5f},"
                     f"{r_hat:.4f},{r_x:.4f},{ess:.0f}")
    text = "\n".join(lines) + "\n"
    print(text)
    Path(HERE / args.panel).with_suffix(".csv").write_text(text)
    errors = np.array(report)
    told = errors[errors[:, 0] > 1e-3] if (errors[:, 0] > 1e-3).any() else errors
    summary = {
        "panel": args.panel, "priors": [d["version"] for d in (PRIORS, SIGNS, COMPLAINTS)],
        "chains": args.chains, "warmup": args.warmup, "draws": args.draws, "seed": args.seed,
        "cpu_s": round(cpu, 1), "worst_error": round(float(errors[:, 0].max()), 5),
        "worst_r_hat": round(float(errors[:, 2].max()), 4), "least_effective": round(float(told[:, 1].min())),
        "divergent": int(extra["diverging"].sum()), "mean_steps": round(float(extra["num_steps"].mean()), 1),
        "worst_unbalanced_k": worst, "air_rise_k": model.air_rise,
        "versions": {"python": sys.version.split()[0], "jax": jax.__version__, "numpyro": numpyro.__version__,
                     "numpy": np.__version__},
    }
    print(json.dumps(summary, indent=1))
    Path(HERE / args.panel).with_suffix(".json").write_text(json.dumps(summary, indent=1) + "\n")


if __name__ == "__main__":
    main()
