"""Ctrl-C stops a question, and only that."""

import _thread
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
# Followed far more finely than anyone needs: minutes of work.
WALL = next(c for c in json.loads(HEAT.read_text()) if c["question"] == "heat.wall")["request"] | {
    "most_cells": 20_000,
    "peak_within": "0.001 K",
}
# Seconds from Ctrl-C to the exception; generous, for a machine that is busy with the other checks.
SOON = 5.0


def usable():
    return gw.quantity.convert(quantity="1 in", to="mm").number == pytest.approx(25.4)


def interrupt_after(seconds):
    """As a Ctrl-C would, and says when."""
    at = []

    def strike():
        at.append(time.monotonic())
        _thread.interrupt_main()

    timer = threading.Timer(seconds, strike)
    timer.start()
    return timer, at


@pytest.mark.parametrize(("question", "request_"), [("heat.wall", WALL), ("heat.sweep_walls", {"walls": [WALL] * 8})])
def test_ctrl_c_stops_a_long_question(question, request_):
    timer, at = interrupt_after(0.3)
    with pytest.raises(KeyboardInterrupt):
        gw.ask(question, **request_)
    assert time.monotonic() - at[0] < SOON
    timer.join()
    assert usable()


def test_a_handler_that_does_not_raise_stops_nothing():
    seen = []
    before = signal.signal(signal.SIGINT, lambda *_: seen.append(1))
    try:
        timer, _ = interrupt_after(0.1)
        # Long enough to be struck while it is worked on.
        answer = gw.heat.sweep_walls(walls=[{**WALL, "peak_within": "0.5 K"}] * 40)
        timer.join()
    finally:
        signal.signal(signal.SIGINT, before)
    assert seen == [1]
    assert answer.raw["error"] == [None] * 40


def test_what_another_handler_raises_comes_up_as_it_is():
    class TooLate(Exception):
        pass

    def late(*_):
        raise TooLate

    before = signal.signal(signal.SIGINT, late)
    try:
        timer, _ = interrupt_after(0.2)
        with pytest.raises(TooLate):
            gw.ask("heat.wall", **WALL)
        timer.join()
    finally:
        signal.signal(signal.SIGINT, before)


def test_a_thread_beside_the_main_one_answers_and_leaves_the_others_running():
    answers = []
    coarse = {**WALL, "peak_within": "0.5 K"}
    thread = threading.Thread(target=lambda: answers.append(gw.heat.sweep_walls(walls=[coarse] * 40)))
    thread.start()
    turns = 0
    while thread.is_alive():
        turns += 1
        thread.join(0.001)
    assert answers[0].raw["error"] == [None] * 40
    assert turns > 5


SCRIPT = """
import json, sys, time
import gelwright as gw
walls = json.loads(sys.argv[1])
print("begun", flush=True)
try:
    gw.heat.sweep_walls(walls=walls)
except KeyboardInterrupt:
    print("interrupted", gw.quantity.convert(quantity="1 in", to="mm").number, flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="a process can not be sent Ctrl-C alone there")
def test_a_signal_from_outside_stops_a_sweep():
    with subprocess.Popen([sys.executable, "-c", SCRIPT, json.dumps([WALL] * 8)], stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout.readline() == "begun\n"
        time.sleep(0.5)
        struck = time.monotonic()
        run.send_signal(signal.SIGINT)
        out, _ = run.communicate(timeout=60)
    assert out.startswith("interrupted 25.4")
    assert time.monotonic() - struck < SOON
    assert run.returncode == 0
