"""What the library knows of risk."""

# Made by the build from the tables of the Rust library: do not edit, do not commit.
# ruff: noqa

from __future__ import annotations

from .noun import Choice, Noun, part, plain, quantity, rows, several
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .noun import Table
    from .reliability import Proportion
    from .source import Why
    from .units import Quantity, QuantityInput, TextInput
    from collections.abc import Mapping, Sequence
    from typing import Literal, Self

__all__ = ['Correlated', 'Likeliest', 'LikeliestTry', 'LimitRisk', 'Percentile', 'Risk', 'RiskDriver', 'RiskInput', 'RiskNumber', 'RiskSpreads', 'WhatToTry']


class Correlated(Noun):
    """Two inputs that go together.

    Parameters
    ----------
    one : str
        The one, by its name in `Risk.inputs`.
    other : str
        The other.
    correlation : float
        Correlation of their standard normal numbers. Allowed: -1 to 1.
    """

    __slots__ = ()
    _noun = "Correlated"
    _shape = {"one": plain, "other": plain, "correlation": plain}
    one: str
    """The one, by its name in `Risk.inputs`."""
    other: str
    """The other."""
    correlation: float
    """Correlation of their standard normal numbers."""

    def __init__(self, one: str, other: str, correlation: float) -> None:
        super().__init__({"one": one, "other": other, "correlation": correlation})


class RiskSpreads(Noun):
    """How far off what the bench does not tell may be. Relative standard uncertainties: two in three are off by less.

    Parameters
    ----------
    thickness : quantity (relative spread), optional
        Of the thickness of a layer as a hand lays it: common practice, no source; a comb pressed in at ten
        places tells this shop's own. Default: 15 %. Allowed: 0 % to 99 %.
    pace : quantity (relative spread), optional
        Of the pace of the hands over a day: common practice, no source; the shop's own hours tell better.
        Default: 20 %. Allowed: 0 % to 99 %.
    dose : quantity (relative spread), optional
        Of every dose, where it is not to be as the bench measures it. Allowed: 0 % to 99 %.
    temperature : quantity (temperature interval), optional
        Of the temperature, where it is not to be as the bench's thermometer shows it. Allowed: 0 K to 20 K.
    correlations : list of Correlated, optional
        Inputs that go together: a Gaussian copula.
    """

    __slots__ = ()
    _noun = "RiskSpreads"
    _shape = {"thickness": quantity, "pace": quantity, "dose": quantity, "temperature": quantity, "correlations": rows("risk", "Correlated")}
    _defaults = {'thickness': '15 %', 'pace': '20 %', 'correlations': []}
    thickness: Quantity
    """Of the thickness of a layer as a hand lays it: common practice, no source; a comb pressed in at ten places
    tells this shop's own.
    """
    pace: Quantity
    """Of the pace of the hands over a day: common practice, no source; the shop's own hours tell better."""
    dose: Quantity | None
    """Of every dose, where it is not to be as the bench measures it."""
    temperature: Quantity | None
    """Of the temperature, where it is not to be as the bench's thermometer shows it."""
    correlations: Table[Correlated]
    """Inputs that go together: a Gaussian copula."""

    def __init__(self, *, thickness: QuantityInput | None = None, pace: QuantityInput | None = None, dose: QuantityInput | None = None, temperature: QuantityInput | None = None, correlations: Sequence[Correlated | Mapping[str, Any]] | None = None) -> None:
        super().__init__({"thickness": thickness, "pace": pace, "dose": dose, "temperature": temperature, "correlations": correlations})


class LimitRisk(Noun):
    """How likely a limit is broken.

    Parameters
    ----------
    limit : str
        Its name.
    quantity : {catalyst_dose, shop_temperature, mould_temperature, resin_temperature, above_dew_point,
    relative_humidity, gel_coat_wet_thickness, gel_coat_film, pour_thickness, session_thickness, wall_thickness,
    seam_thickness, silica_loading, chop_loading, filler_loading, pigment_loading, glass_content,
    batch_over_working_time, gel_time, dose_uncertainty, batch_mass, peak_temperature, boiling_monomer,
    mould_face_temperature, tack_window, green_trim, open_time, demould_cure, demould_wait, demould_sheet,
    foam_growth, oven_temperature, oven_over_glass, glass_over_use, edge_strain, gel_coat_strain, filler_volume,
    clamp_pressure, sag_margin, seam_spread, seam_squeezed_out, drop_over_scale_step, release_coats,
    thinner_loading, contrast_ratio, vapour_in_air, light_transmission, bow, print_through, chop_over_packing,
    mount_factor}
        What is bounded.
    subject : str
        Of what.
    severity : {advice, warning, stop}
        How bad that is.
    broken : Proportion
        How likely.
    message : str
        What goes wrong.
    """

    __slots__ = ()
    _noun = "LimitRisk"
    _shape = {"limit": plain, "quantity": plain, "subject": plain, "severity": plain, "broken": part("reliability", "Proportion"), "message": plain}
    limit: str
    """Its name."""
    quantity: Literal["catalyst_dose", "shop_temperature", "mould_temperature", "resin_temperature", "above_dew_point", "relative_humidity", "gel_coat_wet_thickness", "gel_coat_film", "pour_thickness", "session_thickness", "wall_thickness", "seam_thickness", "silica_loading", "chop_loading", "filler_loading", "pigment_loading", "glass_content", "batch_over_working_time", "gel_time", "dose_uncertainty", "batch_mass", "peak_temperature", "boiling_monomer", "mould_face_temperature", "tack_window", "green_trim", "open_time", "demould_cure", "demould_wait", "demould_sheet", "foam_growth", "oven_temperature", "oven_over_glass", "glass_over_use", "edge_strain", "gel_coat_strain", "filler_volume", "clamp_pressure", "sag_margin", "seam_spread", "seam_squeezed_out", "drop_over_scale_step", "release_coats", "thinner_loading", "contrast_ratio", "vapour_in_air", "light_transmission", "bow", "print_through", "chop_over_packing", "mount_factor"]
    """What is bounded."""
    subject: str
    """Of what."""
    severity: Literal["advice", "warning", "stop"]
    """How bad that is."""
    broken: Proportion
    """How likely."""
    message: str
    """What goes wrong."""

    def __init__(self, limit: str, quantity: Literal["catalyst_dose", "shop_temperature", "mould_temperature", "resin_temperature", "above_dew_point", "relative_humidity", "gel_coat_wet_thickness", "gel_coat_film", "pour_thickness", "session_thickness", "wall_thickness", "seam_thickness", "silica_loading", "chop_loading", "filler_loading", "pigment_loading", "glass_content", "batch_over_working_time", "gel_time", "dose_uncertainty", "batch_mass", "peak_temperature", "boiling_monomer", "mould_face_temperature", "tack_window", "green_trim", "open_time", "demould_cure", "demould_wait", "demould_sheet", "foam_growth", "oven_temperature", "oven_over_glass", "glass_over_use", "edge_strain", "gel_coat_strain", "filler_volume", "clamp_pressure", "sag_margin", "seam_spread", "seam_squeezed_out", "drop_over_scale_step", "release_coats", "thinner_loading", "contrast_ratio", "vapour_in_air", "light_transmission", "bow", "print_through", "chop_over_packing", "mount_factor"], subject: str, severity: Literal["advice", "warning", "stop"], broken: Proportion | Mapping[str, Any], message: str) -> None:
        super().__init__({"limit": limit, "quantity": quantity, "subject": subject, "severity": severity, "broken": broken, "message": message})


class Percentile(Noun):
    """A percentile of the draws, with an interval that asks nothing of their distribution.

    Parameters
    ----------
    value : str
        Of the draws. For example "2.4 wt%".
    low : str, optional
        Lower end of its interval; none where so few draws can not tell.
    high : str, optional
        Upper end.
    """

    __slots__ = ()
    _noun = "Percentile"
    _shape = {"value": quantity, "low": quantity, "high": quantity}
    value: Quantity
    """Of the draws."""
    low: Quantity | None
    """Lower end of its interval; none where so few draws can not tell."""
    high: Quantity | None
    """Upper end."""

    def __init__(self, value: TextInput, *, low: TextInput | None = None, high: TextInput | None = None) -> None:
        super().__init__({"value": value, "low": low, "high": high})


class RiskDriver(Noun):
    """What makes the difference, as a total Sobol' index: the part of the variance of how it goes that would stay
    if all but this were known; of two draws that differ in this alone, how often they go otherwise, over how
    often any two do.

    Parameters
    ----------
    input : str
        Which.
    total : float
        Its total index.
    low : float
        Lower end of its interval (bootstrap).
    high : float
        Upper end.
    alone : float
        Its index of first order: the part that would go if it alone were known.
    note : str, optional
        What is to be said beside these.
    """

    __slots__ = ()
    _noun = "RiskDriver"
    _shape = {"input": plain, "total": plain, "low": plain, "high": plain, "alone": plain, "note": plain}
    input: str
    """Which."""
    total: float
    """Its total index."""
    low: float
    """Lower end of its interval (bootstrap)."""
    high: float
    """Upper end."""
    alone: float
    """Its index of first order: the part that would go if it alone were known."""
    note: str | None
    """What is to be said beside these."""

    def __init__(self, input: str, total: float, low: float, high: float, alone: float, *, note: str | None = None) -> None:
        super().__init__({"input": input, "total": total, "low": low, "high": high, "alone": alone, "note": note})


class RiskInput(Noun):
    """What is left open.

    Parameters
    ----------
    name : str
        What: `spreads.correlations` names it like that.
    group : str
        What it belongs to, as `RiskDriver.input` names it.
    spread : str, optional
        One standard deviation; none where it is drawn along a band.
    """

    __slots__ = ()
    _noun = "RiskInput"
    _shape = {"name": plain, "group": plain, "spread": plain}
    name: str
    """What: `spreads.correlations` names it like that."""
    group: str
    """What it belongs to, as `RiskDriver.input` names it."""
    spread: str | None
    """One standard deviation; none where it is drawn along a band."""

    def __init__(self, name: str, group: str, *, spread: str | None = None) -> None:
        super().__init__({"name": name, "group": group, "spread": spread})


class RiskNumber(Noun):
    """A number of the plan as it may turn out.

    Parameters
    ----------
    name : str
        Which.
    p05 : Percentile
        One draw in twenty is lower.
    p50 : Percentile
        Half are lower.
    p95 : Percentile
        One in twenty is higher.
    absent : quantity (probability), optional
        Draws that have no such number, where there are any: the percentiles are of the others.
    """

    __slots__ = ()
    _noun = "RiskNumber"
    _shape = {"name": plain, "p05": part("risk", "Percentile"), "p50": part("risk", "Percentile"), "p95": part("risk", "Percentile"), "absent": quantity}
    name: str
    """Which."""
    p05: Percentile
    """One draw in twenty is lower."""
    p50: Percentile
    """Half are lower."""
    p95: Percentile
    """One in twenty is higher."""
    absent: Quantity | None
    """Draws that have no such number, where there are any: the percentiles are of the others."""

    def __init__(self, name: str, p05: Percentile | Mapping[str, Any], p50: Percentile | Mapping[str, Any], p95: Percentile | Mapping[str, Any], *, absent: QuantityInput | None = None) -> None:
        super().__init__({"name": name, "p05": p05, "p50": p50, "p95": p95, "absent": absent})


class Risk(Noun):
    """How likely a casting comes out. All intervals hold with 95 %; those of shares are Wilson's.

    Parameters
    ----------
    draws : int
        How many draws.
    seed : int
        Where they come from: the same seed, the same answer.
    comes_out : Proportion
        It comes out: no stop is broken, all of it gels. Warnings may be broken.
    spoiled : Proportion
        It is spoiled: a stop is broken, a zone does not gel, or the draw can not be planned.
    good : Proportion
        No stop and no warning is broken.
    failed : int
        Draws that could not be planned: counted as spoiled.
    inputs : list of RiskInput
        What is left open.
    why : Why
        The chain behind it.
    failed_first : str, optional
        Why the first of them could not.
    limits : list of LimitRisk, optional
        Each limit that some draw breaks: stops first, the likeliest first. How well a dose is known is not
        among them: what it does is drawn.
    numbers : list of RiskNumber, optional
        Gel times, peaks, cures, hours.
    drivers : list of RiskDriver, optional
        What makes the difference, the largest first; empty where nothing was asked of it, where all draws went
        alike, and where inputs go together.
    drivers_of : str, optional
        Between what the drivers make the difference.
    """

    __slots__ = ()
    _noun = "Risk"
    _shape = {"draws": plain, "seed": plain, "comes_out": part("reliability", "Proportion"), "spoiled": part("reliability", "Proportion"), "good": part("reliability", "Proportion"), "failed": plain, "inputs": rows("risk", "RiskInput"), "why": part("source", "Why"), "failed_first": plain, "limits": rows("risk", "LimitRisk"), "numbers": rows("risk", "RiskNumber"), "drivers": rows("risk", "RiskDriver"), "drivers_of": plain}
    _defaults = {'limits': [], 'numbers': [], 'drivers': []}
    draws: int
    """How many draws."""
    seed: int
    """Where they come from: the same seed, the same answer."""
    comes_out: Proportion
    """It comes out: no stop is broken, all of it gels. Warnings may be broken."""
    spoiled: Proportion
    """It is spoiled: a stop is broken, a zone does not gel, or the draw can not be planned."""
    good: Proportion
    """No stop and no warning is broken."""
    failed: int
    """Draws that could not be planned: counted as spoiled."""
    inputs: Table[RiskInput]
    """What is left open."""
    why: Why
    """The chain behind it."""
    failed_first: str | None
    """Why the first of them could not."""
    limits: Table[LimitRisk]
    """Each limit that some draw breaks: stops first, the likeliest first. How well a dose is known is not among
    them: what it does is drawn.
    """
    numbers: Table[RiskNumber]
    """Gel times, peaks, cures, hours."""
    drivers: Table[RiskDriver]
    """What makes the difference, the largest first; empty where nothing was asked of it, where all draws went
    alike, and where inputs go together.
    """
    drivers_of: str | None
    """Between what the drivers make the difference."""

    def __init__(self, draws: int, seed: int, comes_out: Proportion | Mapping[str, Any], spoiled: Proportion | Mapping[str, Any], good: Proportion | Mapping[str, Any], failed: int, inputs: Sequence[RiskInput | Mapping[str, Any]], why: Why | Mapping[str, Any], *, failed_first: str | None = None, limits: Sequence[LimitRisk | Mapping[str, Any]] | None = None, numbers: Sequence[RiskNumber | Mapping[str, Any]] | None = None, drivers: Sequence[RiskDriver | Mapping[str, Any]] | None = None, drivers_of: str | None = None) -> None:
        super().__init__({"draws": draws, "seed": seed, "comes_out": comes_out, "spoiled": spoiled, "good": good, "failed": failed, "inputs": inputs, "why": why, "failed_first": failed_first, "limits": limits, "numbers": numbers, "drivers": drivers, "drivers_of": drivers_of})


class WhatToTry(Choice):
    """What is tried, and the values of it.

    One of: dose, thickness, start.
    """

    __slots__ = ()
    _noun = "WhatToTry"
    _variants = {"dose": {"recipe": plain, "values": several(plain)}, "thickness": {"zone": plain, "layer": plain, "values": several(quantity)}, "start": {"values": several(plain)}}
    _tag = "what"

    kind: Literal["dose", "thickness", "start"]
    """Which it is."""
    recipe: str | None
    """The recipe."""
    values: tuple[Quantity, ...] | tuple[str, ...] | None
    """The doses."""
    zone: str | None
    """The zone."""
    layer: int | None
    """Which of its layers, counted from 0."""

    @classmethod
    def dose(cls, recipe: str, values: Sequence[TextInput]) -> Self:
        """The dose of a recipe's initiator or hardener.

        Parameters
        ----------
        recipe : str
            The recipe.
        values : list of str
            The doses.
        """
        return cls._chosen("dose", {"recipe": recipe, "values": values})

    @classmethod
    def thickness(cls, zone: str, layer: int, values: Sequence[QuantityInput]) -> Self:
        """The wet thickness of each coat of a zone's gel coat, or the depth of its pour.

        Parameters
        ----------
        zone : str
            The zone.
        layer : int
            Which of its layers, counted from 0.
        values : list
            The thicknesses.
        """
        return cls._chosen("thickness", {"zone": zone, "layer": layer, "values": values})

    @classmethod
    def start(cls, values: Sequence[TextInput]) -> Self:
        """The hour of starting; the end of the working day moves with it.

        Parameters
        ----------
        values : list of str
            The hours.
        """
        return cls._chosen("start", {"values": values})


class LikeliestTry(Noun):
    """A value that was tried.

    Attributes
    ----------
    value : str
        The value.
    comes_out : Proportion | None
        How likely it comes out; none where no plan can be made with it.
    good : Proportion | None
        How likely without any warning.
    refused : str | None
        Why no plan can be made with it.
    """

    __slots__ = ()
    _noun = "LikeliestTry"
    _shape = {"value": plain, "comes_out": part("reliability", "Proportion"), "good": part("reliability", "Proportion"), "refused": plain}
    value: str
    """The value."""
    comes_out: Proportion | None
    """How likely it comes out; none where no plan can be made with it."""
    good: Proportion | None
    """How likely without any warning."""
    refused: str | None
    """Why no plan can be made with it."""



class Likeliest(Noun):
    """Which value makes a good part likeliest.

    Attributes
    ----------
    best : str
        That value.
    tries : Table[LikeliestTry]
        All that were tried, in their order.
    draws : int
        How many draws each had: the same ones.
    why : Why
        The chain behind it.
    as_good : tuple[str, ...]
        The values that the draws do not tell from the best.
    """

    __slots__ = ()
    _noun = "Likeliest"
    _shape = {"best": plain, "tries": rows("risk", "LikeliestTry"), "draws": plain, "why": part("source", "Why"), "as_good": several(plain)}
    _defaults = {'as_good': []}
    best: str
    """That value."""
    tries: Table[LikeliestTry]
    """All that were tried, in their order."""
    draws: int
    """How many draws each had: the same ones."""
    why: Why
    """The chain behind it."""
    as_good: tuple[str, ...]
    """The values that the draws do not tell from the best."""

