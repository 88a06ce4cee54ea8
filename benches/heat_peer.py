"""Side by side: walls of this library against a SciPy method-of-lines script of the same problem.

    python -m venv target/peer && target/peer/bin/pip install numpy scipy numba
    cargo build --release --benches
    target/peer/bin/python benches/heat_peer.py [ROUNDS]

Peer: finite volumes, LSODA with a banded Jacobian, rtol = atol = 1e-6, right-hand side once in NumPy and once in numba.
It is timed on three grids: `full`: the whole slab on the fewest even cells whose peak is as near to the grid-converged
one as this library's; `half`: half the slab (symmetry) on even cells, likewise; `graded`: half the slab on cells graded
as this library grades them (the best such script there is). Rounds of both are interleaved; medians and ratios are
printed, with the errors of peak and peak time of each against the reference.
"""

import glob
import json
import os
import statistics
import subprocess
import sys
import time

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

R = 8.314462618
SLABS = {
    "harsh": dict(rho=1100.0, cp=1900.0, k=0.17, heat=350e3, k2=1.22e-3, reference=(269.351, 1523.93), even=210, half=105, graded=48),
    "mild": dict(rho=1700.0, cp=1300.0, k=0.6, heat=120e3, k2=1.22e-3, reference=(105.9902, 2132.7), even=22, half=11, graded=13),
}


def sizes(n, ratio):
    d = ratio ** (np.arange(n) / (n - 1.0))
    return d * 0.0125 / d.sum()


def problem(p, d, both):
    n = len(d)
    g = np.zeros(n + 1)
    g[1:-1] = p["k"] / (0.5 * (d[:-1] + d[1:]))
    edge = 1 / (1 / 10.0 + d[-1] / (2 * p["k"]))
    first = 1 / (1 / 10.0 + d[0] / (2 * p["k"])) if both else 0.0
    return g, first, edge, 1 / (d * p["rho"] * p["cp"]), p["heat"] / p["cp"]


def numpy_rhs(p, d, both):
    g, first, edge, per, rise = problem(p, d, both)
    flow = np.zeros(len(d) + 1)

    def rhs(t, y):
        T, a = y[0::2], np.clip(y[1::2], 0.0, 1.0)
        x = 1 / T - 1 / 293.15
        r = (4e-6 * np.exp(-70e3 / R * x) + p["k2"] * np.exp(-55e3 / R * x) * a**0.85) * (1 - a) ** 1.5
        flow[1:-1] = g[1:-1] * (T[:-1] - T[1:])
        flow[0] = first * (293.15 - T[0])
        flow[-1] = edge * (T[-1] - 293.15)
        out = np.empty_like(y)
        out[0::2] = (flow[:-1] - flow[1:]) * per + rise * r
        out[1::2] = r
        return out

    return rhs


@njit(cache=False)
def _rhs(t, y, g, first, edge, per, rise):
    n = len(per)
    out = np.empty_like(y)
    before = first * (293.15 - y[0])
    for i in range(n):
        T = y[2 * i]
        a = min(max(y[2 * i + 1], 0.0), 1.0)
        x = 1 / T - 1 / 293.15
        r = (4e-6 * np.exp(-70e3 / 8.314462618 * x) + 1.22e-3 * np.exp(-55e3 / 8.314462618 * x) * a**0.85) * (1 - a) ** 1.5
        after = g[i + 1] * (T - y[2 * i + 2]) if i + 1 < n else edge * (T - 293.15)
        out[2 * i] = (before - after) * per[i] + rise * r
        out[2 * i + 1] = r
        before = after
    return out


def numba_rhs(p, d, both):
    args = problem(p, d, both)
    return lambda t, y: _rhs(t, y, *args)


def peer(rhs, n):
    y0 = np.empty(2 * n)
    y0[0::2], y0[1::2] = 293.15, 0.0
    start = time.perf_counter()
    s = solve_ivp(rhs, (0, 10800.0), y0, method="LSODA", rtol=1e-6, atol=1e-6, lband=2, uband=2)
    T = s.y[0::2]
    j = int(T.max(axis=0).argmax())
    ms = (time.perf_counter() - start) * 1e3
    return ms, T[:, j].max() - 273.15, s.t[j]


def bench():
    """The benchmark that was built last."""
    here = os.path.dirname(os.path.abspath(__file__))
    built = [f for f in glob.glob(os.path.join(here, "../target/release/deps/heat-*")) if os.access(f, os.X_OK) and not f.endswith(".d")]
    if not built:
        sys.exit("build the benchmark first: cargo build --release --benches")
    return max(built, key=os.path.getmtime)


def ours(case, repeat, threads=None):
    """A JSON line of heat.rs."""
    env = dict(os.environ, **({"RAYON_NUM_THREADS": str(threads)} if threads else {}))
    out = subprocess.run([bench(), case, str(repeat)], capture_output=True, text=True, check=True, env=env).stdout
    return json.loads(out)


def main():
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    print(f"load at start: {os.getloadavg()}, {os.cpu_count()} cores")
    for name, p in SLABS.items():
        grids = {
            "full": (np.full(p["even"], 0.025 / p["even"]), True),
            "half": (np.full(p["half"], 0.0125 / p["half"]), False),
            "graded": (sizes(p["graded"], 0.1 if name == "harsh" else 0.36), False),
        }
        runs = {(g, kind): make(p, d, both) for g, (d, both) in grids.items() for kind, make in (("numpy", numpy_rhs), ("numba", numba_rhs))}
        for (g, _), f in runs.items():
            peer(f, len(grids[g][0]))  # compiles
        times = {key: [] for key in runs}
        own, last = [], None
        found = {}
        for _ in range(rounds):
            last = ours(f"wall:{name}", 15)
            own += last["ms"]
            for key, f in runs.items():
                ms, peak, when = peer(f, len(grids[key[0]][0]))
                times[key].append(ms)
                found[key] = (peak, when)
        ref = p["reference"]
        mine = statistics.median(own)
        print(f"\n{name}: reference {ref[0]} degC at {ref[1]} s")
        print(f"  this library, error control included: {mine:.3f} ms, {last['cells']} cells, peak {last['peak_c'] - ref[0]:+.3f} K, time {last['time_s'] - ref[1]:+.2f} s")
        for (g, kind), ms in times.items():
            m = statistics.median(ms)
            peak, when = found[(g, kind)]
            print(f"  SciPy {kind:5} {g:6} {len(grids[g][0]):3} cells: {m:8.2f} ms = {m / mine:6.1f} x, peak {peak - ref[0]:+.3f} K, time {when - ref[1]:+.2f} s")
    # The same walls as heat.rs varies; the script loops over every so many of them.
    count, looped = 10_000, 20
    print("\nsweep of harsh walls (heat and rate varied), per wall:")
    times = {"full": [], "graded": []}
    for i in range(0, count, count // looped):
        x, y = i / count, i * 7919 % count / count
        p = dict(SLABS["harsh"], heat=350e3 * (0.8 + 0.2 * y), k2=1.22e-3 * (0.9 + 0.2 * x))
        for grid, d, both in (("full", np.full(p["even"], 0.025 / p["even"]), True), ("graded", sizes(p["graded"], 0.1), False)):
            times[grid].append(peer(numpy_rhs(p, d, both), len(d))[0])
    per = statistics.median(ours(f"sweep:{count}", 3)["ms"])
    full, graded = (statistics.mean(times[g]) for g in ("full", "graded"))
    print(f"  {per:.4f} ms on all cores; the NumPy script looping: {full:.1f} ms = {full / per:.0f} x (full), {graded:.1f} ms = {graded / per:.0f} x (graded)")
    cups = statistics.median(ours("cups", 7, threads=1)["ms"])
    print(f"cups on one core: {1e3 / cups:.0f} a second")
    print(f"load at end: {os.getloadavg()}")


if __name__ == "__main__":
    main()
