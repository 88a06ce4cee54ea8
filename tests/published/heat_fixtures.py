"""Independent computations behind heat_cure.rs: SciPy, method of lines on even cells, LSODA with a banded Jacobian.

Prints, for each case, the hottest cell and its time on N and 2N cells and the second-order extrapolation.
Run: target/venv/bin/python tests/published/heat_fixtures.py   (NumPy and SciPy)
"""

import numpy as np
from scipy.integrate import solve_ivp

R = 8.314462618


def solve(law, states, n, length, rho, cp, k, heat, t0, a0, first, last, t_end, form=0, grow=1e-8, r0=0.0):
    """first, last: ('held', f) | ('film', h, f) | ('closed',). form 0 plane, 1 cylinder, 2 sphere (solid, x from axis)."""
    dx = length / n
    xf = np.linspace(0, length, n + 1)
    area = xf**form if form else np.ones(n + 1)
    vol = (xf[1:] ** (form + 1) - xf[:-1] ** (form + 1)) / (form + 1)
    rows = 1 + states

    def rhs(t, y):
        y = y.reshape(n, rows)
        T, s = y[:, 0], y[:, 1:]
        ds = law(T, s)
        flow = np.zeros(n + 1)
        flow[1:-1] = area[1:-1] * k * (T[:-1] - T[1:]) / dx
        for side, face in ((0, first), (n, last)):
            cell = 0 if side == 0 else n - 1
            if face[0] == "held":
                q = 2 * k / dx * (face[1](t) - T[cell])
            elif face[0] == "film":
                g = 1 / (1 / face[1] + dx / (2 * k))
                q = g * (face[2](t) - T[cell])
            else:
                q = 0.0
            flow[side] = area[side] * (q if side == 0 else -q)
        dT = (flow[:-1] - flow[1:]) / vol / (rho * cp) + heat / cp * ds[:, 0]
        return np.column_stack([dT, ds]).ravel()

    y0 = np.zeros((n, rows))
    y0[:, 0] = t0
    y0[:, 1] = a0
    corners = sorted({0.0, t_end, *CORNERS.get(id(first), []), *CORNERS.get(id(last), [])})
    best, when, y = -1e9, 0, y0.ravel()
    end = None
    for a, b in zip(corners[:-1], corners[1:]):
        sol = solve_ivp(rhs, (a, b), y, method="LSODA", rtol=grow, atol=grow, lband=rows, uband=rows, dense_output=True)
        if not sol.success:
            raise RuntimeError(sol.message)
        y = sol.y[:, -1]
        T = sol.y[::rows]
        j = int(np.argmax(T.max(axis=0)))
        if T[:, j].max() > best:
            lo, hi = sol.t[max(j - 1, 0)], sol.t[min(j + 1, len(sol.t) - 1)]
            fine = np.linspace(lo, hi, 400)
            Y = sol.sol(fine)[::rows].max(axis=0)
            i = int(np.argmax(Y))
            best, when = max(Y[i], T[:, j].max()), fine[i]
        end = y.reshape(n, rows)
    return best - 273.15, when, end


CORNERS = {}


def ramp(points):
    ts, Ts = zip(*points)
    f = lambda t: np.interp(t, ts, np.array(Ts) + 273.15)
    return f, list(ts)


def power(A, E, m, n):
    def law(T, s):
        a = np.clip(s[:, 0], 0, 1)
        return (A * np.exp(-E / R / T) * a**m * (1 - a) ** n)[:, None]

    return law


def kamal(k1, e1, k2, e2, m, n):
    def law(T, s):
        a = np.clip(s[:, 0], 0, 1)
        x = 1 / T - 1 / 293.15
        return ((k1 * np.exp(-e1 / R * x) + k2 * np.exp(-e2 / R * x) * a**m) * (1 - a) ** n)[:, None]

    return law


def piecewise(T, s):
    a = np.clip(s[:, 0], 0, 1)
    k1 = 2.102e9 / 60 * np.exp(-80.7e3 / R / T)
    k2 = -2.014e9 / 60 * np.exp(-77.8e3 / R / T)
    k3 = 1.960e5 / 60 * np.exp(-56.6e3 / R / T)
    return np.where(a <= 0.3, (k1 + k2 * a) * (1 - a) * (0.47 - a), k3 * (1 - a))[:, None]


def radical(T, s):
    """Trapped radicals, rounded corner as documented in cure/kinetics.rs; dose 1.5, inhibitor 0.3, p = p0."""
    a, i = np.clip(s[:, 0], 0, 1), np.clip(s[:, 1], 0, 1)
    x25 = 1 / T - 1 / 298.15
    kd = 2.5e-4 * np.exp(-60e3 / R * x25)
    kp = 6e-3 * np.exp(-30e3 / R * x25)
    d, z = 1.5, 0.3
    e = 0.02 * z
    x = d * i - z
    r = np.where(x >= e, x, np.where(x > -e, (x + e) ** 2 / (4 * e), 0))
    return np.column_stack([kp * r * (1 - a), kd * (1 - i)])


def case(name, ns, **kw):
    out = []
    for n in ns:
        peak, when, end = solve(n=n, **kw)
        out.append((peak, when))
        print(f"{name}: n={n} peak {peak:.4f} degC at {when:.2f} s; end T first/last {end[0,0]-273.15:.4f} {end[-1,0]-273.15:.4f}"
              f" cure first/last {end[0,1]:.5f} {end[-1,1]:.5f}", flush=True)
    if len(out) > 1:
        (p1, t1), (p2, t2) = out[-2:]
        print(f"{name}: extrapolated {p2 + (p2 - p1) / 3:.3f} degC at {t2 + (t2 - t1) / 3:.1f} s", flush=True)


if __name__ == "__main__":
    closed = ("closed",)
    f, ts = ramp([(0, 20), (1680, 90), (5280, 90), (6240, 130), (9000, 130)])
    held = ("held", f)
    CORNERS[id(held)] = ts
    case("glass/polyester 25.4 mm", (60, 120), law=power(6.167e20, 1.674e5, 0.524, 1.476), states=1, length=0.0127, rho=1890, cp=1260,
         k=0.2163, heat=77.5e3, t0=293.15, a0=1e-4, first=held, last=closed, t_end=9000)
    f2, ts2 = ramp([(0, 25), (2280, 116), (5880, 116), (7500, 177), (14700, 177)])
    held2 = ("held", f2)
    CORNERS[id(held2)] = ts2
    case("epoxy 30 mm", (40, 80), law=piecewise, states=1, length=0.015, rho=1520, cp=942, k=0.4457, heat=198.6e3, t0=298.15, a0=0.0,
         first=held2, last=closed, t_end=14700, grow=1e-7)
    mild = dict(states=1, rho=1700, cp=1300, k=0.6, heat=120e3, t0=293.15, a0=0.0, t_end=10800)
    film = ("film", 10.0, lambda t: 293.15)
    K = kamal(4e-6, 70e3, 1.22e-3, 55e3, 0.85, 1.5)
    case("mild cylinder r 20 mm", (40, 80), law=K, length=0.02, first=closed, last=film, form=1, **mild)
    case("mild ball r 30 mm", (40, 80), law=K, length=0.03, first=closed, last=film, form=2, **mild)
    for m in (0.3, 0.5, 0.7, 1.5):
        case(f"mild slab, m = {m}", (60, 120), law=kamal(4e-6, 70e3, 1.22e-3, 55e3, m, 1.5), length=0.0125, first=closed, last=film, **mild)
    case("free radical slab 20 mm", (80, 160), law=radical, states=2, length=0.01, rho=1100, cp=1900, k=0.18, heat=330e3, t0=293.15, a0=0.0,
         first=closed, last=film, t_end=10800)
    # cells_converge_at_second_order of tests/laws/heat.rs
    case("seeded slab", (240, 480), law=K, states=1, length=0.01, rho=1300, cp=1600, k=0.4, heat=150e3, t0=293.15, a0=0.01,
         first=closed, last=("film", 9.0, lambda t: 293.15), t_end=14400, grow=1e-10)
    # heat_reference.rs: the harsh slab needs fine cells, its front is thinner than a sixtieth of it.
    case("mild slab", (120, 240), law=K, length=0.0125, first=closed, last=film, **mild)
    harsh = mild | {"rho": 1100, "cp": 1900, "k": 0.17, "heat": 350e3}
    case("harsh slab", (480, 960), law=K, length=0.0125, first=closed, last=film, **harsh)
