"""The main job from Python: a casting, its plan, and what can be asked of it."""

import copy
import pickle
import re
from pathlib import Path

import pytest

import gelwright as gw

DEMO = Path(__file__).resolve().parents[2] / "crates" / "gelwright" / "demo"


@pytest.fixture(scope="module")
def casting():
    return gw.Casting.load(DEMO / "moth_lantern.toml")


@pytest.fixture(scope="module")
def plan(casting):
    return casting.plan()


def test_a_plan_balances(plan):
    """What the batches weigh is what their parts weigh, and what the needs ask for."""
    for planned in plan.batches:
        parts = sum(p.mass.to("g").magnitude for p in planned.batch.parts)
        assert parts == pytest.approx(planned.batch.mass.to("g").magnitude, rel=1e-12)
    needed = {n.material: n.mass.to("g").magnitude for n in plan.needs}
    mixed: dict[str, float] = {}
    for planned in plan.batches:
        for part in planned.batch.parts:
            mixed[part.material] = mixed.get(part.material, 0.0) + part.mass.to("g").magnitude
    assert mixed
    for material, grams in mixed.items():
        assert needed[material] == pytest.approx(grams, rel=1e-9)


def test_twice_the_area_takes_twice_the_material(casting, plan):
    """Mass balance: every need of a zone's layers grows in proportion."""
    plain = {"inserts": [], "seams": [], "waste": {"laminate": "50 %", "gel_coat": "80 %", "pour": "50 %"}}
    areas = [0.022, 0.022, 0.026, 0.018]

    def of(times):
        zones = [{**z, "area": f"{times * a} m^2"} for z, a in zip(casting.raw["zones"], areas, strict=True)]
        for z in zones:
            z.pop("measured", None)
        return casting.changed({**plain, "zones": zones}).plan()

    once, twice = of(1), of(2)
    masses = {n.material: n.mass.to("g").magnitude for n in once.needs if n["class"] != "release_agent"}
    for need in twice.needs:
        if need.material in masses and need["class"] != "release_agent":
            assert need.mass.to("g").magnitude == pytest.approx(2 * masses[need.material], rel=1e-6)


def test_the_careless_casting_is_stopped():
    plan = gw.Casting.load(DEMO / "moth_lantern_careless.toml").plan()
    assert plan.findings
    assert {f.severity for f in plan.findings} >= {"warning"}


def test_tables_become_frames(plan):
    needs = plan.needs.frame()
    assert "mass [g]" in needs.columns
    assert len(needs) == len(plan.needs)
    batches = plan.batches.frame()
    assert {"name", "recipe", "batch.mass [g]"} <= set(batches.columns)
    assert len(plan.findings.frame()) == len(plan.findings)


def test_a_plan_shows_itself(plan):
    assert "<table" in plan._repr_html_()
    assert plan.page().lstrip().lower().startswith("<!doctype html>")
    assert plan.batches[0].name in plan.sheet()


def test_a_plan_tells_why(plan):
    batch = plan.batches[0]
    assert str(plan.why(batch.name)).count("\n") >= 1
    with pytest.raises(gw.errors.UnknownNameError, match="is not in the plan"):
        plan.why("nothing of the sort")


def test_a_plan_travels_and_compares(casting, plan):
    assert pickle.loads(pickle.dumps(plan)) == plan
    assert copy.deepcopy(casting) == casting
    assert casting.plan() == plan
    assert repr(plan).count("\n") < 20


def test_a_finding_is_a_sentence():
    careless = gw.Casting.load(DEMO / "moth_lantern_careless.toml").plan()
    cold = next(f for f in careless.findings if f.quantity == "shop_temperature" and f.severity == "warning")
    said = str(cold).splitlines()
    assert said[0] == "warning: shop temperature, air in the shop: 11 degC (at least 15 degC, at most 30 degC)"
    assert said[1:3] == [f"  {cold.message}", f"  way out: {cold.way_out}"]
    slip = next(f for f in careless.findings if f.slip is not None)
    assert "a slip of ten?" in str(slip)
    kept = next(f for f in careless.kept if not f.set_aside)
    assert str(kept).startswith("kept: ")


def test_a_plan_says_what_it_holds(plan):
    shown = repr(plan)
    assert "cup 1, cup 2" in shown
    assert re.search(r"findings +\d+ Finding: \d+ warning, \d+ advice", shown)
    assert repr(plan.batches).count("\n") == len(plan.batches) + 2


def test_a_cup_tells_why_by_the_material():
    bench = gw.Bench(gw.Scale("0.1 g"))
    cup = gw.Recipe("white_gel_coat", mekp_9="2 wt% on resin").mix("60 g", bench=bench, at="20 degC")
    # 60 g = m + 0.02 m
    assert cup.why("mekp_9").value == f"{60 * 0.02 / 1.02:.4g} g"
    assert cup.why("mekp_9") == cup.batch.why("mekp_9") == cup.batch.why
    assert cup.why("white_gel_coat").value == f"{60 / 1.02:.4g} g"
    with pytest.raises(gw.errors.UnknownNameError, match="no part of this chain"):
        cup.why("chopped_strands_3")


def test_the_air_of_the_day_is_a_picture(plan):
    import matplotlib as mpl

    mpl.use("Agg")
    axes = plan.air.plot("styrene")
    told = next(e for e in plan.air.exposures if e.exposure.agent == "styrene")
    by_label = {line.get_label(): line for line in axes.lines}
    # the line of the 15 min mean has the answer's highest, within the picture's grid
    top = by_label["mean of the last 15 min"].get_ydata().max()
    assert top == pytest.approx(told.exposure.highest_15_min.m_as("ppm"), rel=0.03)
    # each limit within the picture stands at its level
    for limit in told.exposure.limits:
        level = limit.most.m_as("ppm")
        if level > axes.get_ylim()[1]:
            assert any("above the picture" in label for label in by_label)
            continue
        assert any(
            list(line.get_ydata()) == pytest.approx([level, level])
            for line in axes.lines
            if "--" in line.get_linestyle()
        )
    assert axes.get_xlabel() == "clock"
    with pytest.raises(ValueError, match="one vapour at a time"):
        plan.air.plot("styrene", "acetone")
    with pytest.raises(gw.errors.UnknownNameError, match="styrene"):
        plan.air.plot("styren")


def test_profiles_are_a_frame_and_a_picture(plan):
    import matplotlib as mpl

    mpl.use("Agg")
    wall = plan.zones[2].exotherm.wall.changed(profiles=20)
    run = wall.run()
    frame = run.profiles.frame()
    assert frame.shape == (len(run.profiles.time_s), len(run.profiles.depth_m))
    # what is laid later is not there yet; the hottest of what is kept is not hotter than the peak
    assert frame[2].iloc[0].isna().all()
    assert frame[0].notna().all().all()
    assert frame.max().max() <= run.peak.temperature.m_as("K") + 1e-9
    assert run.profiles.plot().get_xlabel() == "hours"
    with pytest.raises(ValueError, match="name no series"):
        run.profiles.plot("cure")


@pytest.mark.parametrize(
    ("changes", "error", "field"),
    [
        ({"version": 99}, gw.errors.VersionError, "version"),
        ({"shop.temperature": 17}, gw.errors.BareNumberError, "shop.temperature"),
        ({"shop.temperature": "17 g"}, gw.errors.WrongDimensionError, "shop.temperature"),
        ({"shop.temperature": "-300 degC"}, gw.errors.OutOfRangeError, "shop.temperature"),
        ({"shop.temperature": "17 centigrades"}, gw.errors.UnknownUnitError, "shop.temperature"),
        ({"shop.temperature": "warm"}, gw.errors.UnreadableError, "shop.temperature"),
        ({"zones[0].area": "NaN m^2"}, gw.errors.NotFiniteError, "zones[0].area"),
        ({"zones[0].area": "0 m^2"}, gw.errors.OutOfRangeError, "zones[0].area"),
        ({"zones[0].area": "-1 m^2"}, gw.errors.OutOfRangeError, "zones[0].area"),
        ({"zones[0].colour": "white"}, gw.errors.DocumentError, "zones[0]"),
        ({"recipes.body_laminate.resin": "theatre_resn"}, gw.errors.UnknownNameError, None),
        ({"recipes.body_laminate.parts[0].dose": "200 phr"}, gw.errors.OutOfRangeError, None),
        ({"recipes.body_laminate.parts[0].dose": "2 %"}, gw.errors.WrongDimensionError, None),
    ],
)
def test_bad_castings_are_refused(casting, changes, error, field):
    with pytest.raises(error) as caught:
        casting.changed(changes).plan()
    assert type(caught.value) is error
    if field is not None:
        assert caught.value.field == field
    assert caught.value.way_out or caught.value.allowed


def test_a_change_goes_where_there_is_something(casting):
    with pytest.raises(gw.errors.UnknownNameError, match="there is nothing there"):
        casting.changed({"zones[99].area": "1 m^2"})
    with pytest.raises(gw.errors.UnknownNameError, match="there is nothing there"):
        casting.changed({"shp.temperature": "21 degC"})
    assert casting.changed({"shop.temperature": "21 degC"}).raw["shop"]["temperature"] == "21 degC"
    assert casting.raw["shop"]["temperature"] == "17 degC"


def test_a_broken_document_is_refused():
    with pytest.raises(gw.errors.DocumentError, match="TOML parse error"):
        gw.Casting.from_toml("version = ")
