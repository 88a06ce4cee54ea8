# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Parts that answers of several subjects share."""

from __future__ import annotations

from typing import Literal, NotRequired, TypeAlias, TypedDict

from .answer import Answer, Chain, Table, part, plain, quantity, rows
from .units import Quantity, QuantityInput

__all__ = [
    "BenchInput",
    "CalibrationInput",
    "DropperInput",
    "Estimate",
    "FittedRangeInput",
    "GelTime",
    "GlassTransitionInput",
    "KineticsInput",
    "PigmentInput",
    "RateConstantInput",
    "RateLawAutocatalyticInput",
    "RateLawFreeRadicalInput",
    "RateLawInput",
    "RateLawKamalSourourInput",
    "RateLawNthOrderInput",
    "RateLawPiecewiseInput",
    "ScaleInput",
    "Source",
    "SourceInput",
    "SyringeInput",
    "ThermometerInput",
    "VitrificationInput",
    "Why",
    "YieldLawInput",
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


class RateConstantInput(TypedDict):
    """A rate constant `k(T) = factor exp(-E/R (1/T - 1/T_at))`; without `at` the factor is the pre-
    exponential one.
    """

    factor: QuantityInput
    """Pre-exponential factor, or the constant's value at the temperature `at`."""
    activation_energy: QuantityInput
    """Activation energy, 0 kJ/mol to 500 kJ/mol."""
    at: NotRequired[QuantityInput | None]
    """Temperature at which the constant equals `factor`."""


class RateLawNthOrderInput(TypedDict):
    """`k u^n`."""

    model: Literal["nth_order"]
    k: RateConstantInput | Answer
    """Rate constant."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawAutocatalyticInput(TypedDict):
    """`k a^m u^n`."""

    model: Literal["autocatalytic"]
    k: RateConstantInput | Answer
    """Rate constant."""
    m: float
    """Order in what has reacted, above 0, at most 5."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawKamalSourourInput(TypedDict):
    """`(k1 + k2 a^m) u^n`."""

    model: Literal["kamal_sourour"]
    k1: RateConstantInput | Answer
    """Constant of the uncatalysed path."""
    k2: RateConstantInput | Answer
    """Constant of the path catalysed by what has reacted."""
    m: float
    """Order in what has reacted, above 0, at most 5."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawPiecewiseInput(TypedDict):
    """Two branches with a switch."""

    model: Literal["piecewise"]
    k1: RateConstantInput | Answer
    """First constant below the switch."""
    k2: RateConstantInput | Answer
    """Second constant below the switch; its factor may be negative."""
    k3: RateConstantInput | Answer
    """Constant above the switch."""
    b: float
    """`b`, above the switch."""
    switch: QuantityInput
    """Conversion at which the law changes."""


class RateLawFreeRadicalInput(TypedDict):
    """Peroxide, promoter, inhibitor."""

    model: Literal["free_radical"]
    decomposition: RateConstantInput | Answer
    """Decomposition of the initiator by the promoter, at the reference promoter dose."""
    thermal_decomposition: NotRequired[RateConstantInput | Answer | None]
    """Decomposition by heat alone, where it matters."""
    propagation: RateConstantInput | Answer
    """Propagation at 1 phr of catalyst spent."""
    dose: QuantityInput
    """Catalyst in the mix, `d`."""
    inhibitor: QuantityInput
    """Inhibitor, as the dose of this catalyst that it uses up, `z`."""
    promoter: QuantityInput
    """Promoter in the mix, `p`."""
    reference_promoter: QuantityInput
    """Promoter at which `decomposition` holds, `p0`."""
    promoter_order: float
    """Order of the decomposition in the promoter, `s`, 0 to 2."""
    radicals: NotRequired[Literal["trapped", "steady"]]
    """What becomes of the radicals."""


RateLawInput: TypeAlias = (
    RateLawNthOrderInput
    | RateLawAutocatalyticInput
    | RateLawKamalSourourInput
    | RateLawPiecewiseInput
    | RateLawFreeRadicalInput
)
"""A rate law (see the [module](self) for the equations)."""


GlassTransitionInput = TypedDict(
    "GlassTransitionInput",
    {
        "uncured": "QuantityInput",
        "cured": "QuantityInput",
        "lambda": "float",
    },
)
"""Glass transition temperature as a function of conversion (DiBenedetto)."""


class VitrificationInput(TypedDict):
    """Cure stops where the glass transition has climbed `above` the temperature of cure."""

    glass_transition: GlassTransitionInput | Answer
    """Glass transition against conversion."""
    above: QuantityInput
    """How far the glass transition climbs above the temperature of cure before reaction stops, 0 K to 50
    K.
    """


class FittedRangeInput(TypedDict):
    """The temperatures a model was fitted over."""

    coldest: QuantityInput
    """Coldest."""
    hottest: QuantityInput
    """Hottest."""


class KineticsInput(TypedDict):
    """How a resin cures: rate law, heat, seed, vitrification, range and source."""

    law: RateLawInput | Answer
    """The rate law."""
    heat_of_reaction: QuantityInput
    """Heat set free from conversion 0 to 1, per mass of resin mix without fillers."""
    seed: QuantityInput
    """Conversion at the start. It moves the peak of an autocatalytic law, so it is given, not hidden."""
    vitrification: NotRequired[VitrificationInput | Answer | None]
    """Where cure stops for want of mobility; without it cure goes to 1."""
    fitted: NotRequired[FittedRangeInput | Answer | None]
    """Temperatures it was fitted over, where known."""
    source: SourceInput | Answer
    """Where it comes from."""


class YieldLawInput(TypedDict):
    """Yield stress against silica: `tau_y = tau_r (w/w_r)^n`, with `w` the silica as a mass fraction of
    the paste.
    """

    silica: QuantityInput
    """Silica of the reference, as a mass fraction of the paste."""
    yield_stress: QuantityInput
    """Yield stress of the reference."""
    exponent: float
    """Exponent `n`."""
    fitted_from: QuantityInput
    """Lower end of the fitted range of silica."""
    fitted_to: QuantityInput
    """Upper end of the fitted range of silica."""
    within_factor: float
    """The true value lies within this factor of the answer, either way, as far as is known."""
    source: SourceInput | Answer
    """Where it comes from."""


class PigmentInput(TypedDict):
    """A white pigment in a coat: `S = s phi [1 - (phi/phi_c)^(1/3)]` with the pigment's volume fraction
    `phi`. The bracket is the loss by crowding: neighbours nearer than about their own size scatter
    less.
    """

    scattering: QuantityInput
    """Scattering of single grains per volume fraction, `s`."""
    crowding: float
    """Volume fraction at which crowding would end all scattering, `phi_c`."""
    density: QuantityInput
    """Density."""


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


class Estimate(Answer):
    """Answer: Estimate."""

    __slots__ = ()
    _fields = {
        "value": quantity,
        "standard_uncertainty": quantity,
        "low": quantity,
        "high": quantity,
    }
    value: Quantity
    """The value, with its unit."""
    standard_uncertainty: Quantity
    """One standard deviation, with its unit."""
    low: Quantity
    """Lower end of the 95 % interval, with its unit."""
    high: Quantity
    """Upper end of the 95 % interval, with its unit."""


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
