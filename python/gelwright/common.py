# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
"""Parts that answers of several subjects share."""

from __future__ import annotations

from typing import Literal, NotRequired, TypedDict

from .answer import Answer, Chain, Table, part, plain, quantity, rows
from .units import Quantity, QuantityInput

__all__ = [
    "BenchInput",
    "CalibrationInput",
    "DropperInput",
    "Estimate",
    "GelTime",
    "ScaleInput",
    "Source",
    "SourceInput",
    "SyringeInput",
    "ThermometerInput",
    "Why",
]


class CalibrationInput(TypedDict):
    """A dropper's calibration: so many drops weigh so much."""

    drops: int
    """How many drops were weighed together."""
    mass: QuantityInput
    """What they weighed."""
    density: QuantityInput
    """Density of what was dropped: the liquid that the dropper will be used with, not water."""
    readability: NotRequired[QuantityInput | None]
    """Display step of the scale it was weighed on; 0.1 g if not said."""
    drop_spread: NotRequired[QuantityInput | None]
    """Standard deviation of one drop over the mean drop, where it was measured; else the default of 10 %."""


class SourceInput(TypedDict):
    """Where a value, a limit or a model comes from."""

    author: NotRequired[str]
    """Author or issuing body."""
    title: str
    """Title; for common practice, what the practice is."""
    year: NotRequired[int | None]
    """Year of publication or measurement."""
    locator: NotRequired[str]
    """Table, page, section, equation."""
    standing: Literal[
        "invented", "from_memory", "common_practice", "derived", "published", "data_sheet", "measured_here"
    ]
    """How far it can be trusted."""


class DropperInput(TypedDict):
    """How a dropper is written in a document."""

    calibrated: NotRequired[bool | None]
    """`false` for a dropper that nobody has calibrated; then nothing else is given."""
    calibration: NotRequired[CalibrationInput | Answer | None]
    """The weighing of its drops."""
    drop_volume: NotRequired[QuantityInput | None]
    """Mean volume of a drop, where it is known otherwise."""
    drop_spread: NotRequired[QuantityInput | None]
    """Standard deviation of one drop over the mean drop; 10 % if not said."""
    mean_uncertainty: NotRequired[QuantityInput | None]
    """Relative standard uncertainty of the mean drop."""
    source: NotRequired[SourceInput | Answer | None]
    """Where the drop volume comes from."""


class ScaleInput(TypedDict):
    """A scale with a digital display and a tare."""

    readability: QuantityInput
    """The step of the display."""
    repeatability: NotRequired[QuantityInput | None]
    """Standard deviation of repeated readings of one load, where known; else the display's step alone
    counts.
    """


class SyringeInput(TypedDict):
    """A syringe or burette."""

    graduation: QuantityInput
    """One division."""
    tolerance: NotRequired[QuantityInput | None]
    """Largest error of its scale, relative, where known."""


class ThermometerInput(TypedDict):
    """A thermometer."""

    readability: QuantityInput
    """The step of its display or scale."""
    error: QuantityInput
    """Largest error of its calibration."""


class BenchInput(TypedDict):
    """What a shop measures with."""

    scale: ScaleInput | Answer
    """The scale."""
    dropper: NotRequired[DropperInput | Answer | None]
    """The dropper that drops of catalyst are counted from, where one is used."""
    syringe: NotRequired[SyringeInput | Answer | None]
    """The syringe or burette that small volumes are measured with."""
    cup_graduation: NotRequired[QuantityInput | None]
    """One division of the graduated cup."""
    thermometer: NotRequired[ThermometerInput | Answer | None]
    """The thermometer."""


class Estimate(Answer):
    """Answer: Estimate."""

    __slots__ = ()
    _fields = {
        "value": plain,
        "standard_uncertainty": plain,
        "low": plain,
        "high": plain,
    }
    value: str
    """The value, with its unit."""
    standard_uncertainty: str
    """One standard deviation, with its unit."""
    low: str
    """Lower end of the 95 % interval, with its unit."""
    high: str
    """Upper end of the 95 % interval, with its unit."""


class Source(Answer):
    """Where a value, a limit or a model comes from."""

    __slots__ = ()
    _fields = {
        "author": plain,
        "title": plain,
        "year": plain,
        "locator": plain,
        "standing": plain,
    }
    author: str | None
    """Author or issuing body."""
    title: str
    """Title; for common practice, what the practice is."""
    year: int | None
    """Year of publication or measurement."""
    locator: str | None
    """Table, page, section, equation."""
    standing: Literal[
        "invented", "from_memory", "common_practice", "derived", "published", "data_sheet", "measured_here"
    ]
    """How far it can be trusted."""


class Why(Chain):
    """The chain behind an answer: what it is, how it was computed, from what, on whose word."""

    __slots__ = ()
    _fields = {
        "what": plain,
        "value": plain,
        "equation": plain,
        "source": part("Source"),
        "note": plain,
        "from": rows("Why"),
    }
    _renamed = {"from_": "from"}
    what: str
    """What the number is ("catalyst for the gel coat")."""
    value: str
    """The number with its unit, as shown."""
    equation: str | None
    """The equation, in symbols that the parts explain."""
    source: Source | None
    """Where it comes from."""
    note: str | None
    """A remark (extrapolated, a default was taken, ...)."""
    from_: Table[Why] | None
    """What it was computed from."""


class GelTime(Answer):
    """A gel time with its band."""

    __slots__ = ()
    _fields = {
        "time": quantity,
        "low": quantity,
        "high": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    time: Quantity
    """Most likely time from mixing to gel."""
    low: Quantity
    """Lower end of the band (about 95 %): plan the working time with this one."""
    high: Quantity
    """Upper end of the band."""
    extrapolated: str | None
    """What lies outside which range, where something does."""
    why: Why
    """The chain behind it."""
