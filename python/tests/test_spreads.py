"""Spreads in what is given, and the band of what is answered."""

import math
import pickle

import pint
import pytest

import gelwright as gw
from gelwright import errors, units

FEW = {"points": 256, "seed": 3}


def dose(**changes):
    given = {"dose": "2 phr", "resin_volume": "1 L", "resin_density": "1.1 g/mL", "dose_density": "1.15 g/mL"}
    return gw.ResinDose(**{**given, **changes})


def measured(**changes):
    with gw.spread_sampling(**FEW):
        return dose(**changes).measure()


def relative(band, path):
    n = band.of(path)
    return (n.standard_uncertainty / n.value).to("").magnitude


def test_a_text_with_a_spread_gives_a_band():
    answer = measured(dose="2 +/- 0.1 wt% on resin", resin_volume="1 L +/- 3 %", resin_density="1.1 g/mL +/- 1 %")
    # JCGM 100:2008, 5.1.6: the squares of relative uncertainties add
    assert relative(answer.band, "mass.value") == pytest.approx(math.sqrt(35 / 3) / 100, rel=2e-3)
    drivers = answer.band.drivers("mass.value")
    assert list(drivers) == ["dose", "resin_volume", "resin_density"]
    assert drivers["dose"] == pytest.approx(25 / 35, rel=1e-6)
    assert sum(answer.band.drivers().values()) > 0.99
    frame = answer.band.frame()
    assert frame.loc["mass.value", "drivers"].startswith("dose 71 %")
    assert answer.mass.value.to("g").magnitude == pytest.approx(22)
    assert "dose = 2 +/- 0.1 phr" in repr(answer.band)
    assert "<pre>" in answer.band._repr_html_()
    assert "band" not in answer.keys()
    again = pickle.loads(pickle.dumps(answer))
    assert again == answer
    assert again.band == answer.band
    with pytest.raises(errors.UnknownNameError, match=r"mass\.value"):
        answer.band.drivers("mas.value")


def test_without_spreads_there_is_none():
    assert dose().measure().band is None
    assert measured().band.numbers == ()


def test_pint_and_uncertainties_objects_are_spreads():
    uncertainties = pytest.importorskip("uncertainties")
    ureg = units.registry()
    by_text = measured(resin_volume="1 L, u = 0.02 L").band
    for given in [
        ureg.Quantity(uncertainties.ufloat(1.0, 0.02), "liter"),
        ureg.Measurement(1.0, 0.02, "liter") if hasattr(ureg, "Measurement") else None,
    ]:
        if given is None:
            continue
        band = measured(resin_volume=given).band
        assert relative(band, "mass.value") == pytest.approx(relative(by_text, "mass.value"), rel=1e-9)
        assert relative(band, "mass.value") == pytest.approx(0.02, rel=5e-3)


def test_a_noun_with_a_spread_is_shown_and_given_on():
    made = dose(resin_volume="(1.0 ± 0.1) L")
    assert isinstance(made.resin_volume, units.Spread)
    assert "(1.0 ± 0.1) L" in repr(made)
    assert "±" in made._repr_html_()
    other = dose(resin_volume=made.resin_volume)
    assert other == made
    assert pickle.loads(pickle.dumps(made)) == made
    assert gw.Table([made, other]).frame().shape[0] == 2


def test_an_answer_that_is_no_noun_has_its_band_beside_it():
    with gw.spread_sampling(**FEW):
        found = gw.ask("mix.largest_batch", parts=[{"name": "resin", "left": "800 +/- 10 g", "on_resin": "100 phr"}])
        text = gw.ask("plan.first_casting")
    assert isinstance(found, gw.Noun)
    assert found.band.of("mass") is not None
    # A text: of a question that is asked for its band and takes no quantity, nothing moves.
    assert isinstance(text, gw.Banded)
    assert text.value == gw.ask("plan.first_casting")
    assert not text.band.numbers


@pytest.mark.parametrize(
    ("text", "spread"),
    [
        ("20 +/- 1 degC", True),
        ("(20 ± 1) degC", True),
        ("19 to 23 min", True),
        ("20 degC, u = 0.5 K", True),
        ("20 degC (U = 1 K, k = 2)", True),
        ("20 degC", False),
        ("a = b", False),
        ("menu = 3", False),
    ],
)
def test_a_spread_is_known_by_the_marks_that_the_library_reads(text, spread):
    assert units.is_spread(text) is spread


@pytest.mark.parametrize(
    ("changes", "kind", "field"),
    [
        ({"resin_volume": "1 L +/- 120 %"}, errors.OutOfRangeError, "resin_volume"),
        ({"resin_density": "1.1 +/- 1.2 g/mL"}, errors.OutOfRangeError, "resin_density"),
        ({"resin_density": "1.1 g/mL +/- 1 K"}, errors.WrongDimensionError, "resin_density"),
        ({"dose": "2 +/- 0.1 %"}, errors.WrongDimensionError, "dose"),
        ({"resin_volume": "1 +/- 0.1"}, errors.BareNumberError, "resin_volume"),
        ({"resin_volume": "1 L, U = 3 mL"}, errors.UnreadableError, "resin_volume"),
    ],
)
def test_what_a_spread_can_not_be(changes, kind, field):
    with pytest.raises(kind) as caught:
        dose(**changes)
    assert caught.value.field == field


@pytest.mark.parametrize("sampling", [{"points": 100}, {"points": 32}, {"scramblings": 1}, {"digits": 5}])
def test_a_sampling_that_can_not_be(sampling):
    (name,) = sampling
    with pytest.raises(errors.OutOfRangeError) as caught, gw.spread_sampling(**sampling):
        dose(resin_volume="1 L +/- 3 %").measure()
    assert caught.value.field == f"spread_sampling.{name}"


def test_no_points_is_first_order_alone():
    with gw.spread_sampling(points=0):
        band = dose(resin_volume="1 L +/- 3 %").measure().band
    assert (band.points, band.runs, band.settled) == (0, 3, None)
    assert band.of("mass.value").straightness == "seems_straight"


def test_a_casting_with_a_spread():
    text = """
version = 2
name = "panel"
[shop]
temperature = "20 +/- 1 degC"
humidity = "50 %"
start = "09:00"
bench = { scale = { readability = "0.01 g" }, thermometer = { readability = "1 K", error = "1 K" } }
[mould]
wall = "grp_mould"
thickness = "6 mm"
[recipes.wall]
resin = "ortho_polyester"
parts = [{ material = "mekp_9", dose = "1.5 phr, u = 2 %" }]
[[zones]]
name = "panel"
area = "0.1 m^2"
layers = [{ laminate = { recipe = "wall", plies = ["csm_450"], glass_content = "30 wt%" } }]
"""
    casting = gw.Casting.from_toml(text)
    assert str(casting.shop.temperature) == "20 +/- 1 degC"
    with gw.spread_sampling(points=0):
        plan = casting.plan()
        again = casting.measured().plan()
    assert set(plan.band.drivers()) == {"shop.temperature", "recipes.wall.parts[0].dose"}
    assert again.band == plan.band, "its own spread stays"
    read = casting.changed({"shop.temperature": "20 degC"}).measured()
    assert "u = 0.645" in str(read.shop.temperature)
    assert isinstance(casting.changed({"shop.temperature": "20 degC"}).shop.temperature, pint.Quantity)
