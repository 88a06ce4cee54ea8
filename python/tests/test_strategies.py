"""Hypothesis strategies from the library's tables: what they draw is valid, and shrinks to what a person reads."""

import pytest
from hypothesis import HealthCheck, find, given, settings
from hypothesis import strategies as st

import gelwright as gw
from gelwright import strategies

FEW = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@FEW
@given(strategies.rooms())
def test_rooms_are_rooms(room):
    assert room.volume.m_as("m^3") > 0
    assert room.near_field is None or room.near_field.volume.m_as("m^3") > 0
    assert gw.Room(**{k: v for k, v in room.raw.items() if v is not None}).air_changes == room.air_changes


@FEW
@given(strategies.recipes(), strategies.amounts(), strategies.benches())
def test_recipes_can_be_mixed(recipe, amount, bench):
    cup = recipe.mix(amount, bench, "20 degC")
    parts = sum(p.mass.m_as("g") for p in cup.batch.parts)
    assert parts == pytest.approx(cup.batch.mass.m_as("g"), rel=1e-12)
    assert not [f for f in cup.findings if f.severity == "stop" and f.quantity == "catalyst_dose"]


@settings(max_examples=5, deadline=None)
@given(strategies.castings(shop=strategies.cold_shops()))
def test_castings_can_be_laid_out(casting):
    assert 6 <= casting.shop.temperature.m_as("degC") <= 16
    assert casting.day_of_work().steps


@pytest.mark.parametrize("noun", ["Recipe", "Bench", "Pace", "CupTest", "GelTest", "RiskSpreads", "Room", "Waste"])
def test_what_the_tables_allow_is_read(noun):
    """All mistakes of a document are told by the library's own reader: of what is drawn it has none."""

    @FEW
    @given(strategies.documents(noun))
    def check(document):
        gw._core.check(noun, __import__("json").dumps(document))

    check()


def test_it_shrinks_to_what_a_workshop_writes():
    warm = strategies.quantities("20 degC", "6 degC", step=0.5)
    assert find(warm, lambda t: float(t.split()[0]) < 13.2) == "13 degC"
    assert find(warm, lambda _: True) == "20 degC"
    assert find(strategies.quantities("0.1 phr", "3 phr", step=0.1), lambda d: float(d.split()[0]) > 0.55) == "0.6 phr"
    assert find(strategies.quantities("50 cm^2", "0.2 m^2"), lambda a: float(a.split()[0]) >= 90) == "90 cm^2"
    room = find(strategies.rooms(), lambda r: r.volume.m_as("m^3") > 40)
    assert set(room.raw) == {"volume", "air_changes"}
    bench = find(strategies.nouns(gw.Bench), lambda b: b.dropper is not None)
    assert "syringe" not in bench.raw


def test_own_fields_and_wrong_names():
    shop = strategies.nouns(
        gw.Shop, temperature=strategies.quantities("12 degC", "12 degC"), bench=strategies.benches()
    )
    assert find(shop, lambda _: True).temperature.m_as("degC") == pytest.approx(12)
    with pytest.raises(gw.errors.UnknownNameError, match="did you mean 'Room'"):
        strategies.documents("Rom")
    with pytest.raises(gw.errors.UnknownNameError, match="did you mean 'volume'"):
        strategies.nouns(gw.Room, volum="3 m^3")
    with pytest.raises(ValueError, match="above zero"):
        strategies.quantities("1 g", "2 g", step=0)


@FEW
@given(st.data())
def test_the_same_recipes_as_rust(data):
    """The doses keep what `limit.allowed_doses` gives, as the Rust strategies do."""
    family = data.draw(st.sampled_from(["ortho_polyester", "gel_coat", "vinyl_ester", "epoxy"]))
    allowed = gw.ask("limit.allowed_doses", family=family)
    recipe = data.draw(strategies.recipes(family))
    ends = [a for a in allowed if (a["resin"], a["cure"]) == (recipe.resin, recipe.parts[0].material)]
    dose = float(recipe.raw["parts"][0]["dose"].split()[0])
    assert any(float(a["least"].split()[0]) <= dose <= float(a["most"].split()[0]) for a in ends)
