# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about cure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NotRequired, TypeAlias, TypedDict

import numpy as np
from numpy.typing import NDArray

from .answer import Answer, array, ask_as, part, plain, quantity, several
from .common import (
    CureShrinkageInput,
    DataSheetLinesInput,
    GelTime,
    GlassTransitionInput,
    Kinetics,
    KineticsInput,
    SourceInput,
    TestCupInput,
    VitrificationInput,
    Why,
)
from .units import Quantity, QuantityInput

__all__ = [
    "ApparentActivationEnergy",
    "CupReading",
    "CureCurve",
    "CureTime",
    "DataSheetKinetics",
    "DemouldCriterionInput",
    "DoseForGelTime",
    "DoseFromKinetics",
    "EquivalentTime",
    "FinalConversionAnswer",
    "GelCriterionConversionInput",
    "GelCriterionInput",
    "GelCriterionViscosityInput",
    "GelRowInput",
    "GelTableInput",
    "GlassTransitionAnswer",
    "PostCure",
    "PostCureHold",
    "PotLifeEndGelInput",
    "PotLifeEndInput",
    "PotLifeEndViscosityRatioInput",
    "RateOfCureAnswer",
    "SchedulePointInput",
    "Shrinkage",
    "TackRuleInput",
    "TackWindow",
    "TackWindowRuleInput",
    "ViscosityRiseInput",
    "apparent_activation_energy",
    "conversion",
    "demould_time",
    "dose_for_gel_time",
    "dose_from_kinetics",
    "equivalent_time",
    "final_conversion",
    "gel_time",
    "gel_time_from_kinetics",
    "glass_transition",
    "kinetics_from_data_sheet",
    "post_cure",
    "post_cure_hold",
    "pot_life",
    "rate",
    "shrinkage",
    "tack_window",
    "tack_window_from_gel_time",
    "time_to_conversion",
]


class GelRowInput(TypedDict):
    """One row of a gel-time table."""

    temperature: QuantityInput
    """Temperature of resin and surroundings."""
    dose: QuantityInput
    """Catalyst (or hardener) on 100 parts of resin by mass."""
    time: QuantityInput
    """Time from mixing to gel."""


class GelTableInput(TypedDict):
    """Part of a request."""

    rows: Sequence[GelRowInput | Answer]
    """Two rows or more."""
    source: SourceInput | Answer
    """Where the table stands."""
    method: NotRequired[str]
    """How the times were taken, in words ("100 g in a cup", "film")."""
    dose_order: NotRequired[float | None]
    """Order of the gel time in the dose, for a table that does not vary the dose."""


class DoseForGelTime(Answer):
    """The dose that gives a wanted gel time."""

    __slots__ = ()
    _fields = {
        "dose": quantity,
        "gel_time": part("GelTime"),
        "extrapolated": plain,
        "why": part("Why"),
    }
    dose: Quantity
    """Catalyst on 100 parts of resin by mass."""
    gel_time: GelTime
    """The gel time at that dose, with its band."""
    extrapolated: str | None
    """What lies outside which range, where something does."""
    why: Why
    """The chain behind it."""


class ApparentActivationEnergy(Answer):
    """Apparent activation energy of gelling."""

    __slots__ = ()
    _fields = {
        "value": quantity,
        "low": quantity,
        "high": quantity,
        "why": part("Why"),
    }
    value: Quantity
    """Over the whole table."""
    low: Quantity
    """Lower end of its range."""
    high: Quantity
    """Upper end of its range."""
    why: Why
    """The chain behind it; says where it is assumed."""


class RateOfCureAnswer(Answer):
    """A rate of cure."""

    __slots__ = ()
    _fields = {
        "rate": quantity,
        "initiator_rate": quantity,
        "heat_rate_W_per_kg": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    rate: Quantity
    """Conversion a second."""
    initiator_rate: Quantity
    """Initiator spent a second."""
    heat_rate_W_per_kg: float
    """Heat set free per kg of resin mix, W/kg."""
    extrapolated: str | None
    """What lies outside the fitted range, where something does."""
    why: Why
    """The chain behind it."""


class CureCurve(Answer):
    """Conversion over time along a schedule."""

    __slots__ = ()
    _fields = {
        "time_s": array,
        "temperature_K": array,
        "conversion": array,
        "initiator_spent": array,
        "extrapolated": plain,
        "why": part("Why"),
    }
    time_s: NDArray[np.float64]
    """Times from mixing, s, evenly spaced."""
    temperature_K: NDArray[np.float64]
    """Temperature of the part, K."""
    conversion: NDArray[np.float64]
    """Conversion, 0 to 1."""
    initiator_spent: NDArray[np.float64] | None
    """Spent fraction of the initiator, 0 to 1, where the law has one."""
    extrapolated: str | None
    """What lies outside the fitted range, where something does."""
    why: Why
    """The chain behind it."""


class SchedulePointInput(TypedDict):
    """A point of a [`Schedule`]."""

    time: QuantityInput
    """Time from mixing."""
    temperature: QuantityInput
    """Temperature of the part at that time."""


class CureTime(Answer):
    """When something is reached along a schedule."""

    __slots__ = ()
    _fields = {
        "time": quantity,
        "conversion": quantity,
        "temperature": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    time: Quantity
    """Time from mixing."""
    conversion: Quantity
    """Conversion then."""
    temperature: Quantity
    """Temperature of the part then."""
    extrapolated: str | None
    """What lies outside the fitted range, where something does."""
    why: Why
    """The chain behind it."""


class GelCriterionConversionInput(TypedDict):
    """At a conversion: some percent for a polyester, about 60 % for an epoxy with an amine (common
    practice, no source).
    """

    by: Literal["conversion"]
    conversion: QuantityInput
    """Conversion at gel."""


class ViscosityRiseInput(TypedDict):
    """How the viscosity of one resin rises with conversion, relative to the fresh mix at the same
    temperature.
    """

    gel_conversion: QuantityInput
    """Conversion at which the viscosity has no bound."""
    a: float
    """`A`, above 0, at most 20."""
    b: float
    """`B`; `A + B ag` above 0."""


class GelCriterionViscosityInput(TypedDict):
    """At a viscosity, over that of the fresh mix (a gel timer stops at a set viscosity, 50 Pa s for
    example).
    """

    by: Literal["viscosity"]
    ratio: float
    """Viscosity at gel over viscosity when fresh."""
    rise: ViscosityRiseInput | Answer
    """How it rises."""


GelCriterionInput: TypeAlias = GelCriterionConversionInput | GelCriterionViscosityInput
"""When the mix counts as gelled."""


class DoseFromKinetics(Answer):
    """The dose that gives a wanted gel time, from kinetics."""

    __slots__ = ()
    _fields = {
        "dose": quantity,
        "gel_time": part("CureTime"),
        "why": part("Why"),
    }
    dose: Quantity
    """Catalyst on 100 parts of resin by mass."""
    gel_time: CureTime
    """The gel time at that dose."""
    why: Why
    """The chain behind it."""


class PotLifeEndViscosityRatioInput(TypedDict):
    """The viscosity has risen so many times: 2 where the sheet says doubling."""

    ends_at: Literal["viscosity_ratio"]
    ratio: float
    """Viscosity over that of the fresh mix."""
    rise: ViscosityRiseInput | Answer
    """How it rises."""


class PotLifeEndGelInput(TypedDict):
    """Gel."""

    ends_at: Literal["gel"]
    criterion: GelCriterionInput | Answer
    """When it counts as gelled."""


PotLifeEndInput: TypeAlias = PotLifeEndViscosityRatioInput | PotLifeEndGelInput
"""What ends the pot life.

Data sheets mean one or the other: a viscosity that has doubled (or risen fourfold, for a thin resin) comes
well before gel.
"""


class TackWindow(Answer):
    """When a gel coat takes the laminate: from firm enough to carry it until too far cured to bond to it."""

    __slots__ = ()
    _fields = {
        "opens": quantity,
        "closes": quantity,
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    opens: Quantity
    """Laminate not before."""
    closes: Quantity
    """Laminate not after."""
    extrapolated: str | None
    """What lies outside which range, where something does."""
    cautions: tuple[str, ...]
    """What to check by hand."""
    why: Why
    """The chain behind it."""


class TackWindowRuleInput(TypedDict):
    """The tack window as conversions."""

    opens_at: QuantityInput
    """Conversion at which the film no longer wrinkles under the styrene of the laminate."""
    closes_at: QuantityInput
    """Conversion at which too little is left to bond to."""
    source: SourceInput | Answer
    """On whose word."""


class TackRuleInput(TypedDict):
    """The tack window for those who have a gel time only."""

    opens_after_gel_times: float
    """Opens at so many gel times."""
    closes_after_gel_times: float
    """Closes at so many gel times."""
    source: SourceInput | Answer
    """On whose word."""


class DemouldCriterionInput(TypedDict):
    """When a part may leave the mould. Every condition given must hold."""

    conversion: NotRequired[QuantityInput | None]
    """Least conversion."""
    glass_transition: NotRequired[GlassTransitionInput | Answer | None]
    """Glass transition against conversion, for the next condition."""
    above_part: NotRequired[QuantityInput | None]
    """How far the glass transition must lie above the part's own temperature; negative allows a part that
    is still rubbery and supported.
    """
    source: SourceInput | Answer
    """On whose word."""


class PostCure(Answer):
    """What a schedule leaves."""

    __slots__ = ()
    _fields = {
        "conversion": quantity,
        "glass_transition": quantity,
        "softest": quantity,
        "softest_at": quantity,
        "cautions": several(plain),
        "extrapolated": plain,
        "why": part("Why"),
    }
    conversion: Quantity
    """Conversion at the end."""
    glass_transition: Quantity
    """Glass transition temperature at the end."""
    softest: Quantity
    """How far at most the part was above its own glass transition after gel (soft: it sags unless
    supported); zero where it stayed glassy.
    """
    softest_at: Quantity
    """When that was."""
    cautions: tuple[str, ...]
    """What to do where it goes soft."""
    extrapolated: str | None
    """What lies outside the fitted range, where something does."""
    why: Why
    """The chain behind it."""


class PostCureHold(Answer):
    """How long to hold at the last temperature of a schedule."""

    __slots__ = ()
    _fields = {
        "hold": quantity,
        "reached": quantity,
        "conversion": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    hold: Quantity
    """The hold after the last point of the schedule; zero where the goal is reached before."""
    reached: Quantity
    """When the goal is reached, from mixing."""
    conversion: Quantity
    """Conversion then."""
    extrapolated: str | None
    """What lies outside the fitted range, where something does."""
    why: Why
    """The chain behind it."""


class EquivalentTime(Answer):
    """A schedule as a hold at one temperature."""

    __slots__ = ()
    _fields = {
        "time": quantity,
        "why": part("Why"),
    }
    time: Quantity
    """The hold that does the same."""
    why: Why
    """The chain behind it."""


class GlassTransitionAnswer(Answer):
    """A glass transition temperature."""

    __slots__ = ()
    _fields = {
        "temperature": quantity,
        "why": part("Why"),
    }
    temperature: Quantity
    """Glass transition temperature."""
    why: Why
    """The chain behind it."""


class FinalConversionAnswer(Answer):
    """A final conversion."""

    __slots__ = ()
    _fields = {
        "conversion": quantity,
        "why": part("Why"),
    }
    conversion: Quantity
    """Conversion at which cure stops."""
    why: Why
    """The chain behind it."""


class Shrinkage(Answer):
    """Shrinkage at a conversion. Lengths and volumes that shrink have negative strain."""

    __slots__ = ()
    _fields = {
        "volume": quantity,
        "linear": quantity,
        "linear_after_gel": quantity,
        "why": part("Why"),
    }
    volume: Quantity
    """Volume strain since mixing."""
    linear: Quantity
    """Linear strain since mixing, the same in all directions."""
    linear_after_gel: Quantity
    """Linear strain since gel: what pulls on mould and glass."""
    why: Why
    """The chain behind it."""


class CupReading(Answer):
    """What a cup of the mix shows."""

    __slots__ = ()
    _fields = {
        "gel_time": quantity,
        "gel_to_peak": quantity,
        "peak_temperature": quantity,
    }
    gel_time: Quantity
    """Mixing to gel."""
    gel_to_peak: Quantity
    """Gel to the peak temperature."""
    peak_temperature: Quantity
    """Peak temperature."""


class DataSheetKinetics(Answer):
    """Kinetics found from a data sheet's lines."""

    __slots__ = ()
    _fields = {
        "kinetics": part("Kinetics"),
        "gel_conversion": quantity,
        "reading": part("CupReading"),
        "assumed": several(plain),
        "why": part("Why"),
    }
    kinetics: Kinetics
    """The kinetics."""
    gel_conversion: Quantity
    """Conversion at gel that goes with them."""
    reading: CupReading
    """What the cup shows with them."""
    assumed: tuple[str, ...]
    """What the lines do not tell and was assumed."""
    why: Why
    """The chain behind it."""


def gel_time(
    *,
    table: GelTableInput | Answer,
    temperature: QuantityInput,
    dose: QuantityInput,
) -> GelTime:
    """Gel time at a temperature and dose from a data sheet's gel-time table, with its band.

    Parameters
    ----------
    table : GelTableInput
        The table.
    temperature : quantity
        Temperature of resin, mould and air.
    dose : quantity
        Catalyst on 100 parts of resin by mass.
    """
    return ask_as(
        "cure.gel_time",
        {
            "table": table,
            "temperature": temperature,
            "dose": dose,
        },
        GelTime,
    )


def dose_for_gel_time(
    *,
    table: GelTableInput | Answer,
    time: QuantityInput,
    temperature: QuantityInput,
    least: QuantityInput,
    most: QuantityInput,
) -> DoseForGelTime:
    """The catalyst dose inside a window that gives a wanted gel time, from a gel-time table; or why none
    does.

    Parameters
    ----------
    table : GelTableInput
        The table.
    time : quantity
        Wanted gel time.
    temperature : quantity
        Temperature of resin, mould and air.
    least : quantity
        Least dose allowed.
    most : quantity
        Most dose allowed.
    """
    return ask_as(
        "cure.dose_for_gel_time",
        {
            "table": table,
            "time": time,
            "temperature": temperature,
            "least": least,
            "most": most,
        },
        DoseForGelTime,
    )


def apparent_activation_energy(
    *,
    table: GelTableInput | Answer,
) -> ApparentActivationEnergy:
    """Apparent activation energy of gelling that a gel-time table implies.

    Parameters
    ----------
    table : GelTableInput
        The table.
    """
    return ask_as(
        "cure.apparent_activation_energy",
        {
            "table": table,
        },
        ApparentActivationEnergy,
    )


def rate(
    *,
    kinetics: KineticsInput | Answer,
    conversion: QuantityInput,
    temperature: QuantityInput,
    initiator_spent: QuantityInput | None = None,
) -> RateOfCureAnswer:
    """Rate of cure and of heat at a conversion and temperature.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    conversion : quantity
        Conversion.
    temperature : quantity
        Temperature of the resin.
    initiator_spent : quantity | None
        Spent fraction of the initiator; for laws without one leave it out.
    """
    return ask_as(
        "cure.rate",
        {
            "kinetics": kinetics,
            "conversion": conversion,
            "temperature": temperature,
            "initiator_spent": initiator_spent,
        },
        RateOfCureAnswer,
    )


def conversion(
    *,
    kinetics: KineticsInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
    duration: QuantityInput,
    samples: int | None = None,
) -> CureCurve:
    """Conversion over time of a part at a constant temperature or along a schedule (no self-heating).

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    schedule : Sequence[SchedulePointInput]
        Temperature of the part against time; one point is a constant temperature.
    duration : quantity
        How long.
    samples : int
        How many evenly spaced times to answer, 2 to 10001. Default: 101.
    """
    return ask_as(
        "cure.conversion",
        {
            "kinetics": kinetics,
            "schedule": schedule,
            "duration": duration,
            "samples": samples,
        },
        CureCurve,
    )


def gel_time_from_kinetics(
    *,
    kinetics: KineticsInput | Answer,
    criterion: GelCriterionInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
) -> CureTime:
    """Gel time along a schedule from kinetics, by conversion or by viscosity.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    criterion : GelCriterionInput
        When it counts as gelled.
    schedule : Sequence[SchedulePointInput]
        Temperature of the part against time.
    """
    return ask_as(
        "cure.gel_time_from_kinetics",
        {
            "kinetics": kinetics,
            "criterion": criterion,
            "schedule": schedule,
        },
        CureTime,
    )


def dose_from_kinetics(
    *,
    kinetics: KineticsInput | Answer,
    criterion: GelCriterionInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
    time: QuantityInput,
    least: QuantityInput,
    most: QuantityInput,
) -> DoseFromKinetics:
    """The catalyst dose inside a window that gives a wanted gel time, from free-radical kinetics; or why
    none does.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures; its law must know its dose.
    criterion : GelCriterionInput
        When it counts as gelled.
    schedule : Sequence[SchedulePointInput]
        Temperature of the part against time.
    time : quantity
        Wanted gel time.
    least : quantity
        Least dose allowed.
    most : quantity
        Most dose allowed.
    """
    return ask_as(
        "cure.dose_from_kinetics",
        {
            "kinetics": kinetics,
            "criterion": criterion,
            "schedule": schedule,
            "time": time,
            "least": least,
            "most": most,
        },
        DoseFromKinetics,
    )


def pot_life(
    *,
    kinetics: KineticsInput | Answer,
    end: PotLifeEndInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
) -> CureTime:
    """Pot life of the mix, to a viscosity ratio (doubling) or to gel, whichever the data sheet means.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    end : PotLifeEndInput
        What ends the pot life.
    schedule : Sequence[SchedulePointInput]
        Temperature of the mix against time.
    """
    return ask_as(
        "cure.pot_life",
        {
            "kinetics": kinetics,
            "end": end,
            "schedule": schedule,
        },
        CureTime,
    )


def tack_window(
    *,
    kinetics: KineticsInput | Answer,
    rule: TackWindowRuleInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
) -> TackWindow:
    """Earliest and latest lamination of a gel coat, from its kinetics.

    Parameters
    ----------
    kinetics : KineticsInput
        How the gel coat cures.
    rule : TackWindowRuleInput
        Between which conversions it takes the laminate.
    schedule : Sequence[SchedulePointInput]
        Temperature of the film against time.
    """
    return ask_as(
        "cure.tack_window",
        {
            "kinetics": kinetics,
            "rule": rule,
            "schedule": schedule,
        },
        TackWindow,
    )


def tack_window_from_gel_time(
    *,
    low: QuantityInput,
    gel_time: QuantityInput,
    high: QuantityInput,
    rule: TackRuleInput | Answer | None = None,
) -> TackWindow:
    """Earliest and latest lamination of a gel coat, from its gel time and a rule.

    Parameters
    ----------
    low : quantity
        Lower end of the gel time's band.
    gel_time : quantity
        Gel time.
    high : quantity
        Upper end of the gel time's band.
    rule : TackRuleInput
        Rule in gel times; the common one where not given.
    """
    return ask_as(
        "cure.tack_window_from_gel_time",
        {
            "low": low,
            "gel_time": gel_time,
            "high": high,
            "rule": rule,
        },
        TackWindow,
    )


def demould_time(
    *,
    kinetics: KineticsInput | Answer,
    criterion: DemouldCriterionInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
) -> CureTime:
    """Earliest demoulding along a schedule, by conversion and by glass transition against part
    temperature.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    criterion : DemouldCriterionInput
        What must hold.
    schedule : Sequence[SchedulePointInput]
        Temperature of the part against time.
    """
    return ask_as(
        "cure.demould_time",
        {
            "kinetics": kinetics,
            "criterion": criterion,
            "schedule": schedule,
        },
        CureTime,
    )


def post_cure(
    *,
    kinetics: KineticsInput | Answer,
    glass_transition: GlassTransitionInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
    demoulded: QuantityInput,
) -> PostCure:
    """Conversion and glass transition after an oven schedule, and how soft the part gets on the way.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    glass_transition : GlassTransitionInput
        Glass transition against conversion.
    schedule : Sequence[SchedulePointInput]
        The whole history from mixing to the end of the oven hold.
    demoulded : quantity
        When the part left the mould.
    """
    return ask_as(
        "cure.post_cure",
        {
            "kinetics": kinetics,
            "glass_transition": glass_transition,
            "schedule": schedule,
            "demoulded": demoulded,
        },
        PostCure,
    )


def post_cure_hold(
    *,
    kinetics: KineticsInput | Answer,
    glass_transition: GlassTransitionInput | Answer,
    schedule: Sequence[SchedulePointInput | Answer],
    wanted: QuantityInput,
) -> PostCureHold:
    """How long to hold in the oven until the glass transition is a wanted one.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    glass_transition : GlassTransitionInput
        Glass transition against conversion.
    schedule : Sequence[SchedulePointInput]
        The history from mixing to the start of the hold; the hold is at its last temperature.
    wanted : quantity
        Wanted glass transition.
    """
    return ask_as(
        "cure.post_cure_hold",
        {
            "kinetics": kinetics,
            "glass_transition": glass_transition,
            "schedule": schedule,
            "wanted": wanted,
        },
        PostCureHold,
    )


def time_to_conversion(
    *,
    kinetics: KineticsInput | Answer,
    conversion: QuantityInput,
    schedule: Sequence[SchedulePointInput | Answer],
) -> CureTime:
    """When a conversion is reached along a schedule, or how far cure comes and why it stops.

    Parameters
    ----------
    kinetics : KineticsInput
        How the resin cures.
    conversion : quantity
        Wanted conversion.
    schedule : Sequence[SchedulePointInput]
        Temperature of the part against time.
    """
    return ask_as(
        "cure.time_to_conversion",
        {
            "kinetics": kinetics,
            "conversion": conversion,
            "schedule": schedule,
        },
        CureTime,
    )


def equivalent_time(
    *,
    schedule: Sequence[SchedulePointInput | Answer],
    reference: QuantityInput,
    activation_energy: QuantityInput,
) -> EquivalentTime:
    """The hold at one temperature that cures as far as a schedule: Arrhenius equivalence of post-cures.

    Parameters
    ----------
    schedule : Sequence[SchedulePointInput]
        The schedule; a hold is two points.
    reference : quantity
        Temperature of the hold that replaces it.
    activation_energy : quantity
        Activation energy of the resin's cure.
    """
    return ask_as(
        "cure.equivalent_time",
        {
            "schedule": schedule,
            "reference": reference,
            "activation_energy": activation_energy,
        },
        EquivalentTime,
    )


def glass_transition(
    *,
    glass_transition: GlassTransitionInput | Answer,
    conversion: QuantityInput,
) -> GlassTransitionAnswer:
    """Glass transition temperature at a conversion (DiBenedetto).

    Parameters
    ----------
    glass_transition : GlassTransitionInput
        Glass transition against conversion.
    conversion : quantity
        Conversion.
    """
    return ask_as(
        "cure.glass_transition",
        {
            "glass_transition": glass_transition,
            "conversion": conversion,
        },
        GlassTransitionAnswer,
    )


def final_conversion(
    *,
    vitrification: VitrificationInput | Answer,
    temperature: QuantityInput,
) -> FinalConversionAnswer:
    """The conversion at which cure at a temperature stops by vitrification.

    Parameters
    ----------
    vitrification : VitrificationInput
        Where cure vitrifies.
    temperature : quantity
        Temperature of cure.
    """
    return ask_as(
        "cure.final_conversion",
        {
            "vitrification": vitrification,
            "temperature": temperature,
        },
        FinalConversionAnswer,
    )


def shrinkage(
    *,
    shrinkage: CureShrinkageInput | Answer,
    conversion: QuantityInput,
    gel_conversion: QuantityInput,
) -> Shrinkage:
    """Cure shrinkage at a conversion: volume, linear, and linear after gel.

    Parameters
    ----------
    shrinkage : CureShrinkageInput
        Densities and fillers.
    conversion : quantity
        Conversion.
    gel_conversion : quantity
        Conversion at gel.
    """
    return ask_as(
        "cure.shrinkage",
        {
            "shrinkage": shrinkage,
            "conversion": conversion,
            "gel_conversion": gel_conversion,
        },
        Shrinkage,
    )


def kinetics_from_data_sheet(
    *,
    lines: DataSheetLinesInput | Answer,
    cup: TestCupInput | Answer,
) -> DataSheetKinetics:
    """Free-radical kinetics whose cup shows a data sheet's gel time, gel-to-peak time and peak
    temperature.

    Parameters
    ----------
    lines : DataSheetLinesInput
        The lines.
    cup : TestCupInput
        The cup of the test; its surroundings are the temperature of the test.
    """
    return ask_as(
        "cure.kinetics_from_data_sheet",
        {
            "lines": lines,
            "cup": cup,
        },
        DataSheetKinetics,
    )


ANSWERS: dict[str, type[Answer]] = {
    "cure.gel_time": GelTime,
    "cure.dose_for_gel_time": DoseForGelTime,
    "cure.apparent_activation_energy": ApparentActivationEnergy,
    "cure.rate": RateOfCureAnswer,
    "cure.conversion": CureCurve,
    "cure.gel_time_from_kinetics": CureTime,
    "cure.dose_from_kinetics": DoseFromKinetics,
    "cure.pot_life": CureTime,
    "cure.tack_window": TackWindow,
    "cure.tack_window_from_gel_time": TackWindow,
    "cure.demould_time": CureTime,
    "cure.post_cure": PostCure,
    "cure.post_cure_hold": PostCureHold,
    "cure.time_to_conversion": CureTime,
    "cure.equivalent_time": EquivalentTime,
    "cure.glass_transition": GlassTransitionAnswer,
    "cure.final_conversion": FinalConversionAnswer,
    "cure.shrinkage": Shrinkage,
    "cure.kinetics_from_data_sheet": DataSheetKinetics,
}
"""The class of the answer to each question."""
