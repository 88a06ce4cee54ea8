"""Between the library's unit-tagged text and ``pint`` quantities.

The library reads and writes a quantity as text with its unit ("450 g/m^2"). Here that text becomes a quantity
of pint's application registry, and a quantity object becomes such text. Ratios say of what they are: they come
as the dimensionless units ``weight_percent``, ``volume_percent``, ``parts_per_hundred_resin`` and
``volume_percent_on_resin``, which are added to the registry.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol, TypeAlias, cast, runtime_checkable

import pint
from pint.facets.plain import PlainQuantity

from .errors import BareNumberError, NotFiniteError, UnknownUnitError

Quantity: TypeAlias = "PlainQuantity[Any]"
"""A quantity of pint's application registry."""


@runtime_checkable
class HasUnit(Protocol):
    """An object with a magnitude that converts itself to another unit."""

    @property
    def magnitude(self) -> Any:
        """The number."""
        ...

    def to(self, other: Any, /) -> Any:
        """The same in another unit."""
        ...


QuantityInput: TypeAlias = "str | HasUnit | Spread"
"""What a quantity may be given as: text with its unit ("8 fl oz"), or a quantity object.

In either case with its spread or without: "20 +/- 1 degC", "19 to 23 min", "450 g/m^2, u = 5 %", a pint
``Measurement``, a pint quantity of an ``uncertainties`` number (their errors are standard deviations)."""

TextInput: TypeAlias = "str | HasUnit | Money"
"""What a text with a unit of its own kind (a dose, a price, a time of day) may be given as."""


# Names of units that only a ratio of a certain kind has: the text's, and the registry's with its size.
_RATIOS: dict[str, tuple[str, float]] = {
    "wt%": ("weight_percent", 0.01),
    "vol%": ("volume_percent", 0.01),
    "phr": ("parts_per_hundred_resin", 0.01),
    "vol% on resin": ("volume_percent_on_resin", 0.01),
}

# pint's names of units to the library's; anything else goes by way of base units.
_TEXT_OF: dict[str, str] = {
    "meter": "m",
    "decimeter": "dm",
    "centimeter": "cm",
    "millimeter": "mm",
    "micrometer": "um",
    "nanometer": "nm",
    "kilometer": "km",
    "inch": "in",
    "foot": "ft",
    "yard": "yd",
    "thou": "mil",
    "liter": "L",
    "milliliter": "mL",
    "fluid_ounce": "fl oz",
    "imperial_fluid_ounce": "imp fl oz",
    "gallon": "gal",
    "kilogram": "kg",
    "gram": "g",
    "milligram": "mg",
    "ounce": "oz",
    "pound": "lb",
    "second": "s",
    "minute": "min",
    "hour": "h",
    "day": "d",
    "newton": "N",
    "pascal": "Pa",
    "kilopascal": "kPa",
    "megapascal": "MPa",
    "gigapascal": "GPa",
    "joule": "J",
    "kilojoule": "kJ",
    "watt": "W",
    "mole": "mol",
    "kelvin": "K",
    "degree_Celsius": "degC",
    "degree_Fahrenheit": "degF",
    "delta_degree_Celsius": "delta_degC",
    "delta_degree_Fahrenheit": "delta_degF",
    "radian": "rad",
    "degree": "deg",
    "percent": "%",
    **{name: text for text, (name, _) in _RATIOS.items()},
}

_WRITTEN = frozenset(_TEXT_OF.values())

# For an object that is no pint quantity, the units to try: one per dimension the library knows.
_TRIED = (
    *("kg", "m", "s", "K", "mol", "m^2", "m^3", "kg/m^3", "kg/m^2", "kg/m", "Pa", "Pa*s", "N", "N/m", "J", "W"),
    *("m/s", "m^3/s", "m^3/kg", "1/s", "m^2/s", "J/kg", "J/(kg*K)", "W/(m*K)", "W/(m^2*K)", "W/m^2", "1/K"),
    *("J/mol", "kg/mol", "rad", "%"),
)


@dataclass(frozen=True)
class Money:
    """An amount of money in one currency."""

    amount: float
    currency: str

    @classmethod
    def read(cls, text: str) -> Money:
        """Read money as the library writes it ("12.50 EUR")."""
        return cls(*split(text))

    def __str__(self) -> str:
        return f"{self.amount:.2f} {self.currency}"


@dataclass(frozen=True)
class Spread:
    """A quantity with its spread, as it was given."""

    text: str

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return self.text


_STANDARD = re.compile(r"(?<!\w)[uU]\s*=")
"""A standard or an expanded uncertainty, "u =" or "U ="."""


def is_spread(text: str) -> bool:
    """Tell whether a text is a quantity with its spread: the marks that the library's own reader looks for."""
    return any(mark in text for mark in ("+/-", "±", " to ")) or _STANDARD.search(text) is not None


def split(text: str) -> tuple[float, str]:
    """Split "12.5 g/m^2" into 12.5 and "g/m^2"."""
    number, _, unit = text.partition(" ")
    return float(number), unit


def is_currency(unit: str) -> bool:
    """Tell whether what stands after a number is a currency, by its three letters."""
    return len(unit) == 3 and unit.isalpha() and unit.isupper()


def is_unit(unit: str) -> bool:
    """Tell whether what stands after a number is a unit as the library writes it."""
    return bool(unit) and all(p in _WRITTEN for p in re.split(r"[*/()^0-9-]+", unit) if p)


def registry() -> pint.UnitRegistry[Any]:
    """Give pint's application registry, with the units of ratios added to it."""
    found = cast("pint.UnitRegistry[Any]", pint.get_application_registry())
    for name, size in _RATIOS.values():
        if name not in found:
            found.define(f"{name} = {size}")
    return found


def given(text: str) -> Quantity | Spread:
    """Give the pint quantity of a text with its unit; of one with its spread what was given."""
    return Spread(text) if is_spread(text) else quantity(text)


def quantity(text: str) -> Quantity:
    """Give the pint quantity of a text with its unit, as the library writes it."""
    number, unit = split(text)
    if unit in _RATIOS:
        unit = _RATIOS[unit][0]
    elif unit == "%":
        unit = "percent"
    return cast("Quantity", registry().Quantity(number, unit))


def text(value: HasUnit, field: str) -> str | list[str]:
    """Give the text with its unit of a quantity object: what the library reads."""
    magnitude: Any = value.magnitude
    if getattr(magnitude, "ndim", 0) or isinstance(magnitude, list | tuple):
        parts = cast("list[HasUnit]", list(cast("Any", value)))
        return [cast("str", text(part, f"{field}[{i}]")) for i, part in enumerate(parts)]
    if not hasattr(value, "to_base_units"):
        return _foreign(value, field)
    quantity = cast("Any", value)
    found = _units(quantity)
    if found is None:
        quantity = quantity.to_base_units()
        found = _units(quantity)
    if found is None:
        raise _unwritten(value, field)
    return f"{_finite(quantity.magnitude, field)} {found}".rstrip()


def spread_text(value: HasUnit, field: str) -> str | list[str]:
    """Give the text of a quantity object with its uncertainty: what the library reads as a spread.

    The uncertainty of a pint ``Measurement`` and of an ``uncertainties`` number is a standard deviation: it is written
    as a standard uncertainty, "20.0 degC, u = 0.5 delta_degC" (JCGM 100:2008, 7.2.2). An object without one is
    written as by `text`.
    """
    number: Any = value.magnitude
    if getattr(number, "ndim", 0) or isinstance(number, list | tuple):
        parts = cast("list[HasUnit]", list(cast("Any", value)))
        return [cast("str", spread_text(part, f"{field}[{i}]")) for i, part in enumerate(parts)]
    if not hasattr(number, "nominal_value"):
        return text(value, field)
    if hasattr(value, "to_base_units"):
        quantity = cast("Any", value)
        if (unit := _units(quantity)) is None:
            quantity = quantity.to_base_units()
            unit = _units(quantity)
        if unit is None:
            raise _unwritten(value, field)
        number = quantity.magnitude
    else:
        number, unit = _converted(value, field)
    middle_text = f"{_finite(number.nominal_value, field)} {unit}".rstrip()
    deviation = _finite(number.std_dev, field)
    return f"{middle_text}, u = {deviation} {_SPREAD_UNIT.get(unit, unit)}".rstrip()


# The unit of a difference, where it is not that of the value.
_SPREAD_UNIT: dict[str, str] = {
    "degC": "delta_degC",
    "degF": "delta_degF",
    "%": "percentage points",
}


def _units(quantity: Any) -> str | None:
    parts: list[str] = []
    for name, power in cast("Iterable[tuple[str, float]]", quantity.unit_items()):
        written = _TEXT_OF.get(name)
        if written is None or int(power) != power or (power != 1 and " " in written):
            return None
        parts.append(written if power == 1 else f"{written}^{int(power)}")
    return "*".join(parts)


def _unwritten(value: HasUnit, field: str) -> UnknownUnitError:
    return UnknownUnitError(
        f"{field}: '{value}' has a unit that can not be written; give it as text with its unit",
        field,
        str(value),
        way_out="give it as text with its unit",
    )


def _foreign(value: HasUnit, field: str) -> str:
    number, unit = _converted(value, field)
    return f"{_finite(number, field)} {unit}"


def _converted(value: HasUnit, field: str) -> tuple[Any, str]:
    for unit in _TRIED:
        try:
            number = value.to(unit).magnitude
        except Exception:
            continue
        return number, unit
    raise BareNumberError(
        f"{field}: '{value}' converts to no unit of the library; give it as text with its unit",
        field,
        str(value),
        way_out="give it as text with its unit",
    )


def number_text(number: Any, field: str) -> str:
    """Give the text of an ``uncertainties`` number without a unit."""
    return f"{_finite(number.nominal_value, field)}, u = {_finite(number.std_dev, field)}"


def _finite(number: Any, field: str) -> str:
    plain = float(number)
    if not math.isfinite(plain):
        raise NotFiniteError(
            f"{field}: {plain} is not a finite number", field, str(plain), way_out="give a finite number"
        )
    return repr(plain)
