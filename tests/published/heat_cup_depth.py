"""Reference values of heat_cup_depth.rs: cups as cylinders in two dimensions, radius and height, by finite volumes.

    rho c dT/dt = k (1/r d/dr (r dT/dr) + d2T/dz2) + rho H da/dt

Cells are even in r and z; SciPy's BDF with a sparse Jacobian steps them (rtol 1e-7); two grids, one twice as fine, give values
extrapolated for cells of second order. Nothing is taken from the library: a cup in one dimension is what is checked.
The axis is r = 0; top z = depth; a face either cools with a constant coefficient or is insulated. Run with NumPy and SciPy:

    target/venv/bin/python tests/published/heat_cup_depth.py
"""

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline
from scipy.sparse import coo_matrix

R = 8.31446261815324
RHO, C, K, ROOM = 1100.0, 1900.0, 0.17, 293.15
# Constants at 20 degC in 1/s, energies in J/mol, orders in what has reacted; heat in J/kg; order in what is left is 1.5.
QUICK = ([(4e-6, 70e3, 0.0), (1.22e-3, 55e3, 0.85)], 350e3)
SLOW = ([(4e-6, 70e3, 0.0), (4e-4, 55e3, 0.85)], 280e3)
NTH = ([(1.5e-4, 60e3, 0.0)], 300e3)
NONE = ([], 0.0)
# Free radicals, trapped: di/dt = kd (1 - i), x = d i - z, da/dt = kp max(0, x) (1 - a), the corner of max(0, x) rounded over
# 0.02 z as the library says; constants at 25 degC.
D, Z, KD, KP = 2.0, 0.6, (3e-4, 55e3), (6e-4, 23.59e3)
RADICAL = ("radical", 280e3)
GEL = 0.05
# Name, reaction, mass kg, diameter m (None: as deep as wide), film W/(m2 K), whether top and bottom cool, start degC, duration s.
CASES = [
    ("cooling, all faces", NONE, 0.1, None, 10.0, (True, True), 60.0, 7200.0),
    ("cooling, one end insulated", NONE, 0.1, None, 10.0, (False, True), 60.0, 7200.0),
    ("cooling in a bath", NONE, 0.1, None, 500.0, (False, True), 60.0, 3600.0),
    ("quick, all faces", QUICK, 0.1, None, 10.0, (True, True), 20.0, 7200.0),
    ("quick, one end insulated", QUICK, 0.1, None, 10.0, (False, True), 20.0, 7200.0),
    ("n-th order, one end insulated", NTH, 0.1, None, 10.0, (False, True), 20.0, 7200.0),
    ("slow, one end insulated", SLOW, 0.1, None, 12.0, (False, True), 20.0, 14400.0),
    ("slow, 30 g", SLOW, 0.03, None, 12.0, (False, True), 20.0, 14400.0),
    ("slow, in a bath", SLOW, 0.1, None, 500.0, (False, True), 20.0, 14400.0),
    ("slow, 250 g", SLOW, 0.25, None, 12.0, (False, True), 20.0, 14400.0),
    ("slow, a beaker half full", SLOW, 0.1, 0.07, 12.0, (False, True), 20.0, 14400.0),
    ("slow, a pan", SLOW, 0.2, 0.12, 12.0, (False, True), 20.0, 14400.0),
    ("slow, a tube", SLOW, 0.1, 0.03, 12.0, (False, True), 20.0, 14400.0),
    ("radicals", RADICAL, 0.1, None, 12.0, (False, True), 20.0, 14400.0),
    ("radicals, 30 g", RADICAL, 0.03, None, 12.0, (False, True), 20.0, 14400.0),
    ("radicals, all faces", RADICAL, 0.1, None, 8.0, (True, True), 20.0, 14400.0),
    ("radicals, a pan", RADICAL, 0.2, 0.12, 12.0, (False, True), 20.0, 14400.0),
    ("radicals, in a bath", RADICAL, 0.1, None, 500.0, (False, True), 20.0, 14400.0),
]


def sizes(mass, diameter):
    """Radius and depth, m."""
    volume = mass / RHO
    if diameter is None:
        diameter = (4 * volume / np.pi) ** (1 / 3)
    return diameter / 2, volume / (np.pi / 4 * diameter**2)


def solve(reaction, mass, diameter, film, ends, start, end, across):
    terms, heat = reaction
    radius, depth = sizes(mass, diameter)
    nr = across
    nz = 2 * max(4, round(across * depth / radius / 2))
    dr, dz = radius / nr, depth / nz
    n = nr * nz
    edge = np.arange(nr + 1) * dr
    ring = np.pi * (edge[1:] ** 2 - edge[:-1] ** 2)
    at = np.arange(n).reshape(nr, nz)
    volume = np.repeat(ring * dz, nz)
    rows, cols, values = [], [], []
    lost = np.zeros(n)

    def link(a, b, g):
        a, b, g = a.ravel(), b.ravel(), np.broadcast_to(g, a.shape).ravel()
        rows.extend([a, a, b, b])
        cols.extend([a, b, b, a])
        values.extend([-g, g, -g, g])

    link(at[:-1], at[1:], np.repeat((K * 2 * np.pi * edge[1:-1] * dz / dr)[:, None], nz, 1))
    link(at[:, :-1], at[:, 1:], np.repeat((K * ring / dz)[:, None], nz - 1, 1))
    series = lambda d: 1 / (1 / film + d / 2 / K)
    lost[at[-1]] += series(dr) * 2 * np.pi * radius * dz
    for cools, line in zip(ends, (-1, 0)):
        if cools:
            lost[at[:, line]] += series(dz) * ring
    flow = coo_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(cols))), shape=(n, n)).tocsr()
    per = 1 / (RHO * C * volume)

    radical = terms == "radical"

    def arrhenius(t, k, at):
        return k[0] * np.exp(-k[1] / R * (1 / t - 1 / (at + 273.15)))

    def rate(t, a, i):
        """da/dt, di/dt."""
        a = np.clip(a, 0.0, 1.0)
        if radical:
            x, e = D * i - Z, 0.02 * Z
            free = np.where(x > e, x, np.where(x < -e, 0.0, (x + e) ** 2 / (4 * e)))
            return arrhenius(t, KP, 25.0) * free * (1 - a), arrhenius(t, KD, 25.0) * (1 - i)
        k = sum((arrhenius(t, (k, e), 20.0) * a**m for k, e, m in terms), np.zeros_like(t))
        return k * (1 - a) ** 1.5, np.zeros_like(t)

    def rhs(_, y):
        t = y[:n]
        r, di = rate(t, y[n : 2 * n], y[2 * n :])
        return np.concatenate([(flow @ t - lost * (t - ROOM)) * per + heat / C * r, r, di])

    def jac(_, y):
        t, a, i = y[:n], y[n : 2 * n], y[2 * n :]
        r, di = rate(t, a, i)
        by_t, i_by_t = ((x - x0) / 1e-3 for x, x0 in zip(rate(t + 1e-3, a, i), (r, di)))
        low, high = np.maximum(a - 1e-7, 0), a + 1e-7
        by_a = (rate(t, high, i)[0] - rate(t, low, i)[0]) / (high - low)
        by_i, i_by_i = ((x - x0) / 1e-6 for x, x0 in zip(rate(t, a, i + 1e-6), (r, di)))
        d = np.arange(n)
        f = flow.tocoo()
        w = heat / C
        data = [f.data * per[f.row], w * by_t - lost * per, w * by_a, w * by_i, by_t, by_a, by_i, i_by_t, i_by_i]
        row = [f.row, d, d, d, d + n, d + n, d + n, d + 2 * n, d + 2 * n]
        col = [f.col, d, d + n, d + 2 * n, d, d + n, d + 2 * n, d, d + 2 * n]
        parts = (np.concatenate(data), (np.concatenate(row), np.concatenate(col)))
        return coo_matrix(parts, shape=(3 * n, 3 * n)).tocsc()

    y0 = np.concatenate([np.full(n, start + 273.15), np.zeros(2 * n)])
    s = solve_ivp(rhs, (0, end), y0, "BDF", rtol=1e-7, atol=1e-7, jac=jac, max_step=60.0)
    if not s.success:
        raise RuntimeError(s.message)
    t, a = s.y[:n].reshape(nr, nz, -1), s.y[n : 2 * n].reshape(nr, nz, -1)
    # On the axis, by a parabola even in r; at half the depth between two cells.
    axis = (9 * t[0] - t[1]) / 8
    middle = (axis[nz // 2 - 1] + axis[nz // 2]) / 2
    cure = ((9 * a[0] - a[1]) / 8)[nz // 2 - 1 : nz // 2 + 1].mean(axis=0)
    mean = (t * ring[:, None, None]).sum(axis=(0, 1)) / (ring.sum() * nz)
    return s.t, middle, mean, cure


def top(t, y):
    j = int(y.argmax())
    fine = np.linspace(t[max(j - 2, 0)], t[min(j + 2, len(t) - 1)], 4001)
    v = CubicSpline(t, y)(fine)
    return float(v.max()) - 273.15, float(fine[v.argmax()])


def read(reaction, t, middle, mean, cure):
    if not reaction[0]:
        times = np.array([600.0, 1200.0, 2400.0])
        return [float(CubicSpline(t, y)(x)) - 273.15 for x in times for y in (middle, mean)]
    k = int((cure >= GEL).argmax())
    gel = float(np.interp(GEL, cure[k - 1 : k + 1], t[k - 1 : k + 1]))
    return [*top(t, middle), top(t, mean)[0], gel]


if __name__ == "__main__":
    print(f"SciPy {scipy.__version__}")
    print("with reaction: middle degC, s; mean degC; gel in the middle s")
    print("without: middle and mean degC after 600, 1200, 2400 s")
    for name, reaction, mass, diameter, film, ends, start, end in CASES:
        a, b = (
            np.array(read(reaction, *solve(reaction, mass, diameter, film, ends, start, end, n))) for n in (12, 24)
        )
        print(f"{name}\n  {[round(float(x), 2) for x in b + (b - a) / 3]}")
        print(f"  finer less coarser {[round(float(x), 2) for x in b - a]}", flush=True)
