# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
"""Questions about quantity."""

from __future__ import annotations

from .answer import Answer, ask_as, named, plain

__all__ = [
    "Converted",
    "FactorTable",
    "convert",
    "factors",
]


class Converted(Answer):
    """A quantity in the unit wanted."""

    __slots__ = ()
    _fields = {
        "number": plain,
        "unit": plain,
        "dimension": plain,
    }
    number: float
    """The number in the unit wanted."""
    unit: str
    """The unit wanted."""
    dimension: str
    """What it measures."""


class FactorTable(Answer):
    """The factor of each unit name to the coherent SI unit."""

    __slots__ = ()
    _fields = {
        "factors": named(plain),
        "notes": named(plain),
    }
    factors: dict[str, float]
    """Unit name to factor (for a temperature scale: of its degree; for a ratio: of the plain number)."""
    notes: dict[str, str]
    """Whose measure it is, for a unit name that is another measure in another country ("pint")."""


def convert(
    *,
    quantity: str,
    to: str,
) -> Converted:
    """Reads a number with its unit and gives it in another unit of the same kind.

    # Errors As [`parse_number_and_unit`]; `NotFinite` where the number does not fit.

    Parameters
    ----------
    quantity : str
        A number with its unit, such as "8 fl oz".
    to : str
        The unit wanted, such as "mL".
    """
    return ask_as(
        "quantity.convert",
        {
            "quantity": quantity,
            "to": to,
        },
        Converted,
    )


def factors() -> FactorTable:
    """The factor of every unit name to the coherent SI unit."""
    return ask_as(
        "quantity.factors",
        {},
        FactorTable,
    )


ANSWERS: dict[str, type[Answer]] = {
    "quantity.convert": Converted,
    "quantity.factors": FactorTable,
}
"""The class of the answer to each question."""
