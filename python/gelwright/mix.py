# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about mix."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NotRequired, TypedDict

from .answer import Answer, Table, ask_as, money, part, plain, quantity, rows, several
from .common import BenchInput, CalibrationInput, DropperInput, Source, SourceInput, Why
from .units import Money, Quantity, QuantityInput

__all__ = [
    "ActiveOxygenAnswer",
    "Calibration",
    "CatalystWithFillerAnswer",
    "ComponentInput",
    "Constants",
    "ConstantsInput",
    "Contribution",
    "CupInput",
    "DoseAnswer",
    "DoseUncertaintyAnswer",
    "Dosed",
    "Drawn",
    "Drop",
    "Dropper",
    "DropperAnswer",
    "EntrainedAirAnswer",
    "EpoxyAnswer",
    "EquivalentDose",
    "Estimate",
    "FilledMix",
    "Foaming",
    "LargestBatch",
    "LeftInput",
    "LiquidDensityInput",
    "LoadingVerdict",
    "MixingOrderAnswer",
    "OffsetWindow",
    "OffsetWindowInput",
    "PackingAnswer",
    "PeroxideProductInput",
    "PigmentLoading",
    "PolyolPartInput",
    "PolyurethaneAnswer",
    "Rescue",
    "Share",
    "SheetCheck",
    "SidePartInput",
    "SmallestBatch",
    "SmallestBatchAnswer",
    "WetOutAnswer",
    "active_oxygen",
    "catalyst_with_filler",
    "dose",
    "dose_uncertainty",
    "drop_mass",
    "dropper_from_calibration",
    "entrained_air",
    "epoxy_ratio",
    "filled_density",
    "filler_packing",
    "largest_batch",
    "mixing_order",
    "peroxide_equivalent",
    "pigment_loading",
    "polyurethane_ratio",
    "rescue",
    "smallest_batch",
    "wet_out",
]


class Estimate(Answer):
    """A value with its standard uncertainty and the interval that holds it with a probability of 95 %."""

    __slots__ = ()
    _fields = {
        "value": quantity,
        "standard_uncertainty": quantity,
        "low": quantity,
        "high": quantity,
    }
    value: Quantity
    """The value."""
    standard_uncertainty: Quantity
    """One standard deviation."""
    low: Quantity
    """Lower end of the 95 % interval."""
    high: Quantity
    """Upper end of the 95 % interval."""


class DoseAnswer(Answer):
    """A dose on every basis."""

    __slots__ = ()
    _fields = {
        "resin_mass": quantity,
        "mass": part("Estimate"),
        "volume": quantity,
        "drops": plain,
        "by_mass": quantity,
        "by_volume": quantity,
        "volume_per_mass": quantity,
        "finding": plain,
        "why": part("Why"),
        "cautions": several(plain),
    }
    resin_mass: Quantity
    """Resin by mass."""
    mass: Estimate
    """Mass of what is dosed; for a dose in drops with the dropper's uncertainty."""
    volume: Quantity
    """Its volume."""
    drops: float | None
    """Drops, where a dropper is given; to be rounded."""
    by_mass: Quantity
    """By mass on resin."""
    by_volume: Quantity
    """By volume on resin."""
    volume_per_mass: Quantity
    """By volume on mass of resin."""
    finding: str | None
    """What stands out: outside the window, and what was probably meant."""
    why: Why
    """The chain behind it."""
    cautions: tuple[str, ...]
    """Cautions."""


class OffsetWindow(Answer):
    """How far from the exact ratio a mix may be, as amine hydrogens to epoxide groups."""

    __slots__ = ()
    _fields = {
        "low": quantity,
        "high": quantity,
        "source": part("Source"),
    }
    low: Quantity
    """Lowest ratio of amine hydrogens to epoxide groups."""
    high: Quantity
    """Highest."""
    source: Source
    """Where it comes from."""


class SheetCheck(Answer):
    """A data sheet's ratio against the stoichiometry."""

    __slots__ = ()
    _fields = {
        "hardener": quantity,
        "stoichiometric_ratio": quantity,
        "inside_window": plain,
        "says": plain,
    }
    hardener: Quantity
    """The sheet's ratio by mass."""
    stoichiometric_ratio: Quantity
    """Amine hydrogens to epoxide groups at that ratio; 1 is exact."""
    inside_window: bool
    """Whether that is inside the window."""
    says: str
    """The finding in words."""


class EpoxyAnswer(Answer):
    """Hardener for an epoxy."""

    __slots__ = ()
    _fields = {
        "epoxide_equivalent_mass": quantity,
        "amine_hydrogen_equivalent_mass": quantity,
        "hardener": quantity,
        "lowest": quantity,
        "highest": quantity,
        "window": part("OffsetWindow"),
        "why": part("Why"),
        "hardener_by_volume": quantity,
        "sheet_by_mass": part("SheetCheck"),
        "sheet_by_volume": part("SheetCheck"),
        "extrapolated": plain,
        "cautions": several(plain),
    }
    epoxide_equivalent_mass: Quantity
    """Mass of the resin side per epoxide group, as mixed (EEW)."""
    amine_hydrogen_equivalent_mass: Quantity
    """Mass of the hardener side per active hydrogen (AHEW)."""
    hardener: Quantity
    """Hardener side on the whole resin side."""
    lowest: Quantity
    """Least hardener inside the window."""
    highest: Quantity
    """Most hardener inside the window."""
    window: OffsetWindow
    """The window and its source."""
    why: Why
    """The chain behind it."""
    hardener_by_volume: Quantity | None
    """The ratio by volume, where both densities are given."""
    sheet_by_mass: SheetCheck | None
    """The sheet's ratio by mass against the equivalents."""
    sheet_by_volume: SheetCheck | None
    """The sheet's ratio by volume against the equivalents."""
    extrapolated: str | None
    """What lies outside a fitted range."""
    cautions: tuple[str, ...]
    """Cautions."""


class SidePartInput(TypedDict):
    """A part of one side of a two-part system: a resin, a hardener, a diluent, a filler."""

    name: NotRequired[str]
    """What it is."""
    mass: QuantityInput
    """How much of it."""
    equivalent_mass: NotRequired[QuantityInput | None]
    """Its mass per reacting group ("190 g/eq"); none for what does not react (filler, plasticiser,
    pigment).
    """


class OffsetWindowInput(TypedDict):
    """How far from the exact ratio a mix may be, as amine hydrogens to epoxide groups."""

    low: QuantityInput
    """Lowest ratio of amine hydrogens to epoxide groups."""
    high: QuantityInput
    """Highest."""
    source: SourceInput | Answer
    """Where it comes from."""


class LiquidDensityInput(TypedDict):
    """A liquid's density and how it falls with temperature."""

    density: QuantityInput
    """The density on the data sheet."""
    measured_at: QuantityInput
    """The temperature it was measured at."""
    expansion: QuantityInput
    """Coefficient of volume expansion."""


class Foaming(Answer):
    """Carbon dioxide from water in an isocyanate mix."""

    __slots__ = ()
    _fields = {
        "carbon_dioxide": quantity,
        "gas_volume": quantity,
        "growth": quantity,
        "risk": plain,
    }
    carbon_dioxide: Quantity
    """Carbon dioxide released when all the water reacts."""
    gas_volume: Quantity
    """Its volume as a gas, free to expand."""
    growth: Quantity
    """That volume over the volume of the liquid mix: an upper bound of the growth, since some gas stays
    dissolved and some leaves.
    """
    risk: Literal["low", "bubbles", "foam"]
    """How bad that is."""


class Constants(Answer):
    """The two molar masses behind the trade's constants 56 100 and 4 200."""

    __slots__ = ()
    _fields = {
        "potassium_hydroxide": quantity,
        "isocyanate_group": quantity,
    }
    potassium_hydroxide: Quantity
    """Molar mass of potassium hydroxide."""
    isocyanate_group: Quantity
    """Molar mass of the isocyanate group NCO."""


class PolyurethaneAnswer(Answer):
    """Isocyanate for a polyurethane."""

    __slots__ = ()
    _fields = {
        "polyol_equivalent_mass": quantity,
        "isocyanate_equivalent_mass": quantity,
        "isocyanate": quantity,
        "isocyanate_on_polyol": quantity,
        "isocyanate_on_polyol_if_dry": quantity,
        "index_if_taken_as_dry": quantity,
        "water": quantity,
        "foaming": part("Foaming"),
        "why": part("Why"),
        "isocyanate_by_volume": quantity,
        "sheet_index": quantity,
        "constants": part("Constants"),
        "extrapolated": plain,
        "cautions": several(plain),
    }
    polyol_equivalent_mass: Quantity
    """Mass of the polyol side per hydroxyl group, fillers and water in its mass."""
    isocyanate_equivalent_mass: Quantity
    """Mass of the isocyanate side per NCO group."""
    isocyanate: Quantity
    """Isocyanate side to weigh for the polyol side as given."""
    isocyanate_on_polyol: Quantity
    """Isocyanate side on polyol side, by mass."""
    isocyanate_on_polyol_if_dry: Quantity
    """The same without counting the water: what the sheet of a dry system says."""
    index_if_taken_as_dry: Quantity
    """NCO groups to hydroxyl groups and water that a mix by the dry ratio has."""
    water: Quantity
    """Water in the polyol side."""
    foaming: Foaming
    """What the water turns into."""
    why: Why
    """The chain behind it."""
    isocyanate_by_volume: Quantity
    """Isocyanate side on polyol side, by volume."""
    sheet_index: Quantity | None
    """The index that the sheet's ratio gives, water counted."""
    constants: Constants
    """The constants used."""
    extrapolated: str | None
    """What lies outside a fitted range."""
    cautions: tuple[str, ...]
    """Cautions."""


class PolyolPartInput(TypedDict):
    """A part of the polyol side."""

    name: NotRequired[str]
    """What it is."""
    mass: QuantityInput
    """How much of it, its water included."""
    hydroxyl_number: NotRequired[QuantityInput | None]
    """Hydroxyl number from the data sheet; none for a filler, pigment or plasticiser."""
    water: NotRequired[QuantityInput | None]
    """Water it has taken up, over its own mass; none if dry."""


class ConstantsInput(TypedDict):
    """The two molar masses behind the trade's constants 56 100 and 4 200."""

    potassium_hydroxide: QuantityInput
    """Molar mass of potassium hydroxide."""
    isocyanate_group: QuantityInput
    """Molar mass of the isocyanate group NCO."""


class ActiveOxygenAnswer(Answer):
    """Active oxygen."""

    __slots__ = ()
    _fields = {
        "pure": quantity,
        "product": quantity,
        "why": part("Why"),
    }
    pure: Quantity
    """Of the pure compound."""
    product: Quantity
    """Of the product."""
    why: Why
    """The chain behind it."""


class EquivalentDose(Answer):
    """A dose of one product that brings as much active oxygen as a dose of another."""

    __slots__ = ()
    _fields = {
        "dose": quantity,
        "dose_by_volume": quantity,
        "active_oxygen_on_resin": quantity,
        "cautions": several(plain),
        "why": part("Why"),
    }
    dose: Quantity
    """Dose of the other product, by mass."""
    dose_by_volume: Quantity
    """The same by volume."""
    active_oxygen_on_resin: Quantity
    """Active oxygen on resin that both doses bring."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """The chain behind it."""


class PeroxideProductInput(TypedDict):
    """A peroxide product as its label describes it."""

    active_oxygen: QuantityInput
    """Active oxygen on the label."""
    density: QuantityInput
    """Density."""


class MixingOrderAnswer(Answer):
    """An order of mixing that may be kept."""

    __slots__ = ()
    _fields = {
        "steps": several(plain),
        "cautions": several(plain),
    }
    steps: tuple[Literal["resin", "promoter", "peroxide", "stir", "filler", "acetone"], ...]
    """The order that was checked."""
    cautions: tuple[str, ...]
    """Cautions."""


class Share(Answer):
    """One part's share of a mix."""

    __slots__ = ()
    _fields = {
        "name": plain,
        "mass_fraction": quantity,
        "volume_fraction": quantity,
        "on_resin": quantity,
    }
    name: str
    """What it is."""
    mass_fraction: Quantity
    """Share of the mass."""
    volume_fraction: Quantity
    """Share of the volume."""
    on_resin: Quantity
    """By mass on all that is no filler."""


class FilledMix(Answer):
    """A mix of parts whose volumes add."""

    __slots__ = ()
    _fields = {
        "mass": quantity,
        "volume": quantity,
        "density": quantity,
        "volume_with_air": quantity,
        "density_with_air": quantity,
        "filler_content": quantity,
        "of_packing": quantity,
        "shares": rows("Share"),
        "cost": money,
        "cost_per_litre": money,
    }
    mass: Quantity
    """Mass."""
    volume: Quantity
    """Volume without air."""
    density: Quantity
    """Density without air."""
    volume_with_air: Quantity
    """Volume with the entrained air."""
    density_with_air: Quantity
    """Density with the entrained air."""
    filler_content: Quantity
    """Fillers together, of the volume without air."""
    of_packing: Quantity | None
    """How much of the room that packing leaves the fillers take: 1 is a dry heap with its pores just
    filled. None where a filler's packing is not known.
    """
    shares: Table[Share]
    """The parts' shares, in the order given."""
    cost: Money | None
    """What the mix costs, where every part has a price by mass or volume in one currency."""
    cost_per_litre: Money | None
    """Cost of a litre of it, without air."""


class ComponentInput(TypedDict):
    """A part of a mix: resin, filler, fibre, paste."""

    name: NotRequired[str]
    """What it is."""
    mass: QuantityInput
    """How much of it."""
    density: QuantityInput
    """Its density; of a powder or fibre, of the particles, not of the heap."""
    price: NotRequired[str | None]
    """What it costs."""
    filler: NotRequired[bool]
    """Whether it is a filler: particles that must fit between one another."""
    max_packing: NotRequired[QuantityInput | None]
    """Largest volume fraction its particles can pack to, where known."""


class PackingAnswer(Answer):
    """How densely a filler packs."""

    __slots__ = ()
    _fields = {
        "max_packing": quantity,
        "most_on_resin": quantity,
        "why": part("Why"),
    }
    max_packing: Quantity
    """Largest volume fraction."""
    most_on_resin: Quantity
    """The same on the resin, by mass."""
    why: Why
    """The chain behind it."""


class WetOutAnswer(Answer):
    """Resin for a dry reinforcement."""

    __slots__ = ()
    _fields = {
        "resin": quantity,
        "resin_on_glass": quantity,
        "why": part("Why"),
    }
    resin: Quantity
    """Resin per area, without waste."""
    resin_on_glass: Quantity
    """Resin on glass."""
    why: Why
    """The chain behind it."""


class CatalystWithFillerAnswer(Answer):
    """Catalyst where a filler takes some up."""

    __slots__ = ()
    _fields = {
        "dose": quantity,
        "dose_if_taken_of_the_whole": quantity,
        "why": part("Why"),
        "cautions": several(plain),
    }
    dose: Quantity
    """Dose to add, by mass on resin (not on the filled mix)."""
    dose_if_taken_of_the_whole: Quantity
    """The dose that goes wrong when it is taken of the whole filled mix."""
    why: Why
    """The chain behind it."""
    cautions: tuple[str, ...]
    """Cautions."""


class EntrainedAirAnswer(Answer):
    """Air in a mix."""

    __slots__ = ()
    _fields = {
        "air": quantity,
        "why": part("Why"),
    }
    air: Quantity
    """Air, of the volume."""
    why: Why
    """The chain behind it."""


class LoadingVerdict(Answer):
    """A loading held against one limit."""

    __slots__ = ()
    _fields = {
        "most": quantity,
        "kept": plain,
        "source": part("Source"),
    }
    most: Quantity
    """The most paste on resin."""
    kept: bool
    """Whether the loading keeps it."""
    source: Source
    """Where the limit comes from."""


class PigmentLoading(Answer):
    """What a loading of paste brings."""

    __slots__ = ()
    _fields = {
        "pigment": quantity,
        "carrier": quantity,
        "carrier_in_liquid": quantity,
        "limits": rows("LoadingVerdict"),
        "why": part("Why"),
    }
    pigment: Quantity
    """Dry pigment on resin."""
    carrier: Quantity
    """Carrier on resin."""
    carrier_in_liquid: Quantity
    """Carrier over all that is liquid (resin and carrier): what stays soft in the cured part."""
    limits: Table[LoadingVerdict]
    """Each loading limit with its verdict: published limits conflict and all are shown."""
    why: Why
    """The chain behind it."""


class Drop(Answer):
    """A drop that falls slowly from a wetted tip."""

    __slots__ = ()
    _fields = {
        "mass": quantity,
        "volume": quantity,
        "drops_per_gram": plain,
        "harkins_brown_factor": plain,
        "radius_over_cube_root": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    mass: Quantity
    """Its mass."""
    volume: Quantity
    """Its volume."""
    drops_per_gram: float
    """Drops to a gram."""
    harkins_brown_factor: float
    """Share of Tate's ideal drop that falls."""
    radius_over_cube_root: float
    """Tip radius over the cube root of the drop's volume."""
    extrapolated: str | None
    """Where the drop lies outside the correction's table."""
    why: Why
    """The chain behind it."""


class Calibration(Answer):
    """A dropper's calibration: so many drops weigh so much."""

    __slots__ = ()
    _fields = {
        "drops": plain,
        "mass": quantity,
        "density": quantity,
        "readability": quantity,
        "drop_spread": quantity,
    }
    drops: int
    """How many drops were weighed together."""
    mass: Quantity
    """What they weighed."""
    density: Quantity
    """Density of what was dropped: the liquid that the dropper will be used with, not water."""
    readability: Quantity | None
    """Display step of the scale it was weighed on; 0.1 g if not said."""
    drop_spread: Quantity | None
    """Standard deviation of one drop over the mean drop, where it was measured; else the default of 10 %."""


class Dropper(Answer):
    """How a dropper is written in a document."""

    __slots__ = ()
    _fields = {
        "calibrated": plain,
        "calibration": part("Calibration"),
        "drop_volume": quantity,
        "drop_spread": quantity,
        "mean_uncertainty": quantity,
        "source": part("Source"),
    }
    calibrated: bool | None
    """`false` for a dropper that nobody has calibrated; then nothing else is given."""
    calibration: Calibration | None
    """The weighing of its drops."""
    drop_volume: Quantity | None
    """Mean volume of a drop, where it is known otherwise."""
    drop_spread: Quantity | None
    """Standard deviation of one drop over the mean drop; 10 % if not said."""
    mean_uncertainty: Quantity | None
    """Relative standard uncertainty of the mean drop."""
    source: Source | None
    """Where the drop volume comes from."""


class DropperAnswer(Answer):
    """A dropper."""

    __slots__ = ()
    _fields = {
        "dropper": part("Dropper"),
        "drop_volume": part("Estimate"),
        "drop_mass": quantity,
        "drops_per_ml": plain,
        "why": part("Why"),
    }
    dropper: Dropper
    """The dropper, to be put into a bench."""
    drop_volume: Estimate
    """Volume of one drop."""
    drop_mass: Quantity
    """Mass of one drop of the liquid it was calibrated with."""
    drops_per_ml: float
    """Drops to a millilitre."""
    why: Why
    """The chain behind it."""


class Contribution(Answer):
    """What one source of error contributes."""

    __slots__ = ()
    _fields = {
        "from": plain,
        "relative": quantity,
    }
    _renamed = {"from_": "from"}
    from_: str
    """The source of error."""
    relative: Quantity
    """Its relative standard uncertainty in the dose."""


class Dosed(Answer):
    """How a dose comes out by one way of measuring."""

    __slots__ = ()
    _fields = {
        "by": plain,
        "mass": quantity,
        "drops": plain,
        "dose": part("Estimate"),
        "sampled": part("Estimate"),
        "within": quantity,
        "contributions": rows("Contribution"),
    }
    by: Literal["scale", "syringe", "dropper"]
    """The way of measuring."""
    mass: Quantity
    """What to measure: mass of the dosed part."""
    drops: int | None
    """Whole drops to count, where drops are counted."""
    dose: Estimate
    """The dose that comes out, by mass on resin: first order."""
    sampled: Estimate | None
    """The same by sampling, where asked for."""
    within: Quantity
    """Half the 95 % interval over the dose."""
    contributions: Table[Contribution]
    """What each source of error contributes, as a relative standard uncertainty."""


class DoseUncertaintyAnswer(Answer):
    """How sure a dose is on a bench."""

    __slots__ = ()
    _fields = {
        "ways": rows("Dosed"),
        "advice": plain,
        "why": part("Why"),
    }
    ways: Table[Dosed]
    """The bench's ways of measuring, the surest first."""
    advice: str
    """What to do."""
    why: Why
    """The chain behind the first."""


class SmallestBatch(Answer):
    """A smallest batch by one way of measuring."""

    __slots__ = ()
    _fields = {
        "by": plain,
        "resin": quantity,
        "says": plain,
    }
    by: Literal["scale", "syringe", "dropper"]
    """The way of measuring."""
    resin: Quantity | None
    """The least resin that this way doses within the tolerance; none if no batch does."""
    says: str
    """In words."""


class SmallestBatchAnswer(Answer):
    """The smallest batch that a bench doses within a tolerance."""

    __slots__ = ()
    _fields = {
        "resin": quantity,
        "ways": rows("SmallestBatch"),
        "advice": plain,
        "why": part("Why"),
    }
    resin: Quantity | None
    """The least resin of all ways; none if the bench can not do it."""
    ways: Table[SmallestBatch]
    """Each way of measuring."""
    advice: str
    """In words."""
    why: Why
    """The chain behind it."""


class Drawn(Answer):
    """What a batch takes of a part."""

    __slots__ = ()
    _fields = {
        "name": plain,
        "takes": quantity,
        "stays": quantity,
    }
    name: str
    """What it is."""
    takes: Quantity
    """What the batch takes."""
    stays: Quantity
    """What stays in the tin."""


class LargestBatch(Answer):
    """The largest batch that what is left allows."""

    __slots__ = ()
    _fields = {
        "limited_by": plain,
        "mass": quantity,
        "parts": rows("Drawn"),
    }
    limited_by: str
    """The part that runs out first."""
    mass: Quantity
    """Mass of the whole mix."""
    parts: Table[Drawn]
    """What it takes of each part and what stays, in the order given."""


class LeftInput(TypedDict):
    """What is left of a part, and how much of it the mix takes."""

    name: str
    """What it is."""
    left: QuantityInput
    """What is left in its tin."""
    on_resin: QuantityInput
    """Parts of it on a hundred of resin; the resin itself has 100."""


class Rescue(Answer):
    """What to do with a cup."""

    __slots__ = ()
    _fields = {
        "outcome": plain,
        "dose": quantity,
        "add_hardener": quantity,
        "add_resin": quantity,
        "dose_after": quantity,
        "says": plain,
        "cautions": several(plain),
    }
    outcome: Literal["fine", "add", "lost"]
    """What it comes to."""
    dose: Quantity
    """The dose that is in the cup."""
    add_hardener: Quantity
    """Catalyst or hardener to add; zero if none."""
    add_resin: Quantity
    """Resin to add; zero if none."""
    dose_after: Quantity
    """The dose after that."""
    says: str
    """In words, with why it cannot be saved where it cannot."""
    cautions: tuple[str, ...]
    """Cautions."""


class CupInput(TypedDict):
    """A mixed cup that may have got the wrong amount."""

    cures_by: Literal["peroxide", "two_part"]
    """How it cures."""
    resin: QuantityInput
    """Resin in the cup."""
    added: QuantityInput
    """Catalyst or hardener in the cup."""
    wanted: QuantityInput
    """The dose wanted."""
    lowest: QuantityInput
    """Least dose that is right."""
    highest: QuantityInput
    """Most dose that is right."""
    resin_to_spare: NotRequired[QuantityInput | None]
    """Resin that can still be added: what is left, or what the cup holds."""
    hardener_to_spare: NotRequired[QuantityInput | None]
    """Catalyst or hardener that is left."""
    since_mixing: NotRequired[QuantityInput | None]
    """Time since it was mixed."""
    working_time: NotRequired[QuantityInput | None]
    """Working time of this cup *as it was mixed*."""


def dose(
    *,
    dose: str,
    resin_density: QuantityInput,
    dose_density: QuantityInput,
    resin_mass: QuantityInput | None = None,
    resin_volume: QuantityInput | None = None,
    dropper: DropperInput | Answer | None = None,
    lowest: QuantityInput | None = None,
    highest: QuantityInput | None = None,
) -> DoseAnswer:
    """A dose turned into mass, volume and drops for an amount of resin, and told on every basis.

    Parameters
    ----------
    dose : str
        The dose with its basis.
    resin_density : quantity
        Density of the resin.
    dose_density : quantity
        Density of what is dosed.
    resin_mass : quantity | None
        Resin by mass; this or `resin_volume`.
    resin_volume : quantity | None
        Resin by volume; this or `resin_mass`.
    dropper : DropperInput | None
        The dropper, for a dose in drops or to be told in drops.
    lowest : quantity | None
        Least dose that is right, to catch a slip of a factor of ten.
    highest : quantity | None
        Most dose that is right.
    """
    return ask_as(
        "mix.dose",
        {
            "dose": dose,
            "resin_density": resin_density,
            "dose_density": dose_density,
            "resin_mass": resin_mass,
            "resin_volume": resin_volume,
            "dropper": dropper,
            "lowest": lowest,
            "highest": highest,
        },
        DoseAnswer,
    )


def epoxy_ratio(
    *,
    resin: Sequence[SidePartInput | Answer],
    hardener: Sequence[SidePartInput | Answer],
    stoichiometric_ratio: QuantityInput | None = None,
    window: OffsetWindowInput | Answer | None = None,
    resin_density: LiquidDensityInput | Answer | None = None,
    hardener_density: LiquidDensityInput | Answer | None = None,
    temperature: QuantityInput | None = None,
    sheet_by_mass: QuantityInput | None = None,
    sheet_by_volume: QuantityInput | None = None,
) -> EpoxyAnswer:
    """Hardener for an epoxy from the equivalent masses of blended, filled or diluted sides, by mass and
    volume, and a data sheet's ratio held against it.

    Parameters
    ----------
    resin : Sequence[SidePartInput]
        The resin side: resins, diluents, fillers; equivalent masses per epoxide group.
    hardener : Sequence[SidePartInput]
        The hardener side; equivalent masses per active hydrogen.
    stoichiometric_ratio : quantity
        Amine hydrogens to epoxide groups wanted; 1 is exact. Default: 1.
    window : OffsetWindowInput | None
        How far off the data sheet allows; common practice if not given.
    resin_density : LiquidDensityInput | None
        Density of the resin side, for the ratio by volume.
    hardener_density : LiquidDensityInput | None
        Density of the hardener side.
    temperature : quantity | None
        Temperature at which both are measured out; 23 degC if not given.
    sheet_by_mass : quantity | None
        The data sheet's ratio by mass, to be checked.
    sheet_by_volume : quantity | None
        The data sheet's ratio by volume ("100 vol% on resin" for 1:1), to be checked.
    """
    return ask_as(
        "mix.epoxy_ratio",
        {
            "resin": resin,
            "hardener": hardener,
            "stoichiometric_ratio": stoichiometric_ratio,
            "window": window,
            "resin_density": resin_density,
            "hardener_density": hardener_density,
            "temperature": temperature,
            "sheet_by_mass": sheet_by_mass,
            "sheet_by_volume": sheet_by_volume,
        },
        EpoxyAnswer,
    )


def polyurethane_ratio(
    *,
    polyol: Sequence[PolyolPartInput | Answer],
    nco_content: QuantityInput,
    polyol_density: LiquidDensityInput | Answer,
    isocyanate_density: LiquidDensityInput | Answer,
    index: QuantityInput | None = None,
    constants: ConstantsInput | Answer | None = None,
    temperature: QuantityInput | None = None,
    pressure: QuantityInput | None = None,
    sheet_by_volume: QuantityInput | None = None,
    sheet_by_mass: QuantityInput | None = None,
) -> PolyurethaneAnswer:
    """Isocyanate for a polyurethane from hydroxyl number and NCO content, water counted, by mass and
    volume, and how much that water foams.

    Parameters
    ----------
    polyol : Sequence[PolyolPartInput]
        The polyol side: polyols, fillers, pigments, with the water in each.
    nco_content : quantity
        NCO content of the isocyanate side.
    polyol_density : LiquidDensityInput
        Density of the polyol side.
    isocyanate_density : LiquidDensityInput
        Density of the isocyanate side.
    index : quantity
        Isocyanate index; 1 is exact, 1.05 is 5 % more isocyanate. Default: 1.
    constants : ConstantsInput | None
        The constants behind 56 100 and 4 200; the trade's if not given.
    temperature : quantity | None
        Temperature of the mix; 23 degC if not given.
    pressure : quantity | None
        Air pressure; 1013 hPa if not given.
    sheet_by_volume : quantity | None
        The data sheet's ratio by volume ("100 vol% on resin" for 1:1), whose index is wanted.
    sheet_by_mass : quantity | None
        The data sheet's ratio by mass, isocyanate on polyol, whose index is wanted.
    """
    return ask_as(
        "mix.polyurethane_ratio",
        {
            "polyol": polyol,
            "nco_content": nco_content,
            "polyol_density": polyol_density,
            "isocyanate_density": isocyanate_density,
            "index": index,
            "constants": constants,
            "temperature": temperature,
            "pressure": pressure,
            "sheet_by_volume": sheet_by_volume,
            "sheet_by_mass": sheet_by_mass,
        },
        PolyurethaneAnswer,
    )


def active_oxygen(
    *,
    formula: str,
    peroxide_groups: int,
    name: str | None = None,
    assay: QuantityInput | None = None,
) -> ActiveOxygenAnswer:
    """Theoretical active oxygen of a peroxide of known structure, and of a product that holds a share of
    it; a ketone peroxide is refused: its label says.

    Parameters
    ----------
    formula : str
        Its formula.
    peroxide_groups : int
        Peroxide groups -O-O- in one molecule.
    name : str
        What it is called. Default: .
    assay : quantity | None
        Share of it in the product; the pure compound if not given.
    """
    return ask_as(
        "mix.active_oxygen",
        {
            "formula": formula,
            "peroxide_groups": peroxide_groups,
            "name": name,
            "assay": assay,
        },
        ActiveOxygenAnswer,
    )


def peroxide_equivalent(
    *,
    dose: str,
    known: PeroxideProductInput | Answer,
    other: PeroxideProductInput | Answer,
    resin_density: QuantityInput,
) -> EquivalentDose:
    """The dose of another peroxide product that brings as much active oxygen as a known dose.

    Parameters
    ----------
    dose : str
        The dose of the known product.
    known : PeroxideProductInput
        The product that the dose is for.
    other : PeroxideProductInput
        The product that is at hand.
    resin_density : quantity
        Density of the resin.
    """
    return ask_as(
        "mix.peroxide_equivalent",
        {
            "dose": dose,
            "known": known,
            "other": other,
            "resin_density": resin_density,
        },
        EquivalentDose,
    )


def mixing_order(
    *,
    steps: Sequence[Literal["resin", "promoter", "peroxide", "stir", "filler", "acetone"]],
) -> MixingOrderAnswer:
    """Refuses an order of mixing in which peroxide meets promoter or acetone other than through stirred
    resin.

    Parameters
    ----------
    steps : Sequence[Literal["resin", "promoter", "peroxide", "stir", "filler", "acetone"]]
        What goes into the cup, in its order, with every stirring.
    """
    return ask_as(
        "mix.mixing_order",
        {
            "steps": steps,
        },
        MixingOrderAnswer,
    )


def filled_density(
    *,
    components: Sequence[ComponentInput | Answer],
    air: QuantityInput | None = None,
) -> FilledMix:
    """Density, volume, shares, packing and cost of a filled mix, with and without entrained air.

    Parameters
    ----------
    components : Sequence[ComponentInput]
        The parts of the mix.
    air : quantity | None
        Air stirred in, of the volume; none if not given.
    """
    return ask_as(
        "mix.filled_density",
        {
            "components": components,
            "air": air,
        },
        FilledMix,
    )


def filler_packing(
    *,
    density: QuantityInput,
    resin_density: QuantityInput,
    oil_absorption: QuantityInput | None = None,
    apparent_density: QuantityInput | None = None,
    fibre_length: QuantityInput | None = None,
    fibre_diameter: QuantityInput | None = None,
) -> PackingAnswer:
    """Largest loading of a filler or chopped fibre, from its oil absorption, its tapped heap, or its
    length and diameter.

    Parameters
    ----------
    density : quantity
        Density of the particles.
    resin_density : quantity
        Density of the resin.
    oil_absorption : quantity | None
        Oil absorption: grams of linseed oil on 100 g of powder, written in phr.
    apparent_density : quantity | None
        Density of the tapped heap.
    fibre_length : quantity | None
        Length of a chopped fibre, with its diameter.
    fibre_diameter : quantity | None
        Diameter of the fibre (of the bundle, where it stays together).
    """
    return ask_as(
        "mix.filler_packing",
        {
            "density": density,
            "resin_density": resin_density,
            "oil_absorption": oil_absorption,
            "apparent_density": apparent_density,
            "fibre_length": fibre_length,
            "fibre_diameter": fibre_diameter,
        },
        PackingAnswer,
    )


def wet_out(
    *,
    areal_mass: QuantityInput,
    glass_content: QuantityInput,
) -> WetOutAnswer:
    """Resin that wets out a mat or cloth to a glass content.

    Parameters
    ----------
    areal_mass : quantity
        Mass of dry reinforcement per area.
    glass_content : quantity
        Glass content wanted, by mass.
    """
    return ask_as(
        "mix.wet_out",
        {
            "areal_mass": areal_mass,
            "glass_content": glass_content,
        },
        WetOutAnswer,
    )


def catalyst_with_filler(
    *,
    dose: QuantityInput,
    filler_on_resin: QuantityInput,
    uptake: QuantityInput | None = None,
) -> CatalystWithFillerAnswer:
    """Catalyst to add to a filled mix: on the resin alone, plus what the filler takes up.

    Parameters
    ----------
    dose : quantity
        Dose that is to work, by mass on resin.
    filler_on_resin : quantity
        Filler on resin.
    uptake : quantity | None
        Catalyst that a mass of the filler takes up, measured with cups; zero if not given.
    """
    return ask_as(
        "mix.catalyst_with_filler",
        {
            "dose": dose,
            "filler_on_resin": filler_on_resin,
            "uptake": uptake,
        },
        CatalystWithFillerAnswer,
    )


def entrained_air(
    *,
    measured: QuantityInput,
    without_air: QuantityInput,
) -> EntrainedAirAnswer:
    """Air in a mix or a cured piece from its measured density.

    Parameters
    ----------
    measured : quantity
        Density as weighed in a cup of known volume, or of a cured piece.
    without_air : quantity
        Density without air.
    """
    return ask_as(
        "mix.entrained_air",
        {
            "measured": measured,
            "without_air": without_air,
        },
        EntrainedAirAnswer,
    )


def pigment_loading(
    *,
    paste: QuantityInput,
    carrier: QuantityInput,
    data_sheet_limit: QuantityInput | None = None,
) -> PigmentLoading:
    """Pigment and non-reactive carrier that a paste brings, held against its data sheet or the published
    limits, which conflict.

    Parameters
    ----------
    paste : quantity
        Paste on resin, by mass.
    carrier : quantity
        Carrier in the paste that does not react.
    data_sheet_limit : quantity | None
        The most paste on resin that its data sheet allows.
    """
    return ask_as(
        "mix.pigment_loading",
        {
            "paste": paste,
            "carrier": carrier,
            "data_sheet_limit": data_sheet_limit,
        },
        PigmentLoading,
    )


def drop_mass(
    *,
    tip_radius: QuantityInput,
    surface_tension: QuantityInput,
    density: QuantityInput,
) -> Drop:
    """Mass of a drop from the tip it falls from and the liquid's surface tension (Tate's law with the
    Harkins-Brown correction).

    Parameters
    ----------
    tip_radius : quantity
        Outer radius of the wetted tip.
    surface_tension : quantity
        Surface tension of the liquid.
    density : quantity
        Density of the liquid.
    """
    return ask_as(
        "mix.drop_mass",
        {
            "tip_radius": tip_radius,
            "surface_tension": surface_tension,
            "density": density,
        },
        Drop,
    )


def dropper_from_calibration(
    *,
    calibration: CalibrationInput | Answer,
) -> DropperAnswer:
    """A dropper's drop volume, with its uncertainty, from N drops that weigh M.

    Parameters
    ----------
    calibration : CalibrationInput
        The weighing of its drops.
    """
    return ask_as(
        "mix.dropper_from_calibration",
        {
            "calibration": calibration,
        },
        DropperAnswer,
    )


def dose_uncertainty(
    *,
    dose: QuantityInput,
    resin: QuantityInput,
    dose_density: QuantityInput,
    bench: BenchInput | Answer,
    density_uncertainty: QuantityInput | None = None,
    samples: int | None = None,
    seed: int | None = None,
) -> DoseUncertaintyAnswer:
    """How a dose comes out weighed, with the syringe or in drops, by first order and by sampling, and
    which to use.

    Parameters
    ----------
    dose : quantity
        The dose by mass on resin.
    resin : quantity
        Resin.
    dose_density : quantity
        Density of what is dosed.
    bench : BenchInput
        What it is measured with.
    density_uncertainty : quantity | None
        Relative standard uncertainty of that density; 1 % if not given.
    samples : int | None
        Samples of a Monte Carlo run beside the first order; none if not given.
    seed : int
        Seed of that run. Default: 0.
    """
    return ask_as(
        "mix.dose_uncertainty",
        {
            "dose": dose,
            "resin": resin,
            "dose_density": dose_density,
            "bench": bench,
            "density_uncertainty": density_uncertainty,
            "samples": samples,
            "seed": seed,
        },
        DoseUncertaintyAnswer,
    )


def smallest_batch(
    *,
    dose: QuantityInput,
    tolerance: QuantityInput,
    dose_density: QuantityInput,
    bench: BenchInput | Answer,
    density_uncertainty: QuantityInput | None = None,
) -> SmallestBatchAnswer:
    """The smallest batch that this bench doses within a tolerance, by each way of measuring.

    Parameters
    ----------
    dose : quantity
        The dose by mass on resin.
    tolerance : quantity
        How far off it may be, at 95 %.
    dose_density : quantity
        Density of what is dosed.
    bench : BenchInput
        What it is measured with.
    density_uncertainty : quantity | None
        Relative standard uncertainty of that density; 1 % if not given.
    """
    return ask_as(
        "mix.smallest_batch",
        {
            "dose": dose,
            "tolerance": tolerance,
            "dose_density": dose_density,
            "bench": bench,
            "density_uncertainty": density_uncertainty,
        },
        SmallestBatchAnswer,
    )


def largest_batch(
    *,
    parts: Sequence[LeftInput | Answer],
) -> LargestBatch:
    """The largest batch that what is left in the tins allows, and what limits it.

    Parameters
    ----------
    parts : Sequence[LeftInput]
        What is left of each part, and how much of it the mix takes; the resin with 100 phr.
    """
    return ask_as(
        "mix.largest_batch",
        {
            "parts": parts,
        },
        LargestBatch,
    )


def rescue(
    *,
    cup: CupInput | Answer,
) -> Rescue:
    """What to add to a cup that got the wrong amount, or why it cannot be saved.

    Parameters
    ----------
    cup : CupInput
        The cup.
    """
    return ask_as(
        "mix.rescue",
        {
            "cup": cup,
        },
        Rescue,
    )


ANSWERS: dict[str, type[Answer]] = {
    "mix.dose": DoseAnswer,
    "mix.epoxy_ratio": EpoxyAnswer,
    "mix.polyurethane_ratio": PolyurethaneAnswer,
    "mix.active_oxygen": ActiveOxygenAnswer,
    "mix.peroxide_equivalent": EquivalentDose,
    "mix.mixing_order": MixingOrderAnswer,
    "mix.filled_density": FilledMix,
    "mix.filler_packing": PackingAnswer,
    "mix.wet_out": WetOutAnswer,
    "mix.catalyst_with_filler": CatalystWithFillerAnswer,
    "mix.entrained_air": EntrainedAirAnswer,
    "mix.pigment_loading": PigmentLoading,
    "mix.drop_mass": Drop,
    "mix.dropper_from_calibration": DropperAnswer,
    "mix.dose_uncertainty": DoseUncertaintyAnswer,
    "mix.smallest_batch": SmallestBatchAnswer,
    "mix.largest_batch": LargestBatch,
    "mix.rescue": Rescue,
}
"""The class of the answer to each question."""
