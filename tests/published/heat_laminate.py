"""The laminate on its tool of heat_laminate.rs by SciPy: method of lines on even cells, LSODA with a banded Jacobian.

Constants as the source's notebook gives them (see heat_laminate.rs), with and without its factor for diffusion,
1 / (1 + exp(C (a - a0 - aT T))), which changes the peak by less than 0.01 K, as the laminate peaks at 60 % conversion.

    target/venv/bin/python tests/published/heat_laminate.py
"""

import math

import numpy as np
from scipy.integrate import solve_ivp

R = 8.314
TOOL = (8150.0, 510.0, 13.0)  # density, specific heat, conductivity
# Fibre, resin: density, specific heat at 100 degC, conductivity at 100 degC (and 50 % conversion).
FIBRE = (1790.0, 750 + 2.05 * 80, 2.4 + 1.56e-2 * 100)
RESIN = (1300.0, 1005 + 3.74 * 80, 0.148 + 3.43e-4 * 100 + 6.07e-2 * 0.5)
PART, HEAT = 0.426, 5.4e5  # resin by volume; J/kg of resin


def laminate():
    """Density, specific heat (mixed by volume, as the source does), conductivity across the fibres, resin by mass."""
    rho = PART * RESIN[0] + (1 - PART) * FIBRE[0]
    cp = PART * RESIN[1] + (1 - PART) * FIBRE[1]
    b = 2 * (RESIN[2] / FIBRE[2] - 1)
    c = math.sqrt((1 - PART) / math.pi)
    d = math.sqrt(1 - (b * c) ** 2)
    k = RESIN[2] * ((1 - 2 * c) + (math.pi - 4 / d * math.atan(d / (1 + b * c))) / b)
    return rho, cp, k, PART * RESIN[0] / rho


def solve(cells, films, diffusion):
    """Peak in degC, its time in s, its height above the tool's outer face in mm. films: of tool and of laminate."""
    rho, cp, k, resin = laminate()
    n = 5 * cells
    on = np.arange(n) >= 2 * cells  # 20 mm of tool, 30 mm of laminate
    size = 0.05 / n
    kk = np.where(on, k, TOOL[2])
    store = np.where(on, rho * cp, TOOL[0] * TOOL[1]) * size
    between = 2 / (size / kk[:-1] + size / kk[1:])
    first, last = (1 / (1 / h + size / (2 * x)) for h, x in zip(films, (kk[0], kk[-1]), strict=True))

    def rhs(t, y):
        kelvin, a = y[0::2], np.clip(y[1::2], 0, 1)
        air = np.interp(t, [0, 3120, 10320, 13440], [293.15, 453.15, 453.15, 293.15])
        r = 1.528e5 * np.exp(-6.65e4 / R / kelvin) * a**0.8129 * (1 - a) ** 2.736 * on
        if diffusion:
            r /= 1 + np.exp(43.09 * (a + 1.684 - 5.475e-3 * kelvin))
        flow = np.zeros(n + 1)
        flow[1:-1] = between * (kelvin[:-1] - kelvin[1:])
        flow[0], flow[-1] = first * (air - kelvin[0]), last * (kelvin[-1] - air)
        out = np.empty_like(y)
        out[0::2] = (flow[:-1] - flow[1:]) / store + HEAT * resin / cp * r
        out[1::2] = r
        return out

    y = np.empty(2 * n)
    y[0::2], y[1::2] = 293.15, 0.05
    best = (0.0, 0.0, 0.0)
    for start, end in ((0, 3120), (3120, 10320)):
        s = solve_ivp(rhs, (start, end), y, method="LSODA", rtol=1e-9, atol=1e-9, lband=2, uband=2, max_step=5)
        y = s.y[:, -1]
        kelvin = s.y[0::2]
        cell, step = np.unravel_index(kelvin.argmax(), kelvin.shape)
        best = max(best, (kelvin[cell, step] - 273.15, s.t[step], (cell + 0.5) * size * 1e3))
    return [round(float(x), 3) for x in best]


if __name__ == "__main__":
    print("laminate: density, specific heat, conductivity, resin by mass:", laminate())
    for name, films in (("held", (1e9, 1e9)), ("convection", (70.0, 120.0))):
        for diffusion in (True, False):
            print(name, "diffusion" if diffusion else "no diffusion", [solve(c, films, diffusion) for c in (20, 40)])
