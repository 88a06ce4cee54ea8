"""Independent computations behind tests/published/flow_*.rs and light_*.rs (SciPy 1.17, NumPy).

Each block solves the governing equation numerically, by another way than the library's closed forms.
Run: python tests/published/scripts/flow_light.py
"""

import numpy as np
from scipy.integrate import quad, solve_bvp, solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq
from scipy.special import jv, jvp, hankel1, h1vp, struve

G = 9.80665


def wall_stress(flux, h, eta, tau):
    """Wall shear stress that drives a Bingham flux per width through a slit, by integrating the velocity profile."""
    if flux == 0.0:
        return tau

    def q(tw):
        # u' = (tw*2y/h - tau)/eta outside the plug, y from the mid-plane; flux = 2 int u dy = -2 int y u' dy
        plug = h / 2 * tau / tw
        val, _ = quad(lambda y: 2 * y * (tw * 2 * y / h - tau) / eta, plug, h / 2, epsabs=0, epsrel=1e-12)
        return val

    hi = tau + 1.0
    while q(hi) < flux:
        hi *= 2
    return brentq(lambda tw: q(tw) - flux, max(tau, 1e-300) * (1 + 1e-14) + 1e-12, hi, rtol=1e-13)


def force(v, h, eta, tau, shape):
    """Force of a plate closing at speed v, pressure integrated from the rim."""
    if shape[0] == "strip":
        _, width, length = shape
        a = width / 2
        # int p dA = int x (-dp/dx) dx * 2 L
        f, _ = quad(lambda x: 2 * length * x * 2 * wall_stress(v * x, h, eta, tau) / h, 0, a, epsrel=1e-9)
    else:
        _, radius = shape
        f, _ = quad(lambda r: np.pi * r * r * 2 * wall_stress(v * r / 2, h, eta, tau) / h, 0, radius, epsrel=1e-9)
    return f


def rest_force(h, tau, shape):
    return force(0.0, h, 1.0, tau, shape)


def speed(f, h, eta, tau, shape):
    if tau > 0 and rest_force(h, tau, shape) >= f:
        return 0.0
    hi = 1e-12
    while force(hi, h, eta, tau, shape) < f:
        hi *= 4
    return brentq(lambda v: force(v, h, eta, tau, shape) - f, 0, hi, rtol=1e-11)


def stefan_ode():
    print("# Stefan by ODE with the pressure from a boundary-value problem")
    # pressure in a disc: (1/r)(r h^3/(12 eta) p')' = -V with p(R) = 0: solved as BVP for V = 1, h = 1, eta = 1, R = 1
    r = np.linspace(1e-6, 1, 2001)
    sol = solve_bvp(lambda r, y: [y[1], -12 - y[1] / r], lambda a, b: [a[1], b[0]], r, np.zeros((2, r.size)), tol=1e-8)
    unit_disc, _ = quad(lambda x: 2 * np.pi * x * sol.sol(x)[0], 1e-6, 1, epsrel=1e-10)
    x = np.linspace(0, 0.5, 501)
    sol = solve_bvp(lambda x, y: [y[1], -12 * np.ones_like(x)], lambda a, b: [a[1], b[0]], x, np.zeros((2, x.size)), tol=1e-10)
    unit_strip = 2 * quad(lambda x: sol.sol(x)[0], 0, 0.5, epsrel=1e-12)[0]
    print("unit forces (3 pi/2, 1):", unit_disc, unit_strip)
    f, eta, radius = 100.0, 1.0, 0.05
    run = solve_ivp(lambda t, h: -f * h**3 / (eta * unit_disc * radius**4), (0, 0.5516), [2e-3], rtol=1e-11, atol=1e-15,
                    dense_output=True)
    print("disc R 50 mm, 1 Pa s, 100 N, 2 mm: h(0.1), h(0.3) mm", run.sol(0.1)[0] * 1e3, run.sol(0.3)[0] * 1e3)
    run = solve_ivp(lambda t, h: -f * h**3 / (eta * unit_disc * radius**4), (0, 1), [2e-3], rtol=1e-11, atol=1e-15, dense_output=True)
    print("time to 0.5 mm:", brentq(lambda t: run.sol(t)[0] - 0.5e-3, 0.01, 1))
    w, length = 0.02, 0.1
    run = solve_ivp(lambda t, h: -200.0 * h**3 / (5.0 * unit_strip * length * w**3), (0, 60), [3e-3], rtol=1e-11, atol=1e-15)
    print("strip 20x100 mm, 5 Pa s, 200 N, 3 mm: h(60 s) mm", run.y[0, -1] * 1e3)


def bingham():
    print("# Bingham squeeze, wall stress from the integrated velocity profile, force by quadrature")
    for shape, f, h, eta, tau in [
        (("strip", 0.025, 0.1), 150.0, 1e-3, 5.0, 100.0),
        (("strip", 0.025, 0.1), 40.0, 1e-3, 5.0, 100.0),
        (("disc", 0.03), 50.0, 1e-3, 5.0, 200.0),
        (("disc", 0.03), 400.0, 1e-3, 2.0, 50.0),
    ]:
        print(shape, "F", f, "tau", tau, "rest force", rest_force(h, tau, shape), "speed um/s", speed(f, h, eta, tau, shape) * 1e6)
    for shape, f, tau in [(("strip", 0.025, 0.1), 150.0, 100.0), (("disc", 0.05), 100.0, 50.0)]:
        rest = brentq(lambda h: rest_force(h, tau, shape) - f, 1e-6, 1e-1, rtol=1e-12)
        print("rest gap", shape, f, tau, "mm", rest * 1e3)

    shape, f, tau, eta, h0 = ("strip", 0.025, 0.1), 150.0, 100.0, 5.0, 3e-3
    # Interpolate speed on a log grid of gaps: the force needs the expensive nested integrals
    rest = brentq(lambda h: rest_force(h, tau, shape) - f, 1e-6, 1e-1, rtol=1e-12)
    hs = np.geomspace(1.02 * rest, h0, 140)
    vs = np.array([speed(f, h, eta, tau, shape) for h in hs])
    # v ~ (h - rest)^2 near rest: spline of sqrt(v) against h
    sp = CubicSpline(np.concatenate([[rest], hs]), np.concatenate([[0.0], np.sqrt(vs)]))
    run = solve_ivp(lambda t, h: -sp(h) ** 2, (0, 600), [h0], rtol=1e-10, atol=1e-14, t_eval=[1, 5, 30, 120, 600], method="LSODA")
    print("strip closing, mm at 1 5 30 120 600 s:", run.y[0] * 1e3)
    n = 2.0
    tg = 1200.0
    run = solve_ivp(lambda t, h: -sp(h) ** 2 * max(1 - t / tg, 0) ** n, (0, tg), [h0], rtol=1e-10, atol=1e-14, method="LSODA", max_step=5)
    print("the same, gelling at 20 min with exponent 2, mm at gel:", run.y[0, -1] * 1e3)


def spreading_bead():
    print("# Newtonian bead spreading under a plate until it fills the flange")
    w, length, f, eta, h0 = 0.03, 0.2, 120.0, 8.0, 4e-3
    vol = 0.01 * h0 * length

    def rate(t, h):
        width = min(w, vol / (h[0] * length))
        return [-f * h[0] ** 3 / (eta * length * width**3)]

    run = solve_ivp(rate, (0, 300), [h0], rtol=1e-11, atol=1e-15, t_eval=[2, 300], max_step=0.05)
    print("h mm at 2 s, 300 s:", run.y[0] * 1e3, "filled below mm", vol / w / length * 1e3)


def chop_bed():
    print("# Newtonian strip with a fibre bed p = 10 kPa (phi/0.17)^10 that stays")
    w, length, f, eta, h0, phi0 = 0.02, 0.1, 200.0, 500.0, 3e-3, 0.05

    def rate(t, h):
        bed = 1e4 * (phi0 * h0 / h[0] / 0.17) ** 10 * w * length
        return [-max(f - bed, 0) * h[0] ** 3 / (eta * length * w**3)]

    run = solve_ivp(rate, (0, 3600), [h0], rtol=1e-11, atol=1e-15, method="LSODA", t_eval=[5, 3600])
    print("h mm at 5 s, 1 h:", run.y[0] * 1e3, "rest", phi0 * h0 / 0.17 / (f / w / length / 1e4) ** 0.1 * 1e3)


def drain():
    print("# Draining film by upwind finite volumes, h_t + q(h)_x = 0")

    def run(h0, tau, length, eta, t_end, slope=np.pi / 2, rho=1100.0, n=6000):
        g = rho * G * np.sin(slope)
        hy = tau / g
        q = lambda h: g / eta * np.where(h > hy, (h - hy) ** 2 * (2 * h + hy) / 6, 0.0)
        dx = length / n
        h = np.full(n, h0)
        c = g / eta * h0 * (h0 - hy)
        dt = 0.45 * dx / c
        t = 0.0
        while t < t_end:
            step = min(dt, t_end - t)
            flux = np.concatenate([[0.0], q(h)])
            h = h - step / dx * np.diff(flux)
            t += step
        return h.mean(), h[-1], h[n // 10]

    for args in [(0.5e-3, 0.0, 0.3, 0.5, 60.0), (2e-3, 8.0, 0.2, 2.0, 120.0)]:
        a, b = run(*args, n=2000), run(*args, n=4000)
        # first-order scheme: Richardson
        print(args, "mean, bottom, tenth (mm):", [(2 * y - x) * 1e3 for x, y in zip(a, b)])


def slump():
    print("# slump and spread")
    for s in (0.2, 0.5, 0.8):
        # column of height H: stress rho g z/2 (half the vertical stress); the part above yields not
        # the yielded part of height H - h0 spreads until stress = tau; slump by integrating the strain
        t = brentq(lambda t: 1 - 2 * t * (1 - np.log(2 * t)) - s, 1e-9, 0.5)
        # independent: column element at depth z carries weight w*z over area A(z) with shear z/(2 A/A0) = t -> A/A0 = z/(2t);
        # its thickness shrinks by A0/A: final height = 2t + int_{2t}^1 (2t/z) dz
        height = 2 * t + quad(lambda z: 2 * t / z, 2 * t, 1)[0]
        print("slump", s, "tau/(rho g H) =", t, "check", 1 - height)
    rho, tau, radius = 1100.0, 60.0, 0.08
    v = quad(lambda r: 2 * np.pi * r * np.sqrt(2 * tau * (radius - r) / (rho * G)), 0, radius)[0]
    print("spread: volume mL of 60 Pa, 1100 kg/m3, R 80 mm:", v * 1e6)


def kubelka_munk():
    print("# Kubelka-Munk by the two-flux boundary-value problem")
    for s, k, x, rg in [(25e3, 0.1e3, 0.2e-3, 0.8), (25e3, 0.1e3, 0.2e-3, 0.0), (3e3, 2e3, 1e-3, 0.5), (50e3, 50e3 * 0.05**2 / 1.9, 0.3e-3, 0.8)]:
        # downward i, upward j; z from the top
        sol = solve_bvp(
            lambda z, y: [-(k + s) * y[0] + s * y[1], (k + s) * y[1] - s * y[0]],
            lambda a, b: [a[0] - 1, b[1] - rg * b[0]],
            np.linspace(0, x, 400), np.ones((2, 400)), tol=1e-9, max_nodes=100000)
        print("S", s, "K", k, "X", x, "Rg", rg, "R", sol.y[1, 0], "through", sol.y[0, -1])


def cylinder():
    print("# exact infinite cylinder across the beam (Bohren & Huffman ch. 8), both polarisations averaged")

    def q_exact(x, m):
        n_max = int(x + 4 * x ** (1 / 3) + 20)
        tot = 0.0
        for n in range(n_max + 1):
            j, jp, h, hp = jv(n, x), jvp(n, x), hankel1(n, x), h1vp(n, x)
            ji, jip = jv(n, m * x), jvp(n, m * x)
            b = (ji * jp - m * jip * j) / (ji * hp - m * jip * h)
            a = (m * ji * jp - jip * j) / (m * ji * hp - jip * h)
            tot += (a.real + b.real) * (1 if n == 0 else 2)
        return 2 / x * tot / 2

    d, lam, n_r = 13e-6, 550e-9, 1.55
    for dn in (0.002, 0.006, 0.02, 0.05):
        x = np.pi * d * n_r / lam
        p = 2 * np.pi * d * dn / lam
        print("dn", dn, "p", p, "pi H1(p)", np.pi * struve(1, p), "exact", q_exact(x, 1 + dn / n_r))
    for n in (1.5, 1.55):
        def fres(t):
            s = n * np.sin(t)
            if s >= 1:
                return 1.0
            ct = np.sqrt(1 - s * s)
            c = np.cos(t)
            return 0.5 * (((n * c - ct) / (n * c + ct)) ** 2 + ((c - n * ct) / (c + n * ct)) ** 2)
        tc = np.arcsin(1 / n)
        k2 = quad(lambda t: fres(t) * np.sin(2 * t), 0, tc, epsabs=1e-12)[0] + quad(lambda t: np.sin(2 * t), tc, np.pi / 2)[0]
        print("diffuse internal reflectance, n", n, k2)


def rays():
    print("# transport of a cylinder by tracing rays in the plane (vector Snell), mean of 1 - cos(turn)")

    def one(m, u):
        # ray along +x hits the unit circle at (-cos, u)
        pnt = np.array([-np.sqrt(1 - u * u), u])
        dirn = np.array([1.0, 0.0])
        nrm = pnt
        ci = -dirn @ nrm
        k = 1 - (1 - ci * ci) / m**2
        if k <= 0:
            refl, inner = 1.0, None
        else:
            ct = np.sqrt(k)
            refl = 0.5 * (((ci - m * ct) / (ci + m * ct)) ** 2 + ((m * ci - ct) / (m * ci + ct)) ** 2)
            inner = dirn / m + (ci / m - ct) * nrm
        mirror = dirn + 2 * ci * nrm
        val = refl * (1 - mirror[0])
        if inner is not None:
            b = pnt @ inner
            out_p = pnt - 2 * b * inner
            n2 = -out_p
            ci2 = -inner @ n2
            k2 = 1 - m * m * (1 - ci2 * ci2)
            out = m * inner + (m * ci2 - np.sqrt(max(k2, 0))) * n2
            val += (1 - refl) * (1 - out[0])
        return val

    for m in (1.01, 1.05, 0.97, 1 / 1.55):
        us = (np.arange(200000) + 0.5) / 200000
        vals = np.array([one(m, u) for u in us[::4]])
        print("m", m, "cylinder", vals.mean(), "sphere", (2 * us[::4] * vals).mean())


if __name__ == "__main__":
    stefan_ode()
    bingham()
    spreading_bead()
    chop_bed()
    drain()
    slump()
    kubelka_munk()
    cylinder()
    rays()
