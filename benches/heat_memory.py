"""Peak memory of a sweep of walls asked from Python: JSON lines, peak resident set of the process after each stage.

    target/venv/bin/python benches/heat_memory.py [COUNT]

Beside it stands the same sweep from Rust (`heat.rs`, case `memory:COUNT`). Linux only (/proc/self/status).
"""

import json
import sys
import time

import gelwright as gw
from gelwright import heat


def memory(line):
    """A line of /proc/self/status in MiB."""
    with open("/proc/self/status") as f:
        return next(int(x.split()[1]) / 1024 for x in f if x.startswith(line + ":"))


def wall(i, count):
    """The harsh slab of heat.rs, its heat and rate varied by a fifth."""
    x, y = i / count, i * 7919 % count / count
    constant = {"activation_energy": "70 kJ/mol", "at": "20 degC"}
    law = {
        "model": "kamal_sourour",
        "k1": constant | {"factor": "4e-6 1/s"},
        "k2": constant | {"factor": f"{1.22e-3 * (0.9 + 0.2 * x)!r} 1/s", "activation_energy": "55 kJ/mol"},
        "m": 0.85,
        "n": 1.5,
    }
    kinetics = {
        "law": law,
        "heat_of_reaction": f"{350 * (0.8 + 0.2 * y)!r} kJ/kg",
        "seed": "0 %",
        "source": {"title": "chosen for the benchmark", "standing": "invented"},
    }
    pour = {
        "name": "pour",
        "thickness": "25 mm",
        "thermal": {"density": "1.1 g/mL", "specific_heat": "1900 J/(kg*K)", "conductivity": "0.17 W/(m*K)"},
        "cure": {"kinetics": kinetics, "gel_at": "5 %"},
        "starts_at": "20 degC",
    }
    air = {"kind": "convection", "coefficient": "10 W/(m^2*K)", "temperature": {"steady": "20 degC"}}
    return {"layers": [pour], "first_face": air, "last_face": air, "duration": "3 h"}


def main():
    """Sweep and print."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    start = memory("VmHWM")
    walls = [wall(i, count) for i in range(count)]
    given = memory("VmHWM")
    began = time.perf_counter()
    answer = heat.sweep_walls(walls=walls)
    seconds = time.perf_counter() - began
    if any(e is not None for e in answer.error):
        raise RuntimeError("a wall was refused")
    sizes = {"start_mib": start, "given_mib": given, "peak_mib": memory("VmHWM"), "left_mib": memory("VmRSS")}
    out = {"case": f"memory:{count}", "from": "Python", "version": gw.__version__, "seconds": round(seconds, 2)}
    print(json.dumps(out | {k: round(v, 1) for k, v in sizes.items()}))


if __name__ == "__main__":
    main()
