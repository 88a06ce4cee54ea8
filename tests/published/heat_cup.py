"""Reference values of heat_cup.rs: one cup by two codes, SciPy's Radau and Cantera (SUNDIALS' CVODES).

Cantera has no resin, so the cup is a closed vessel of an ideal gas of two isomers, A => B, whose heat capacity does not
depend on temperature. With A and B of one molar mass W and one heat capacity, cv = c W and u(A) - u(B) = H W, and the
vessel's energy is the cup's:

    m cv dT/dt = m H da/dt - U A (T - T_room),   a = X(B),   [A] = C0 (1 - a),  [B] = C0 a,  C0 constant.

Explicit orders give da/dt = k C0^(n + m - 1) (1 - a)^n a^m, so the constants are divided by that power of C0. A Wall to
a Reservoir carries the heat away. Run with NumPy, SciPy and Cantera:

    target/venv/bin/python tests/published/heat_cup.py
"""

import cantera as ct
import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline

R = 8.31446261815324
RHO, C, FILM, MASS, DIAMETER, ROOM = 1100.0, 1900.0, 10.0, 0.1, 0.06, 293.15
DEPTH = MASS / RHO / (np.pi / 4 * DIAMETER**2)
AREA = 2 * np.pi / 4 * DIAMETER**2 + np.pi * DIAMETER * DEPTH
# Constants at 20 degC in 1/s, energies in J/mol, orders in what has reacted.
NTH = [(1.5e-4, 60e3, 0.0)]
KAMAL = [(4e-6, 70e3, 0.0), (1.22e-3, 55e3, 0.85)]
# Name, terms, order in what is left, heat in J/kg, film coefficient in W/(m2 K), duration in s.
CASES = [
    ("n-th order, no loss", NTH, 1.5, 300e3, 0.0, 7200.0),
    ("n-th order, loss", NTH, 1.5, 300e3, FILM, 7200.0),
    ("Kamal-Sourour, no loss", KAMAL, 1.5, 350e3, 0.0, 3600.0),
    ("Kamal-Sourour, loss", KAMAL, 1.5, 350e3, FILM, 7200.0),
]


def by_scipy(terms, n, heat, film, end, rtol, method="Radau", most=np.inf):
    """Times, temperatures (K) and conversions at the steps taken."""
    loss = film * AREA / (MASS * C)

    def rhs(_, y):
        a, t = min(max(y[0], 0.0), 1.0), y[1]
        x = 1 / t - 1 / 293.15
        r = sum(k * np.exp(-e / R * x) * a**m for k, e, m in terms) * (1 - a) ** n
        return [r, heat / C * r - loss * (t - ROOM)]

    s = solve_ivp(rhs, (0, end), [0.0, ROOM], method, rtol=rtol, atol=[rtol, 100 * rtol], max_step=most)
    if not s.success:
        raise RuntimeError(s.message)
    return s.t, s.y[1], s.y[0]


def vessel(terms, n, heat, film, rtol, most=np.inf):
    """The network of the vessel, and the vessel, to be stepped."""
    w = 39.95  # kg/kmol: both isomers are called Ar
    c0 = ct.one_atm / (1e3 * R * ROOM)
    cp = (C * w + 1e3 * R) / 1e3
    lines = [
        "units: {energy: J, quantity: mol}",
        "phases: [{name: cup, thermo: ideal-gas, elements: [Ar], species: [A, B], kinetics: gas}]",
        "species:",
    ]
    for name, h0 in (("A", 0.0), ("B", -heat * w / 1e3)):
        thermo = f"{{model: constant-cp, T0: 298.15 K, h0: {h0!r} J/mol, s0: 0.0, cp0: {cp!r} J/mol/K}}"
        lines.append(f"- {{name: {name}, composition: {{Ar: 1}}, thermo: {thermo}}}")
    lines.append("reactions:")
    for k, e, m in terms:
        a = float(k * np.exp(e / R / 293.15) * c0 ** (1 - n - m))
        orders = f"{{A: {n}, B: {m}}}" if m else f"{{A: {n}}}"
        # The factor's unit follows from the orders, in kmol, m, s.
        rate = f"{{A: {a!r}, b: 0, Ea: {e!r} J/mol}}"
        twice = str(len(terms) > 1).lower()
        lines.append(
            f"- {{equation: A => B, duplicate: {twice}, units: {{quantity: kmol}}, rate-constant: {rate},"
            f" orders: {orders}, nonreactant-orders: true}}"
        )
    gas = ct.Solution(yaml="\n".join(lines))
    gas.TPX = ROOM, ct.one_atm, "A:1"
    room = ct.Solution(yaml="\n".join(lines))
    room.TPX = ROOM, ct.one_atm, "A:1"
    cup = ct.IdealGasReactor(gas, clone=False)
    per_kelvin = cup.volume * gas.density * gas.cv_mass  # J/K; the vessel's size is free, so the film is scaled to it
    if film > 0:
        ct.Wall(cup, ct.Reservoir(room, clone=False), A=1.0, U=film * AREA / (MASS * C) * per_kelvin)
    net = ct.ReactorNet([cup])
    net.rtol, net.atol = rtol, 1e-3 * rtol
    if np.isfinite(most):
        net.max_time_step = most
    return net, cup


def by_cantera(terms, n, heat, film, end, rtol, most=np.inf):
    net, cup = vessel(terms, n, heat, film, rtol, most)
    t, kelvin, a = [0.0], [cup.T], [0.0]
    while t[-1] < end:
        t.append(net.step())
        kelvin.append(cup.T)
        a.append(cup.phase["B"].X[0])
    return np.array(t), np.array(kelvin), np.array(a)


def read(t, kelvin, a, end):
    """Peak in degC, its time; times of 5 % and 50 %; temperature and conversion at 1200 s and at the end."""
    warmth, cure = CubicSpline(t, kelvin), CubicSpline(t, a)
    j = int(kelvin.argmax())
    fine = np.linspace(t[max(j - 1, 0)], t[min(j + 1, len(t) - 1)], 2001)
    fine = fine[fine <= end]
    i = int(warmth(fine).argmax())

    def crossing(x):
        k = int((a >= x).argmax())
        s = np.linspace(t[k - 1], t[k], 2001)
        return float(np.interp(x, cure(s), s))

    return [
        float(x)
        for x in (
            warmth(fine)[i] - 273.15,
            fine[i],
            crossing(0.05),
            crossing(0.5),
            warmth(1200) - 273.15,
            cure(1200),
            warmth(end) - 273.15,
            cure(end),
        )
    ]


if __name__ == "__main__":
    print(f"SciPy {scipy.__version__}, Cantera {ct.__version__}")
    print("case: peak degC, s; s of 5 %, 50 %; degC, conversion at 1200 s; at the end")
    for name, terms, n, heat, film, end in CASES:
        s = read(*by_scipy(terms, n, heat, film, end, 1e-11, most=2.0), end)
        c = read(*by_cantera(terms, n, heat, film, end, 1e-10, most=2.0), end)
        print(f"{name}\n  SciPy   {[round(x, 5) for x in s]}\n  Cantera {[round(x, 5) for x in c]}")
