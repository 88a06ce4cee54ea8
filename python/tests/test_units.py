"""Units: the library's table against pint's, and quantities across the boundary in both directions."""

import math

import numpy as np
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

import gelwright as gw
from gelwright import units

# The library's names as pint writes them, where it has another name for the same unit.
PINT_NAME = {
    "imp fl oz": "imperial_fluid_ounce",
    "imp gal": "imperial_gallon",
    "imp pt": "imperial_pint",
    "imp pint": "imperial_pint",
    "imp qt": "imperial_quart",
    "fl oz": "US_fluid_ounce",
    "gal": "US_liquid_gallon",
    "qt": "US_liquid_quart",
    "pt": "US_pint",
    "cup": "US_liquid_cup",
    "tbsp": "tablespoon",
    "tsp": "teaspoon",
    "mil": "thou",
    "micron": "micrometer",
    "sq ft": "foot**2",
    "sq in": "inch**2",
    "sq yd": "yard**2",
    "gsm": "gram/meter**2",
    "kgf": "kilogram_force",
    "lbf": "pound_force",
    "ksi": "kilopsi",
    "P": "poise",
    "cP": "centipoise",
    "Btu": "Btu_it",
    "BTU": "Btu_it",
    "cal": "calorie",
    "kcal": "kilocalorie",
    "t": "tonne",
    "degR": "degree_Rankine",
    "week": "week",
    "Hz": "1/second",
}
CHECKED = [
    *("m", "dm", "cm", "mm", "um", "nm", "km", "in", "ft", "yd", "mil", "micron"),
    *("L", "dL", "cL", "mL", "uL", "cc", "fl oz", "imp fl oz", "gal", "imp gal", "qt", "pt", "imp pt", "cup"),
    *("imp pint", "imp qt", "tbsp"),
    *("tsp", "sq ft", "sq in", "sq yd", "gsm", "kg", "g", "mg", "t", "oz", "lb", "s", "min", "h", "d", "week", "Hz"),
    *("N", "kN", "mN", "lbf", "kgf", "dyn", "Pa", "hPa", "mbar", "kPa", "MPa", "GPa", "bar", "psi", "ksi", "atm"),
    *("mmHg", "P", "cP", "J", "kJ", "MJ", "cal", "kcal", "BTU", "kWh", "W", "kW", "mol", "K", "degR", "rad", "deg"),
]


@pytest.fixture(scope="module")
def factors():
    return gw.quantity.factors().factors


@pytest.fixture(scope="module")
def ureg():
    return pint.UnitRegistry()


@pytest.mark.parametrize("name", CHECKED)
def test_factor_agrees_with_pint(name, factors, ureg):
    """Source: pint's own registry, an independent table of the same definitions."""
    theirs = ureg.Quantity(1.0, PINT_NAME.get(name, name)).to_base_units().magnitude
    rtol = 1e-12
    # pint's base unit of mass is the kilogram here (default system "mks")
    assert factors[name] == pytest.approx(theirs, rel=rtol)


def test_a_measure_of_two_countries_says_whose_it_is():
    """Source: the names themselves; the sizes are checked against pint above."""
    notes = gw.quantity.factors().notes
    assert all(notes[name].startswith("US ") for name in ("fl oz", "gal", "qt", "pint", "cup", "tbsp", "tsp"))
    assert all(notes[name].startswith("imperial ") for name in ("imp fl oz", "imp gal", "imp qt", "imp pint"))


@pytest.mark.parametrize(
    ("given", "to", "expected"),
    [
        (lambda u: u.Quantity(8.0, "floz"), "mL", 8 * 29.5735295625),
        (lambda u: u.Quantity(450.0, "g/m^2"), "g/m^2", 450.0),
        (lambda u: u.Quantity(1.5, "oz/ft^2"), "g/m^2", 1.5 * 28.349523125 / 0.09290304),
        (lambda u: u.Quantity(18.0, "degC"), "K", 291.15),
        (lambda u: u.Quantity(64.4, "degF"), "degC", 18.0),
        (lambda u: u.Quantity(20.0, "thou"), "mm", 0.508),
        (lambda u: u.Quantity(0.18, "W/(m*K)"), "W/(m*K)", 0.18),
        (lambda u: u.Quantity(1.0, "furlong"), "m", 201.168),
        (lambda u: u.Quantity(3.0, "mile/hour"), "m/s", 1.34112),
    ],
)
def test_a_pint_quantity_is_read_as_what_it_is(given, to, expected):
    """Source: the definitions of NIST SP 811; the US survey furlong differs by 2e-6."""
    text = units.text(given(units.registry()), "x")
    assert gw.quantity.convert(text, to).number == pytest.approx(expected, rel=3e-6)


def test_a_temperature_interval_does_not_pass_for_a_point():
    delta = units.registry().Quantity(10.0, "delta_degC")
    assert units.text(delta, "x") == "10.0 delta_degC"
    with pytest.raises(gw.errors.WrongDimensionError):
        gw.quantity.convert(quantity=units.text(delta, "x"), to="degC")


class Foreign:
    """A quantity of some other library: converts itself, says its magnitude, and no more."""

    def __init__(self, metres):
        self.metres = metres

    @property
    def magnitude(self):
        return self.metres

    def to(self, unit):
        if unit != "m":
            raise ValueError(unit)
        return self


def test_any_object_that_converts_itself_is_read():
    assert units.text(Foreign(0.25), "x") == "0.25 m"

    class Nothing(Foreign):
        def to(self, unit):
            raise ValueError(unit)

    with pytest.raises(gw.errors.BareNumberError):
        units.text(Nothing(1.0), "x")


@given(st.floats(1e-9, 1e9), st.sampled_from(["mm", "g", "mL", "kg/m^3", "g/m^2", "Pa*s", "W/(m*K)", "J/kg", "1/K"]))
def test_text_to_pint_and_back_changes_nothing(number, unit):
    quantity = units.quantity(f"{number!r} {unit}")
    back = gw.quantity.convert(quantity=units.text(quantity, "x"), to=unit).number
    assert math.isclose(back, number, rel_tol=1e-14)


@pytest.mark.parametrize(
    ("text", "plain"), [("2 wt%", 0.02), ("18 vol%", 0.18), ("2 phr", 0.02), ("2 vol% on resin", 0.02), ("65 %", 0.65)]
)
def test_ratios_come_as_dimensionless_units_that_say_of_what(text, plain):
    quantity = units.quantity(text)
    assert quantity.to("").magnitude == pytest.approx(plain, rel=1e-15)
    number, unit = units.split(text)
    assert units.text(quantity, "x") == f"{number!r} {unit}"


def test_a_quantity_belongs_to_the_application_registry():
    assert units.quantity("2 mm") + pint.get_application_registry().Quantity(1.0, "cm") == units.quantity("12 mm")


def test_quantities_that_are_not_finite_are_refused():
    with pytest.raises(gw.errors.NotFiniteError) as caught:
        units.text(units.registry().Quantity(float("nan"), "mm"), "thickness")
    assert caught.value.field == "thickness"


def test_an_array_quantity_is_given_as_a_list():
    assert units.text(units.registry().Quantity(np.array([1.0, 2.5]), "mm"), "x") == ["1.0 mm", "2.5 mm"]


class Uncertain:
    """A number with its uncertainty, as the package uncertainties has it."""

    def __init__(self, nominal_value, std_dev):
        self.nominal_value, self.std_dev = nominal_value, std_dev


@pytest.mark.parametrize(
    ("value", "unit", "error", "text", "quantity", "standard_uncertainty"),
    [
        (20.0, "degC", 0.5, "20.0 degC, u = 0.5 delta_degC", "temperature", "0.5 K"),
        (68.0, "degF", 0.9, "68.0 degF, u = 0.9 delta_degF", "temperature", "0.5 K"),
        (450.0, "g/m**2", 5.0, "450.0 g*m^-2, u = 5.0 g*m^-2", "areal mass", "5 g/m^2"),
        (65.0, "percent", 2.0, "65.0 %, u = 2.0 percentage points", "relative humidity", "2 %"),
        (2.0, "stone", 0.1, None, "mass", "635.029318 g"),
    ],
)
def test_an_uncertainty_is_written_as_a_standard_uncertainty(value, unit, error, text, quantity, standard_uncertainty):
    # pint: a Measurement's error is a standard deviation (that of its uncertainties number)
    uncertainties = pytest.importorskip("uncertainties")
    given = units.registry().Quantity(uncertainties.ufloat(value, error), unit)
    written = units.spread_text(given, "x")
    assert text in (None, written)
    read = gw.quantity.spread(text=written, quantity=quantity)
    assert read.distribution == "normal"
    expected = units.quantity(standard_uncertainty)
    assert read.standard_uncertainty.to(expected.units).magnitude == pytest.approx(expected.magnitude, rel=1e-12)


def test_a_spread_of_another_library_is_written_too():
    assert units.spread_text(Foreign(Uncertain(1.2, 0.1)), "x") == "1.2 m, u = 0.1 m"
    assert units.spread_text(Foreign(1.2), "x") == "1.2 m"
    with pytest.raises(gw.errors.NotFiniteError):
        units.spread_text(Foreign(Uncertain(1.2, math.inf)), "x")
