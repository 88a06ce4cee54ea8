"""How likely a casting comes out, from Python and from a terminal; what the record of a day tells of its resins."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import gelwright as gw

DEMO = Path(__file__).resolve().parents[2] / "crates" / "gelwright" / "demo"
TRAY = """
version = 2
name = "tray"
[shop]
temperature = "20 degC"
humidity = "50 %"
start = "08:00"
bench = { scale = { readability = "0.01 g" } }
[mould]
wall = "grp_mould"
release = [{ material = "release_wax", coats = 4 }]
[recipes.pour]
resin = "ortho_polyester"
parts = [{ material = "mekp_9", dose = "1.5 phr" }]
[[zones]]
name = "floor"
area = "100 cm^2"
layers = [{ pour = { recipe = "pour", thickness = "3 mm" } }]
[cure]
in_mould = "24 h"
"""


@pytest.fixture
def tray(tmp_path):
    file = tmp_path / "tray.toml"
    file.write_text(TRAY, encoding="utf-8")
    return file


def run(*words):
    done = subprocess.run([sys.executable, "-m", "gelwright", *map(str, words)], capture_output=True, timeout=300)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def test_the_chance_from_a_terminal(tray):
    status, out, _ = run("risk", tray, "--draws", "64")
    risk = gw.Casting.load(tray).risk(draws=64)
    assert out == f"tray\n{risk}"
    assert status == (2 if 2 * risk.comes_out.count <= 64 else 1 if risk.spoiled.count else 0)
    assert out.splitlines()[1].startswith("It comes out in ")
    assert len(out.splitlines()) <= 16
    assert all(len(line) <= 100 for line in out.splitlines())
    if risk.drivers:
        assert f"Measure next: {risk.drivers[0].measure}"[:60] in " ".join(out.split())
    status, out, _ = run("risk", tray, "--draws", "16", "--card", "--language", "german")
    assert "16 Ziehungen dieses Plans" in " ".join(out.split())


def test_what_never_comes_out_is_no(tmp_path):
    starved = tmp_path / "starved.toml"
    starved.write_text(TRAY.replace("1.5 phr", "0.2 phr"), encoding="utf-8")
    status, out, _ = run("risk", starved, "--draws", "16")
    assert status == 2
    assert "Spoiled by" in out
    assert "all draws went alike" in " ".join(out.split())


def test_the_draws_are_kept_and_gone_on_with(tray, tmp_path):
    kept = tmp_path / "draws.json"
    run("risk", tray, "--draws", "16", "--kept", kept)
    assert len(json.loads(kept.read_text(encoding="utf-8"))["rows"]) == 16
    _, out, _ = run("risk", tray, "--draws", "48", "--kept", kept)
    assert out == run("risk", tray, "--draws", "48")[1]
    # Of another seed, of another casting: nothing is mixed up.
    assert run("risk", tray, "--draws", "48", "--kept", kept, "--seed", "1")[0] == 64
    tray.write_text(TRAY.replace("3 mm", "4 mm"), encoding="utf-8")
    status, _, err = run("risk", tray, "--draws", "48", "--kept", kept)
    assert status == 64
    assert "another casting" in err


def test_a_risk_that_can_not_be_told(tray, tmp_path):
    assert run("risk")[0] == 64
    assert run("risk", tmp_path / "absent.toml")[0] == 3
    status, out, _ = run("risk", tray, "--draws", "0")
    assert status == 3
    assert "draws" in out
    tray.write_text(TRAY.replace('"20 degC"', '"20"'), encoding="utf-8")
    status, out, _ = run("risk", tray)
    assert status == 3
    assert "shop.temperature" in out
    broken = tmp_path / "broken.json"
    broken.write_text("{", encoding="utf-8")
    tray.write_text(TRAY, encoding="utf-8")
    assert run("risk", tray, "--kept", broken)[0] == 3


def test_after_a_day_the_fit_reads_the_record(tray):
    """The tray's pour was seen to gel after 41 min: that comes back, though nothing else says so."""
    casting = gw.Casting.load(tray)
    plan = casting.plan()
    pour = next(s for s in plan.steps if s.work == "pour")
    done = [{"did": {"step": s.number, "from": s.start, "until": s.end}} for s in plan.steps if s.number <= pour.number]
    clock, _, day = pour.start.partition(" ")
    hour, minute, second = (int(n) for n in [*clock.split(":"), "0"][:3])
    # Half of the mixing time is before the catalyst.
    catalysed = 60 * hour + minute + second / 60 + casting.pace.mixing.m_as("min") / 2
    at = round(catalysed + 41)
    seen = {"gelled": {"cup": pour.batch, "at": f"{at // 60:02}:{at % 60:02} {day}".strip()}}
    record = gw.BenchRecord(1, "tray", entries=[*done, seen])
    told = casting.evidence_of_record(record)
    assert (told.told, told.left_out) == (1, ())
    (evidence,) = told.resins
    assert evidence.resin == "ortho_polyester"
    assert gw.quantity.convert(str(evidence.film_tests[0].time), "min").number == pytest.approx(41, abs=1)
    law = evidence.changed(gel_table=[]).calibrate()
    gel = law.forecast_gel("1.5 phr", "20 degC")
    assert gel.time.m_as("min") == pytest.approx(41, rel=0.03)
    with pytest.raises(gw.errors.InconsistentError, match="read the record with the casting"):
        casting.changed(name="bowl").evidence_of_record(record)
