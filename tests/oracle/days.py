"""Casting days, drawn by Rust, solved again by CP-SAT: the same earliest finish, and the same days impossible.

Called by ``cargo xtask hard oracle``: ``days.py FILE``. A line of the file is a day as JSON: how many workers, hours as
``[day, open]`` or null, activities as ``[duration, keeps hours]``, waits and windows from start to start as ``[from, to, time]``,
and what this library found: its proof and its finish, all in seconds.
"""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path

from ortools.sat.python import cp_model

LIMIT_S = 30.0


@dataclass
class Tally:
    """What came of the days."""

    same: int = 0
    impossible: int = 0
    open: int = 0
    wrong: int = 0


def solve(day: dict) -> tuple[int, float]:
    """CP-SAT's status and the least finish that it found."""
    model = cp_model.CpModel()
    hours = day["hours"]
    longest = sum(d for d, _ in day["activities"]) + sum(
        max(t, 0) for _, _, t in day["waits"]
    )
    horizon = longest + (len(day["activities"]) + 2) * (hours[0] if hours else 0)
    starts, spans = [], []
    for i, (duration, keeps) in enumerate(day["activities"]):
        start = model.new_int_var(0, horizon, f"s{i}")
        if keeps and hours:
            per_day, opened = hours
            n = model.new_int_var(0, horizon // per_day + 1, f"d{i}")
            of_day = model.new_int_var(0, max(opened - duration, 0), f"r{i}")
            model.add(start == per_day * n + of_day)
        starts.append(start)
        spans.append(model.new_fixed_size_interval_var(start, duration, f"i{i}"))
    model.add_cumulative(spans, [1] * len(spans), day["workers"])
    for a, b, least in day["waits"]:
        model.add(starts[b] >= starts[a] + least)
    for a, b, most in day["windows"]:
        model.add(starts[b] <= starts[a] + most)
    finish = model.new_int_var(0, 2 * horizon, "finish")
    for start, (duration, _) in zip(starts, day["activities"], strict=True):
        model.add(finish >= start + duration)
    model.minimize(finish)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = LIMIT_S
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    return status, solver.objective_value if status in (
        cp_model.OPTIMAL,
        cp_model.FEASIBLE,
    ) else 0.0


def main() -> int:
    """Solves every day of the file."""
    tally = Tally()
    for n, line in enumerate(
        Path(sys.argv[1]).read_text(encoding="utf-8").splitlines()
    ):
        day = json.loads(line)
        status, finish = solve(day)
        if status == cp_model.INFEASIBLE and day["proof"] == "windows_broken":
            tally.impossible += 1
        elif (
            status == cp_model.OPTIMAL
            and day["proof"] in ("best", "earliest")
            and round(finish) == day["finish"]
        ):
            tally.same += 1
        elif (
            status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
            or day["proof"] == "not_proved"
        ):
            tally.open += 1
        else:
            tally.wrong += 1
            print(
                f"day {n}: {day['proof']}, done after {day['finish']} s; CP-SAT: status {status}, {finish} s"
            )
    print(
        f"{tally.same} days with the same finish, {tally.impossible} impossible for both, "
        f"{tally.open} not decided by one of them, {tally.wrong} different"
    )
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
