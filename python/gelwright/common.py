# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Parts that answers of several subjects share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NotRequired, TypeAlias, TypedDict

from .answer import Answer, Chain, Table, one_of, part, plain, quantity, rows
from .units import Quantity, QuantityInput

__all__ = [
    "BenchInput",
    "CalibrationInput",
    "CoatOpticsDrawDownDrawDownInput",
    "CoatOpticsDrawDownInput",
    "CoatOpticsInput",
    "CoatOpticsLayerInput",
    "CoatOpticsPigmentInput",
    "CoatOpticsPigmentPigmentInput",
    "CourseInput",
    "CoursePointInput",
    "CoursePointsInput",
    "CourseSteadyInput",
    "CureInput",
    "CureShrinkageInput",
    "DataSheetLinesInput",
    "DropperInput",
    "FaceConvectionInput",
    "FaceFluxInput",
    "FaceHeldInput",
    "FaceInput",
    "FaceInsulatedInput",
    "FaceStillAirInput",
    "FaceSymmetricInput",
    "FittedRange",
    "FittedRangeInput",
    "GelTime",
    "GlassTransition",
    "GlassTransitionInput",
    "Kinetics",
    "KineticsInput",
    "LayerInput",
    "PigmentInput",
    "RateConstant",
    "RateConstantInput",
    "RateLawAutocatalytic",
    "RateLawAutocatalyticInput",
    "RateLawFreeRadical",
    "RateLawFreeRadicalInput",
    "RateLawInput",
    "RateLawKamalSourour",
    "RateLawKamalSourourInput",
    "RateLawNthOrder",
    "RateLawNthOrderInput",
    "RateLawPiecewise",
    "RateLawPiecewiseInput",
    "ScaleInput",
    "Source",
    "SourceInput",
    "SurroundingsInput",
    "SyringeInput",
    "TestCupInput",
    "ThermalInput",
    "ThermometerInput",
    "Vitrification",
    "VitrificationInput",
    "WallInput",
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


class FittedRangeInput(TypedDict):
    """The temperatures a model was fitted over."""

    coldest: QuantityInput
    """Coldest."""
    hottest: QuantityInput
    """Hottest."""


GlassTransitionInput = TypedDict(
    "GlassTransitionInput",
    {
        "uncured": "QuantityInput",
        "cured": "QuantityInput",
        "lambda": "float",
    },
)
"""Glass transition temperature as a function of conversion (DiBenedetto)."""


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


class VitrificationInput(TypedDict):
    """Cure stops where the glass transition has climbed `above` the temperature of cure."""

    glass_transition: GlassTransitionInput | Answer
    """Glass transition against conversion."""
    above: QuantityInput
    """How far the glass transition climbs above the temperature of cure before reaction stops, 0 K to 50
    K.
    """


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


class CureShrinkageInput(TypedDict):
    """How much a resin shrinks from liquid to fully cured."""

    liquid_density: QuantityInput
    """Density of the liquid mix."""
    cured_density: QuantityInput
    """Density fully cured, at the same temperature."""
    filler_content: QuantityInput
    """Volume of fillers and glass, which do not shrink, in the liquid mix."""


class DataSheetLinesInput(TypedDict):
    """The lines of a data sheet on a room-temperature cure."""

    dose: QuantityInput
    """Catalyst of the test."""
    gel_time: QuantityInput
    """Mixing to gel."""
    gel_to_peak: QuantityInput
    """Gel to peak."""
    peak_temperature: QuantityInput
    """Peak temperature."""
    gel_conversion: NotRequired[QuantityInput | None]
    """Conversion at gel; 5 % where not given (from memory, for styrenated polyesters)."""
    heat_of_reaction: NotRequired[QuantityInput | None]
    """Heat of reaction, where the sheet has it; the peak is then a check."""
    gel_activation_energy: NotRequired[QuantityInput | None]
    """Apparent activation energy of the gel time, from the sheet's gel-time table."""
    dose_order: NotRequired[float | None]
    """Order of the gel time in the dose, from the sheet's gel-time table."""
    source: SourceInput | Answer
    """The sheet."""


class TestCupInput(TypedDict):
    """The cup of a data sheet, lumped: one temperature throughout, loss to the surroundings through its
    surface.
    """

    mass: QuantityInput
    """Mass of mix."""
    density: QuantityInput
    """Density of the mix."""
    heat_capacity: QuantityInput
    """Specific heat capacity of the mix."""
    heat_transfer: QuantityInput
    """Heat transfer from the mix to the surroundings, cup wall included: some 8 W/(m²·K) in still air
    (common practice, no source), several times that in a water bath.
    """
    surroundings: QuantityInput
    """Temperature of the surroundings, and of the mix at the start."""


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


class LayerInput(TypedDict):
    """A layer that scatters and absorbs diffuse light: the two coefficients of Kubelka and Munk."""

    scattering: QuantityInput
    """Scattering coefficient `S`."""
    absorption: QuantityInput
    """Absorption coefficient `K`."""


class CoatOpticsLayerInput(TypedDict):
    """The coefficients themselves."""

    layer: LayerInput | Answer


class CoatOpticsDrawDownDrawDownInput(TypedDict):
    """Part of a request."""

    thickness: QuantityInput
    """Dry thickness of the draw-down."""
    over_black: float
    """Reflectance over black, 0 to 1."""
    over_white: float
    """Reflectance over white, 0 to 1."""
    white: float
    """The white card's own reflectance, 0 to 1."""


class CoatOpticsDrawDownInput(TypedDict):
    """A draw-down over a black and a white card."""

    draw_down: CoatOpticsDrawDownDrawDownInput


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


class CoatOpticsPigmentPigmentInput(TypedDict):
    """Part of a request."""

    content: QuantityInput
    """Pigment as a mass fraction of the coat."""
    resin_density: QuantityInput
    """Density of the cured resin around it."""
    reflectance: NotRequired[float]
    """Reflectance of a thick block, 0 to 1: 0.95 for white, less for a tint. 0.95 unless given."""
    pigment: NotRequired[PigmentInput | Answer | None]
    """The pigment; rutile unless given."""


class CoatOpticsPigmentInput(TypedDict):
    """White pigment in resin."""

    pigment: CoatOpticsPigmentPigmentInput


CoatOpticsInput: TypeAlias = CoatOpticsLayerInput | CoatOpticsDrawDownInput | CoatOpticsPigmentInput
"""How a coat's optics are known."""


class CourseSteadyInput(TypedDict):
    """The same throughout."""

    steady: QuantityInput


class CoursePointInput(TypedDict):
    """A point of a [`Course`]."""

    at: QuantityInput
    """When."""
    temperature: QuantityInput
    """How warm."""


class CoursePointsInput(TypedDict):
    """Straight between points; it must cover the run."""

    points: Sequence[CoursePointInput | Answer]


CourseInput: TypeAlias = CourseSteadyInput | CoursePointsInput
"""A temperature over time."""


class CureInput(TypedDict):
    """How the reacting part of a layer cures."""

    kinetics: KineticsInput | Answer
    """Rate law, heat, seed."""
    resin_content: NotRequired[QuantityInput | None]
    """Resin mix in the layer by mass; the rest (glass, filler) does not react. 100 % where not given."""
    gel_at: QuantityInput
    """Conversion at gel."""
    demould_at: NotRequired[QuantityInput | None]
    """Conversion at which the layer may be demoulded."""


class ThermalInput(TypedDict):
    """How a material holds and conducts heat."""

    density: QuantityInput
    """Mass density, 0.5 kg/m³ (a gas) to 25 000 kg/m³."""
    specific_heat: QuantityInput
    """Specific heat capacity, 50 J/(kg K) to 10 000 J/(kg K)."""
    conductivity: QuantityInput
    """Thermal conductivity, 0.005 W/(m K) to 500 W/(m K)."""
    specific_heat_slope: NotRequired[QuantityInput | None]
    """Relative change of the specific heat per kelvin, within ±0.02 1/K."""
    conductivity_slope: NotRequired[QuantityInput | None]
    """Relative change of the conductivity per kelvin, within ±0.02 1/K."""
    reference: NotRequired[QuantityInput | None]
    """Where the values without slope hold; 25 °C where not given."""


class FaceSymmetricInput(TypedDict):
    """A plane of symmetry, or the centre of a cylinder or a sphere: no heat passes."""

    kind: Literal["symmetric"]


class FaceInsulatedInput(TypedDict):
    """Insulated: no heat passes."""

    kind: Literal["insulated"]


class FaceFluxInput(TypedDict):
    """A constant heat flux into the wall (a lamp); negative draws heat."""

    kind: Literal["flux"]
    heat_flux: QuantityInput
    """Within ±100 kW/m²."""


class FaceHeldInput(TypedDict):
    """Held at a temperature (a heated mould)."""

    kind: Literal["held"]
    temperature: CourseInput | Answer
    """Of the face."""


class FaceConvectionInput(TypedDict):
    """Convection with a given coefficient, and radiation where an emissivity is given."""

    kind: Literal["convection"]
    coefficient: QuantityInput
    """Heat transfer coefficient, 0.01 W/(m² K) to 1e6 W/(m² K)."""
    emissivity: NotRequired[float | None]
    """Emissivity of the face, 0 to 1; no radiation where not given."""
    temperature: CourseInput | Answer
    """Of the air (or the bath)."""


class SurroundingsInput(TypedDict):
    """Still air around a face: natural convection by correlations of the Nusselt with the Rayleigh number,
    and radiation to walls at the air's temperature.
    """

    stance: Literal["vertical", "level_up", "level_down", "lying_cylinder", "ball"]
    """How it stands."""
    size: QuantityInput
    """The length that the stance asks for, 1 mm to 10 m."""
    emissivity: float
    """Emissivity of the face, 0 to 1."""


class FaceStillAirInput(TypedDict):
    """Still air: natural convection and radiation, both from the face's temperature."""

    kind: Literal["still_air"]
    surroundings: SurroundingsInput | Answer
    """How the face stands in the air."""
    temperature: CourseInput | Answer
    """Of the air and of the walls of the room."""


FaceInput: TypeAlias = (
    FaceSymmetricInput | FaceInsulatedInput | FaceFluxInput | FaceHeldInput | FaceConvectionInput | FaceStillAirInput
)
"""A face of a wall."""


class WallInput(TypedDict):
    """Layers between two faces, over a time."""

    form: NotRequired[Literal["mat", "woven_roving", "cloth", "stitched", "veil", "unidirectional", "chop"]]
    """Plane, cylinder or sphere."""
    first_radius: NotRequired[QuantityInput | None]
    """Radius of the first face; needed unless plane."""
    grows: NotRequired[Literal["outward", "inward"]]
    """Whether layers are laid outward or inward of the first face; inward where not given."""
    layers: Sequence[LayerInput | Answer]
    """From the first face to the last, in the order they are laid."""
    first_face: FaceInput | Answer
    """The face before the first layer."""
    last_face: FaceInput | Answer
    """The face after the last layer that is laid so far."""
    duration: QuantityInput
    """How long to follow it, from time zero."""
    stop_when_cooling: NotRequired[bool]
    """Stop once all layers have gelled (and reached their demould criterion) and everything cools."""
    stop_when_below: NotRequired[QuantityInput | None]
    """Stop once all layers have gelled (and reached their demould criterion) and everything is cooler than
    this.
    """
    time_above: NotRequired[QuantityInput | None]
    """Count the time that each layer spends above this."""
    profiles: NotRequired[int]
    """Number of evenly spaced times at which temperature and conversion are kept over depth, 100 000 and,
    times the number of cells, four million at most; none where 0.
    """
    peak_within: NotRequired[QuantityInput | None]
    """Largest error of the peak from the size of the cells and of the steps; 0.5 K where not given."""
    most_cells: NotRequired[int | None]
    """Most cells to refine to; 800 where not given."""


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


class FittedRange(Answer):
    """The temperatures a model was fitted over."""

    __slots__ = ()
    _fields = {
        "coldest": quantity,
        "hottest": quantity,
    }
    coldest: Quantity
    """Coldest."""
    hottest: Quantity
    """Hottest."""


class GlassTransition(Answer):
    """Glass transition temperature as a function of conversion (DiBenedetto)."""

    __slots__ = ()
    _fields = {
        "uncured": quantity,
        "cured": quantity,
        "lambda": plain,
    }
    _renamed = {"lambda_": "lambda"}
    uncured: Quantity
    """Of the uncured mix."""
    cured: Quantity
    """At full conversion."""
    lambda_: float
    """Ratio of the heat-capacity steps at the glass transition, cured over uncured; above 0, at most 1 (1
    is a straight line).
    """


class RateConstant(Answer):
    """A rate constant `k(T) = factor exp(-E/R (1/T - 1/T_at))`; without `at` the factor is the pre-
    exponential one.
    """

    __slots__ = ()
    _fields = {
        "factor": quantity,
        "activation_energy": quantity,
        "at": quantity,
    }
    factor: Quantity
    """Pre-exponential factor, or the constant's value at the temperature `at`."""
    activation_energy: Quantity
    """Activation energy, 0 kJ/mol to 500 kJ/mol."""
    at: Quantity | None
    """Temperature at which the constant equals `factor`."""


class RateLawNthOrder(Answer):
    """`k u^n`."""

    __slots__ = ()
    _fields = {
        "model": plain,
        "k": part("RateConstant"),
        "n": plain,
    }
    model: Literal["nth_order"]
    k: RateConstant
    """Rate constant."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawAutocatalytic(Answer):
    """`k a^m u^n`."""

    __slots__ = ()
    _fields = {
        "model": plain,
        "k": part("RateConstant"),
        "m": plain,
        "n": plain,
    }
    model: Literal["autocatalytic"]
    k: RateConstant
    """Rate constant."""
    m: float
    """Order in what has reacted, above 0, at most 5."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawKamalSourour(Answer):
    """`(k1 + k2 a^m) u^n`."""

    __slots__ = ()
    _fields = {
        "model": plain,
        "k1": part("RateConstant"),
        "k2": part("RateConstant"),
        "m": plain,
        "n": plain,
    }
    model: Literal["kamal_sourour"]
    k1: RateConstant
    """Constant of the uncatalysed path."""
    k2: RateConstant
    """Constant of the path catalysed by what has reacted."""
    m: float
    """Order in what has reacted, above 0, at most 5."""
    n: float
    """Order in what is left, above 0, at most 5."""


class RateLawPiecewise(Answer):
    """Two branches with a switch."""

    __slots__ = ()
    _fields = {
        "model": plain,
        "k1": part("RateConstant"),
        "k2": part("RateConstant"),
        "k3": part("RateConstant"),
        "b": plain,
        "switch": quantity,
    }
    model: Literal["piecewise"]
    k1: RateConstant
    """First constant below the switch."""
    k2: RateConstant
    """Second constant below the switch; its factor may be negative."""
    k3: RateConstant
    """Constant above the switch."""
    b: float
    """`b`, above the switch."""
    switch: Quantity
    """Conversion at which the law changes."""


class RateLawFreeRadical(Answer):
    """Peroxide, promoter, inhibitor."""

    __slots__ = ()
    _fields = {
        "model": plain,
        "decomposition": part("RateConstant"),
        "thermal_decomposition": part("RateConstant"),
        "propagation": part("RateConstant"),
        "dose": quantity,
        "inhibitor": quantity,
        "promoter": quantity,
        "reference_promoter": quantity,
        "promoter_order": plain,
        "radicals": plain,
    }
    model: Literal["free_radical"]
    decomposition: RateConstant
    """Decomposition of the initiator by the promoter, at the reference promoter dose."""
    thermal_decomposition: RateConstant | None
    """Decomposition by heat alone, where it matters."""
    propagation: RateConstant
    """Propagation at 1 phr of catalyst spent."""
    dose: Quantity
    """Catalyst in the mix, `d`."""
    inhibitor: Quantity
    """Inhibitor, as the dose of this catalyst that it uses up, `z`."""
    promoter: Quantity
    """Promoter in the mix, `p`."""
    reference_promoter: Quantity
    """Promoter at which `decomposition` holds, `p0`."""
    promoter_order: float
    """Order of the decomposition in the promoter, `s`, 0 to 2."""
    radicals: Literal["trapped", "steady"] | None
    """What becomes of the radicals."""


class Vitrification(Answer):
    """Cure stops where the glass transition has climbed `above` the temperature of cure."""

    __slots__ = ()
    _fields = {
        "glass_transition": part("GlassTransition"),
        "above": quantity,
    }
    glass_transition: GlassTransition
    """Glass transition against conversion."""
    above: Quantity
    """How far the glass transition climbs above the temperature of cure before reaction stops, 0 K to 50
    K.
    """


class Kinetics(Answer):
    """How a resin cures: rate law, heat, seed, vitrification, range and source."""

    __slots__ = ()
    _fields = {
        "law": one_of(
            {
                "nth_order": part("RateLawNthOrder"),
                "autocatalytic": part("RateLawAutocatalytic"),
                "kamal_sourour": part("RateLawKamalSourour"),
                "piecewise": part("RateLawPiecewise"),
                "free_radical": part("RateLawFreeRadical"),
            }
        ),
        "heat_of_reaction": quantity,
        "seed": quantity,
        "vitrification": part("Vitrification"),
        "fitted": part("FittedRange"),
        "source": part("Source"),
    }
    law: RateLawNthOrder | RateLawAutocatalytic | RateLawKamalSourour | RateLawPiecewise | RateLawFreeRadical
    """The rate law."""
    heat_of_reaction: Quantity
    """Heat set free from conversion 0 to 1, per mass of resin mix without fillers."""
    seed: Quantity
    """Conversion at the start. It moves the peak of an autocatalytic law, so it is given, not hidden."""
    vitrification: Vitrification | None
    """Where cure stops for want of mobility; without it cure goes to 1."""
    fitted: FittedRange | None
    """Temperatures it was fitted over, where known."""
    source: Source
    """Where it comes from."""
