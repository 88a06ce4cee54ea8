"""Ctrl-C stops a question, and only that."""

import _thread
import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

import gelwright as gw

HEAT = Path(__file__).resolve().parents[2] / "tests" / "vectors" / "heat.json"
SLAB = next(c for c in json.loads(HEAT.read_text()) if c["name"].startswith("harsh slab"))["request"]
# Twenty pours a minute apart, followed far more finely than anyone needs: minutes of work.
WALL = SLAB | {
    "layers": [SLAB["layers"][0] | {"name": f"pour {i}", "laid_at": f"{i} min"} for i in range(20)],
    "most_cells": 20_000,
    "peak_within": "0.001 K",
}
# A second of work.
WALLS = [WALL | {"layers": WALL["layers"][:8], "peak_within": "0.5 K"}] * 2
# Seconds from Ctrl-C to the exception; generous, for a machine that is busy with the other checks.
SOON = 5.0


def usable():
    return gw.quantity.convert("1 in", "mm").number == pytest.approx(25.4)


@contextlib.contextmanager
def interrupt_after(seconds):
    """Interrupts the main thread once, as Ctrl-C does; gives the list that tells when."""
    at = []

    def strike():
        at.append(time.monotonic())
        _thread.interrupt_main()

    timer = threading.Timer(seconds, strike)
    timer.start()
    try:
        yield at
    finally:
        timer.cancel()
        timer.join()


@contextlib.contextmanager
def on_interrupt(handler):
    before = signal.signal(signal.SIGINT, handler)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@pytest.mark.parametrize(("question", "request_"), [("heat.wall", WALL), ("heat.sweep_walls", {"walls": [WALL] * 8})])
def test_ctrl_c_stops_a_long_question(question, request_):
    with interrupt_after(0.3) as at, pytest.raises(KeyboardInterrupt):
        gw.ask(question, **request_)
    assert time.monotonic() - at[0] < SOON
    assert usable()


def test_a_handler_that_does_not_raise_stops_nothing():
    seen = []
    with on_interrupt(lambda *_: seen.append(time.monotonic())), interrupt_after(0.1) as at:
        answer = gw.ask("heat.sweep_walls", walls=WALLS)
        done = time.monotonic()
    assert answer.raw["error"] == [None] * len(WALLS)
    # Handled while the library was at work, not after it.
    assert len(seen) == 1
    assert at[0] <= seen[0] < done


def test_what_another_handler_raises_comes_up_as_it_is():
    class TooLateError(Exception):
        pass

    def late(*_):
        raise TooLateError

    with on_interrupt(late), interrupt_after(0.2), pytest.raises(TooLateError):
        gw.ask("heat.wall", **WALL)


def test_a_thread_beside_the_main_one_answers_and_leaves_the_others_running():
    answers = []
    thread = threading.Thread(target=lambda: answers.append(gw.ask("heat.sweep_walls", walls=WALLS)))
    thread.start()
    turns = 0
    while thread.is_alive():
        turns += 1
        thread.join(0.001)
    assert answers[0].raw["error"] == [None] * len(WALLS)
    assert turns > 5


SCRIPT = """
import json, sys
import gelwright as gw
walls = json.load(sys.stdin)
print("begun", flush=True)
try:
    gw.ask("heat.sweep_walls", walls=walls)
except KeyboardInterrupt:
    print("interrupted", gw.quantity.convert("1 in", "mm").number, flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C can not be sent to one process alone there")
def test_a_signal_from_outside_stops_a_sweep():
    command = [sys.executable, "-c", SCRIPT]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as run:
        json.dump([WALL] * 8, run.stdin)
        run.stdin.close()
        assert run.stdout.readline() == "begun\n"
        time.sleep(0.5)
        struck = time.monotonic()
        run.send_signal(signal.SIGINT)
        out = run.stdout.read()
        run.wait(timeout=60)
    assert out.startswith("interrupted 25.4")
    assert time.monotonic() - struck < SOON
    assert run.returncode == 0
