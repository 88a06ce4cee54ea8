"""Reference values of tests/published/cure_independent.rs: the rate laws written again in Python and integrated by
SciPy (Radau, rtol 1e-11, atol 1e-13). Run with any Python that has NumPy and SciPy; it prints Rust rows."""

import numpy as np
from scipy.integrate import solve_ivp

R = 8.31446261815324


def k(factor, energy, at=298.15):
    return lambda t: factor * np.exp(-energy / R * (1 / t - (1 / at if at else 0)))


def solve(f, y0, times, **kw):
    s = solve_ivp(f, (0, times[-1]), y0, "Radau", t_eval=times, rtol=1e-11, atol=1e-13, **kw)
    assert s.success
    return s.y


def ramp(points):
    t, c = np.array(points).T
    return lambda x: np.interp(x, t, c + 273.15)


def cup(rate, heat, a0, two=False):
    """100 g, 1100 kg/m3, 1900 J/(kg K), 8 W/(m2 K), 25 C: peak temperature and its time by dense output."""
    m, rho, c, u = 0.1, 1100.0, 1900.0, 8.0
    d = (4 * m / rho / np.pi) ** (1 / 3)
    loss = u * 1.5 * np.pi * d * d / (m * c)

    def f(t, y):
        r = rate(y[0], y[1], y[2])
        return [r[0], r[1], heat / c * r[0] - loss * (y[2] - 298.15)]

    s = solve_ivp(f, (0, 40000), [a0, 0, 298.15], "Radau", rtol=1e-10, atol=[1e-13, 1e-13, 1e-9], dense_output=True)
    i = s.y[2].argmax()
    t = np.linspace(s.t[max(i - 2, 0)], s.t[i + 2], 20001)
    y = s.sol(t)[2]
    return y.max() - 273.15, t[y.argmax()]


print("// autocatalytic, 40 C: m, conversion at 600, 1800, 3600, 7200 s; cup peak C, s")
for m in [0.3, 0.5, 0.7, 1.0, 1.5]:
    kk = k(1e-3, 60e3)
    # Nothing starts a large order from a small seed in reasonable time: give it more.
    a0 = 1e-4 if m < 1 else 1e-2
    f = lambda a, t: kk(t) * max(a, 0) ** m * max(1 - a, 0) ** 1.5
    y = solve(lambda t, y: [f(y[0], 313.15)], [a0], [600, 1800, 3600, 7200])[0]
    p, tp = cup(lambda a, i, t: (f(a, t), 0.0), 300e3, a0)
    print(f"    ({m}, {a0}, {[float(round(v, 9)) for v in y]}, {p:.4f}, {tp:.2f}),")

print("// piecewise epoxy, 400 K, conversion at 10, 30, 60, 120 min")
k1, k2, k3 = k(2.102e9 / 60, 80.7e3, 0), k(-2.014e9 / 60, 77.8e3, 0), k(1.960e5 / 60, 56.6e3, 0)


def piecewise(t, y):
    a = y[0]
    return [(k1(400) + k2(400) * a) * (1 - a) * (0.47 - a) if a <= 0.3 else k3(400) * (1 - a)]


event = lambda t, y: y[0] - 0.3
event.terminal = True
s = solve_ivp(piecewise, (0, 1e5), [0.0], "Radau", rtol=1e-11, atol=1e-13, events=event)
ts = s.t_events[0][0]
out = []
for t in [600, 1800, 3600, 7200]:
    if t < ts:
        out.append(float(solve(piecewise, [0.0], [t])[0][-1]))
    else:
        out.append(float(1 - 0.7 * np.exp(-k3(400) * (t - ts))))
print("   ", [round(v, 9) for v in out], "switch at", round(ts, 4))

print("// Kamal-Sourour along 20 C, 2 h ramp to 80 C, 1 h hold: conversion each hour; vitrifying the same")
sched = ramp([(0, 20), (3600, 20), (10800, 80), (14400, 80)])
k1, k2 = k(4e-6, 70e3, 293.15), k(1.22e-3, 55e3, 293.15)


def limit(t):
    y = (t + 5 - 233.15) / (383.15 - 233.15)
    y = min(max(y, 0), 1)
    return y / (0.4 + 0.6 * y)


for vit in [False, True]:
    def ks(t, y):
        T = sched(t)
        u = max((limit(T) if vit else 1.0) - y[0], 0)
        return [(k1(T) + k2(T) * max(y[0], 0) ** 0.85) * u**1.5]

    y, out, t0 = [0.0], [], 0
    for t1 in [3600, 7200, 10800, 14400]:
        s = solve_ivp(ks, (t0, t1), y, "Radau", rtol=1e-11, atol=1e-13, max_step=20)
        y, t0 = [s.y[0][-1]], t1
        out.append(float(round(y[0], 9)))
    print("   ", vit, out)

print("// free-radical: 25 C isothermal at 15, 30, 60, 120, 240 min; ramp 18 C, 1 h, to 40 C at 2 h; cup peak")
for trapped in [True, False]:
    for dose, inhibitor, promoter in [(2.0, 0.6, 1.0), (1.0, 0.6, 1.0), (2.0, 0.6, 2.0), (2.0, 0.3, 1.0), (2.0, 0.0, 1.0)]:
        kd0, kt0, kp0 = k(3e-4, 55e3), k(1e-7, 110e3), k(6e-4, 23.59e3)
        e = 0.02 * inhibitor

        def rate(a, i, T):
            kd = kd0(T) * promoter**0.5 + kt0(T)
            x = dose * i - inhibitor
            gate = min(max((x + e) / (2 * e), 0), 1) if e > 0 else 1.0
            if trapped:
                r = e * gate**2 if gate < 1 else x
                kp = kp0(T)
            else:
                r = np.sqrt(max(dose * (1 - i), 0)) * gate
                kp = kp0(T) * promoter**0.25
            return kp * r * max(1 - a, 0), kd * (1 - i)

        y = solve(lambda t, y: rate(y[0], y[1], 298.15), [0, 0], [900, 1800, 3600, 7200, 14400], max_step=30)[0]
        sc = ramp([(0, 18), (3600, 18), (7200, 40)])
        z = solve(lambda t, y: rate(y[0], y[1], sc(t)), [0, 0], [3600, 7200, 9000], max_step=30)[0]
        p, tp = cup(rate, 350e3, 0.0)
        print(f"    ({str(trapped).lower()}, {dose}, {inhibitor}, {promoter}, {[float(round(v, 8)) for v in y]}, {[float(round(v, 8)) for v in z]}, {p:.4f}, {tp:.2f}),")

print("// Kamal-Sourour of the ramp above, slowed by diffusion: conversion each hour")
k1s, k2s = k(4e-6, 70e3, 293.15), k(1.22e-3, 55e3, 293.15)


def slowed(t, y):
    T = sched(t)
    a = min(max(y[0], 0), 1)
    tg = 233.15 + 150 * 0.4 * a / (1 - 0.6 * a)
    return [(k1s(T) + k2s(T) * a**0.85) * (1 - a) ** 1.5 / (1 + np.exp(min((tg - T - 5) / 3, 600)))]


y, out, t0 = [0.0], [], 0
for t1 in [3600, 7200, 10800, 14400]:
    s = solve_ivp(slowed, (t0, t1), y, "Radau", rtol=1e-11, atol=1e-13, max_step=20)
    y, t0 = [s.y[0][-1]], t1
    out.append(float(round(y[0], 9)))
print("   ", out)

print("// drawn laws, 25 C: k1, k2, m, n, seed, [Tg0, Tg1, lambda, w], goal, gel time s, by scipy.integrate.quad in ln a")
import random
from scipy.integrate import quad

draw = random.Random(7)
for j in range(12):
    k1 = 0.0 if j % 3 == 0 else 10 ** draw.uniform(-12, -2)
    seed = 0.0 if j % 3 == 2 else 10 ** draw.uniform(-12, -2)
    k2, m, n = 10 ** draw.uniform(-4, -1), draw.uniform(0.05, 1.5), draw.uniform(0.5, 3.0)
    glass = [draw.uniform(-60, 0), draw.uniform(40, 140), draw.uniform(0.25, 0.9), draw.uniform(1, 10)]
    k1, k2, m, n, seed = [float(f"{x:.6g}") for x in (k1, k2, m, n, seed)]
    glass = [round(g, 3) for g in glass]
    goal = round(draw.uniform(0.02, 0.5), 4)

    def slowness(x, slowed):
        a = np.exp(x)
        r = (k1 + k2 * a**m) * (1 - a) ** n
        if slowed:
            t0, t1, lam, w = glass
            tg = t0 + (t1 - t0) * lam * a / (1 - (1 - lam) * a)
            r /= 1 + np.exp(min((tg - 25) / w, 600))
        return a / r

    begin = np.log(seed) if seed > 0 else np.log(goal) - 80
    times = []
    for slowed in [False, True]:
        edges = np.linspace(begin, np.log(goal), 41)
        times.append(sum(quad(slowness, a, b, (slowed,), epsabs=0, epsrel=1e-11)[0] for a, b in zip(edges, edges[1:])))
    print(f"    ({k1:e}, {k2:e}, {m}, {n}, {seed:e}, {glass}, {goal}, {times[0]:.9e}, {times[1]:.9e}),")

print("// Kamal-Sourour in series with diffusion (the constants of cure_law.rs), seed 1 %, 50 C to 80 C in 1 h, then held:")
print("// conversion at .5, 1, 1.5, 2 h; free radicals, trapped, promoter 2 over 1, q = 3: 25 C at 30, 60, 120 min")
sc = ramp([(0, 50), (3600, 80)])


def series(t, y):
    T, a = sc(t), y[0]
    tg = 216.15 + 148 * 0.36903 * a / (1 - (1 - 0.36903) * a)
    kd = 7e18 * np.exp(-137300 / R / T) * np.exp(-0.009 / (0.00048 * (T - tg) + 0.025))
    ks = [f(T) for f in (k(35982.0, 54960, 0), k(3574.1, 44289, 0))]
    ks = [1 / (1 / x + 1 / kd) for x in ks]
    return [(ks[0] + ks[1] * a**0.39845) * (1 - a) ** 1.5361]


y, out, t0 = [0.01], [], 0
for t1 in [1800, 3600, 5400, 7200]:
    s = solve_ivp(series, (t0, t1), y, "Radau", rtol=1e-11, atol=1e-13, max_step=20)
    y, t0 = [s.y[0][-1]], t1
    out.append(float(round(y[0], 9)))
print("   ", out)
e, kd, kp = 0.012, 3e-4 * 2**0.5 + 1e-7, 6e-4 * (1 + 3) / (1 + 3 * 2)


def retarded(t, y):
    x = 2.0 * y[1] - 0.6
    gate = min(max((x + e) / (2 * e), 0), 1)
    return [kp * (e * gate**2 if gate < 1 else x) * (1 - y[0]), kd * (1 - y[1])]


print("   ", [float(round(v, 8)) for v in solve(retarded, [0, 0], [1800, 3600, 7200], max_step=30)[0]])
