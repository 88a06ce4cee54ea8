"""Error against time of one answer: ours, SciPy and, in zero dimensions, Cantera (SUNDIALS' CVODES). Makes a figure.

    cargo build --release --benches
    target/venv/bin/python benches/work_precision.py [REPEAT]     -> target/work_precision.png, and the numbers as text

Walls (the harsh and the mild one of `heat_peer.py`): ours asked for peaks within 2 K to 1 mK, its own error control
of cells and steps included; SciPy's LSODA with a banded Jacobian and a NumPy or a numba right-hand side, rtol = atol =
1e-3 to 1e-8, half the slab on cells graded and fine enough that their own error is below 0.01 K, so that what is left
is the error of its steps. Cup (`tests/published/heat_cup.py`, Kamal-Sourour, loss): ours, whose tolerance is fixed,
alone and in the lanes of a sweep; SciPy's LSODA; Cantera, its steps alone being timed and not the making of the vessel.

Of the peers the peak is taken by a parabola through the three steps around it, outside the time.
References: SciPy's LSODA at 1e-10 on 400 and 800 graded cells (walls), Cantera and SciPy's Radau at 1e-10 (cup).
"""

import math
import os
import statistics
import sys
import time

import heat_peer as peer
import matplotlib as mpl
import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.join(HERE, "../tests/published"))
import heat_cup  # noqa: E402

mpl.use("Agg")
import matplotlib.pyplot as plt  # noqa: E402
from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter  # noqa: E402

# Peak in degC and its time in s; cells of the peer and the ratio of the smallest to the largest.
REFERENCE = {"harsh": (269.352, 1523.920), "mild": (105.9901, 2132.681), "cup": (197.58852, 1562.2611)}
GRIDS = {"harsh": (100, 0.1), "mild": (100, 0.36)}
TOLERANCES = [1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8]
WITHIN = [2.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001]


def summit(t, y):
    """Peak and its time from values at steps."""
    j = int(np.clip(np.argmax(y), 1, len(t) - 2))
    c = np.polyfit(t[j - 1 : j + 2] - t[j], y[j - 1 : j + 2], 2)
    x = np.clip(-c[1] / (2 * c[0]), t[j - 1] - t[j], t[j + 1] - t[j]) if c[0] < 0 else 0.0
    return float(np.polyval(c, x)), float(t[j] + x)


def best_of(repeat, run):
    """Median time in ms, and what the last run gave."""
    out = run()  # compiles, warms up
    ms = []
    for _ in range(repeat):
        start = time.perf_counter()
        out = run()
        ms.append((time.perf_counter() - start) * 1e3)
    return statistics.median(ms), out


def wall_by_scipy(name, make, rtol, repeat):
    """One point of a curve: ms, peak in degC, s."""
    p = peer.SLABS[name]
    n, ratio = GRIDS[name]
    rhs = make(p, peer.sizes(n, ratio), False)
    y0 = np.empty(2 * n)
    y0[0::2], y0[1::2] = 293.15, 0.0
    ms, s = best_of(
        repeat, lambda: solve_ivp(rhs, (0, 10800.0), y0, method="LSODA", rtol=rtol, atol=rtol, lband=2, uband=2)
    )
    kelvin = s.y[0::2]
    hottest = int(kelvin.max(axis=1).argmax())
    peak, when = summit(s.t, kelvin[hottest])
    return ms, peak - 273.15, when


def wall_by_ours(name, within, repeat):
    """One point of a curve: ms, peak in degC, s."""
    o = peer.ours(f"wall:{name}:{within}", 3 * repeat)
    return statistics.median(o["ms"]), o["peak_c"], o["time_s"]


NAME, TERMS, ORDER, HEAT, FILM, END = heat_cup.CASES[3]
LOSS = FILM * heat_cup.AREA / (heat_cup.MASS * heat_cup.C)


def cup_rhs(_, y):
    """The cup's equations on plain floats: faster in an interpreter than arrays are."""
    a, t = float(y[0]), float(y[1])
    a = min(max(a, 0.0), 1.0)
    x = (1 / t - 1 / 293.15) / 8.31446261815324
    r = (4e-6 * math.exp(-70e3 * x) + 1.22e-3 * math.exp(-55e3 * x) * a**0.85) * (1 - a) ** 1.5
    return r, HEAT / 1900.0 * r - LOSS * (t - 293.15)


def cup_by_scipy(rhs, rtol, repeat):
    """One point of a curve: ms, peak in degC, s."""
    ms, s = best_of(
        repeat, lambda: solve_ivp(rhs, (0, END), [0.0, 293.15], "LSODA", rtol=rtol, atol=[rtol, 100 * rtol])
    )
    peak, when = summit(s.t, s.y[1])
    return ms, peak - 273.15, when


def cup_by_cantera(rtol, repeat):
    """One point of a curve: ms of the steps alone, peak in degC, s."""
    ms, t, kelvin = [], [], []
    for _ in range(repeat):
        net, cup = heat_cup.vessel(TERMS, ORDER, HEAT, FILM, rtol)
        t, kelvin = [0.0], [cup.T]
        net.initialize()
        start = time.perf_counter()
        while t[-1] < END:
            t.append(net.step())
            kelvin.append(cup.T)
        ms.append((time.perf_counter() - start) * 1e3)
    peak, when = summit(np.array(t), np.array(kelvin))
    return statistics.median(ms), peak - 273.15, when


def measure(repeat):
    """All curves: {panel: {label: [(ms, peak, time)]}}."""
    found = {}
    for name in ("harsh", "mild"):
        found[name] = {
            "this library": [wall_by_ours(name, w, repeat) for w in WITHIN],
            "SciPy LSODA, numba": [wall_by_scipy(name, peer.numba_rhs, r, repeat) for r in TOLERANCES],
            "SciPy LSODA, NumPy": [wall_by_scipy(name, peer.numpy_rhs, r, repeat) for r in TOLERANCES],
        }
    cup = peer.ours("cup", repeat)
    compiled = njit(cup_rhs)
    found["cup"] = {
        "this library": [(statistics.median(cup["ms"]), cup["peak_c"], cup["time_s"])],
        "this library, in a sweep": [(statistics.median(cup["lane_ms"]), cup["lane_peak_c"], cup["lane_time_s"])],
        "Cantera, CVODES": [cup_by_cantera(r, repeat) for r in [*TOLERANCES, 1e-9]],
        "SciPy LSODA, numba": [cup_by_scipy(compiled, r, repeat) for r in TOLERANCES],
        "SciPy LSODA, NumPy": [cup_by_scipy(cup_rhs, r, repeat) for r in TOLERANCES],
    }
    return found


LOOK = {
    "this library": ("C3", "o"),
    "this library, in a sweep": ("C3", "D"),
    "SciPy LSODA, numba": ("C0", "s"),
    "SciPy LSODA, NumPy": ("C2", "^"),
    "Cantera, CVODES": ("C1", "v"),
}
TITLE = {"harsh": "harsh wall, 25 mm", "mild": "mild wall, 25 mm", "cup": "cup, 100 g"}


def draw(found, path):
    """Error of the peak above, of its time below; a column a problem."""
    figure, axes = plt.subplots(2, 3, figsize=(13, 8.5), sharex="col", constrained_layout=True)
    for column, (name, curves) in enumerate(found.items()):
        for row, (what, unit, floor) in enumerate((("peak temperature", "K", 1e-4), ("time of the peak", "s", 1e-3))):
            ax = axes[row, column]
            for label, points in curves.items():
                color, marker = LOOK[label]
                error = [max(abs(p[1 + row] - REFERENCE[name][row]), floor) for p in points]
                ax.loglog([p[0] for p in points], error, marker=marker, color=color, label=label, markersize=6)
            ax.grid(True, which="major", alpha=0.4)
            for axis in (ax.xaxis, ax.yaxis):
                axis.set_major_locator(LogLocator(base=10))
                axis.set_major_formatter(FuncFormatter(lambda x, _: f"{x:g}"))
                axis.set_minor_formatter(NullFormatter())
            low, high = ax.get_xlim()
            ax.set_xlim(10 ** np.floor(np.log10(low)), 10 ** np.ceil(np.log10(high)))
            if column == 0:
                ax.set_ylabel(f"error of the {what} ({unit})")
            if row == 0:
                ax.set_title(TITLE[name])
            else:
                ax.set_xlabel("time of one answer (ms)")
    shown = {}
    for ax in axes[0]:
        for handle, label in zip(*ax.get_legend_handles_labels(), strict=True):
            shown.setdefault(label, handle)
    figure.legend(shown.values(), shown.keys(), loc="outside lower center", ncols=len(shown))
    figure.suptitle("Error against time of one answer: lower and further left is better")
    figure.savefig(path, dpi=130)


def main():
    """Measure, print, draw."""
    repeat = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    print(f"load at start: {os.getloadavg()}, {os.cpu_count()} cores")
    found = measure(repeat)
    for name, curves in found.items():
        peak, when = REFERENCE[name]
        print(f"\n{name}: reference {peak} degC at {when} s")
        for label, points in curves.items():
            for ms, p, t in points:
                print(f"  {label:25} {ms:9.4f} ms  peak {p - peak:+9.4f} K  time {t - when:+9.4f} s")
    path = os.path.join(HERE, "../target/work_precision.png")
    draw(found, path)
    print(f"\n{os.path.normpath(path)}; load at end: {os.getloadavg()}")


if __name__ == "__main__":
    main()
