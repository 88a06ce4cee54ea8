"""What the library knows of reliability."""

# Made by the build from the tables of the Rust library: do not edit, do not commit.
# ruff: noqa

from __future__ import annotations

from .noun import Noun, plain, quantity
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .units import Quantity, QuantityInput
    from typing import Literal

__all__ = ['Proportion']


class Proportion(Noun):
    """A share of independent draws, with the interval of the probability behind it.

    Parameters
    ----------
    count : int
        Counted.
    of : int
        Of so many.
    share : quantity (probability)
        The share. For example "5 %".
    low : quantity (probability)
        Lower end of the interval. For example "5 %".
    high : quantity (probability)
        Upper end of the interval. For example "5 %".
    interval : {wilson, clopper_pearson, jeffreys}
        How the interval is made.
    """

    __slots__ = ()
    _noun = "Proportion"
    _shape = {"count": plain, "of": plain, "share": quantity, "low": quantity, "high": quantity, "interval": plain}
    count: int
    """Counted."""
    of: int
    """Of so many."""
    share: Quantity
    """The share."""
    low: Quantity
    """Lower end of the interval."""
    high: Quantity
    """Upper end of the interval."""
    interval: Literal["wilson", "clopper_pearson", "jeffreys"]
    """How the interval is made."""

    def __init__(self, count: int, of: int, share: QuantityInput, low: QuantityInput, high: QuantityInput, interval: Literal["wilson", "clopper_pearson", "jeffreys"]) -> None:
        super().__init__({"count": count, "of": of, "share": share, "low": low, "high": high, "interval": interval})
