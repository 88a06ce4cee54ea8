# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about heat."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NotRequired, TypeAlias, TypedDict

import numpy as np
from numpy.typing import NDArray

from .answer import Answer, Table, array, ask_as, money, part, plain, quantity, rows, several
from .common import (
    CourseInput,
    CureInput,
    CureShrinkageInput,
    FaceInput,
    LayerInput,
    SurroundingsInput,
    ThermalInput,
    WallInput,
    Why,
)
from .units import Money, Quantity, QuantityInput

__all__ = [
    "Casting",
    "Cells",
    "CrackingInput",
    "CriticalSizeAnswer",
    "CupCurve",
    "CupInput",
    "CupRun",
    "DoseForGelAnswer",
    "ExtentAreaInput",
    "ExtentInput",
    "ExtentLengthInput",
    "HeatBalance",
    "HeatLimitInput",
    "HollowOrSolidAnswer",
    "LayerRun",
    "Lumping",
    "Peak",
    "PlaceBathInput",
    "PlaceBenchInput",
    "PlaceCoefficientInput",
    "PlaceInput",
    "PlaceInsulatedInput",
    "PourTemperatureAnswer",
    "PoursAnswer",
    "Profiles",
    "StillAirAnswer",
    "SweepCupsAnswer",
    "SweepWallsAnswer",
    "ThickestPourAnswer",
    "ThicknessForPeakAnswer",
    "VesselInput",
    "WallRun",
    "critical_size",
    "cup",
    "dose_for_gel",
    "hollow_or_solid",
    "pour_temperature",
    "pours",
    "still_air",
    "sweep_cups",
    "sweep_walls",
    "thickest_pour",
    "thickness_for_peak",
    "wall",
]


class Lumping(Answer):
    """How fair it is to give the mix one temperature."""

    __slots__ = ()
    _fields = {
        "biot": plain,
        "difference_inside": quantity,
        "fair": plain,
    }
    biot: float
    """Biot number, film coefficient times volume over surface over conductivity; below 0.1 lumping is
    usual.
    """
    difference_inside: Quantity
    """Self-heating across the mix at its fastest: `rho H da/dt L² / (2 k)` with `L` volume over surface,
    the steady difference between the middle and the face of a slab that thick, K. A mix that has set
    can not even it out.
    """
    fair: bool
    """Whether the Biot number is below 0.1 or the cup gives off next to no heat while it peaks."""


class CupCurve(Answer):
    """Temperature and conversion over time, in SI."""

    __slots__ = ()
    _fields = {
        "time_s": array,
        "temperature_k": array,
        "cure": array,
    }
    time_s: NDArray[np.float64]
    """Times, s."""
    temperature_k: NDArray[np.float64]
    """Temperature of the mix, K."""
    cure: NDArray[np.float64]
    """Degree of cure, 0 to 1."""


class CupRun(Answer):
    """What became of a cup."""

    __slots__ = ()
    _fields = {
        "peak": quantity,
        "peak_time": quantity,
        "gel": quantity,
        "gel_to_peak": quantity,
        "demould": quantity,
        "cure": quantity,
        "adiabatic_rise": quantity,
        "fastest_rise_k_per_s": plain,
        "runaway": quantity,
        "residual": plain,
        "lumping": part("Lumping"),
        "depth": quantity,
        "curve": part("CupCurve"),
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    peak: Quantity
    """Hottest."""
    peak_time: Quantity
    """When it was hottest."""
    gel: Quantity | None
    """When it gelled; not within the time followed where missing."""
    gel_to_peak: Quantity | None
    """From gel to peak."""
    demould: Quantity | None
    """When it reached its demould criterion."""
    cure: Quantity
    """Conversion at the end."""
    adiabatic_rise: Quantity
    """Adiabatic rise of a full cure: `H/c`."""
    fastest_rise_k_per_s: float
    """Fastest rise, K/s."""
    runaway: Quantity | None
    """When it first passed 300 °C, where resin chars, or began to heat itself without bound: a runaway."""
    residual: float
    """Heat set free less heat given off less heat stored, over the heat turned over."""
    lumping: Lumping
    """Whether one temperature is fair."""
    depth: Quantity
    """Depth of the mix in the cup."""
    curve: CupCurve | None
    """Over time, where asked for."""
    extrapolated: str | None
    """What lies outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equations and sources."""


class PlaceBenchInput(TypedDict):
    """On a bench in still air: its bottom insulated, side and top cooling by natural convection and
    radiation.
    """

    kind: Literal["bench"]
    air: CourseInput | Answer
    """Of the air."""
    emissivity: NotRequired[float | None]
    """Emissivity of vessel and mix; 0.9 where not given."""


class PlaceBathInput(TypedDict):
    """Side and bottom in a stirred bath, the top covered."""

    kind: Literal["bath"]
    bath: CourseInput | Answer
    """Of the bath."""
    coefficient: NotRequired[QuantityInput | None]
    """Between bath and vessel; 500 W/(m² K) where not given (stirred water, common practice, no source)."""


class PlaceCoefficientInput(TypedDict):
    """Top, side and bottom with one heat transfer coefficient."""

    kind: Literal["coefficient"]
    coefficient: QuantityInput
    """Over the whole surface."""
    surroundings: CourseInput | Answer
    """Of the surroundings."""


class PlaceInsulatedInput(TypedDict):
    """No heat leaves: the adiabatic rise."""

    kind: Literal["insulated"]


PlaceInput: TypeAlias = PlaceBenchInput | PlaceBathInput | PlaceCoefficientInput | PlaceInsulatedInput
"""Where a cup stands."""


class VesselInput(TypedDict):
    """The vessel of a cup."""

    mass: QuantityInput
    """Mass of the part that the mix wets."""
    specific_heat: QuantityInput
    """Specific heat capacity."""
    thickness: QuantityInput
    """Wall thickness."""
    conductivity: QuantityInput
    """Conductivity of the wall."""


class SweepCupsAnswer(Answer):
    """Answer to [`SweepCups`]: a column a quantity, a row a cup, null where a cup refused or never got
    there.
    """

    __slots__ = ()
    _fields = {
        "peak_k": array,
        "peak_time_s": array,
        "gel_s": array,
        "cure": array,
        "error": several(plain),
    }
    peak_k: NDArray[np.float64]
    """Peak, K."""
    peak_time_s: NDArray[np.float64]
    """When, s."""
    gel_s: NDArray[np.float64]
    """Gel time, s."""
    cure: NDArray[np.float64]
    """Conversion at the end."""
    error: tuple[str | None, ...]
    """Why a cup refused."""


class CupInput(TypedDict):
    """A cup of mixed resin."""

    mass: QuantityInput
    """Mass of the mix, 1 mg to 1000 kg."""
    thermal: ThermalInput | Answer
    """Heat capacity and conduction of the mix."""
    cure: CureInput | Answer
    """How it cures."""
    starts_at: QuantityInput
    """Temperature when mixed."""
    diameter: QuantityInput
    """Inner diameter of the (cylindrical) cup; the depth of the mix follows from its volume."""
    vessel: NotRequired[VesselInput | Answer | None]
    """The vessel; massless and thin where not given."""
    place: PlaceInput | Answer
    """Where it stands."""
    duration: QuantityInput
    """How long to follow it."""
    stop_when_cooling: NotRequired[bool]
    """Stop once it has gelled and cools."""
    points: NotRequired[int]
    """Number of evenly spaced times at which temperature and conversion are kept."""


class Peak(Answer):
    """A peak: how hot, when, where."""

    __slots__ = ()
    _fields = {
        "temperature": quantity,
        "time": quantity,
        "depth": quantity,
        "place": plain,
    }
    temperature: Quantity
    """Temperature."""
    time: Quantity
    """When."""
    depth: Quantity
    """Depth below the first face."""
    place: str
    """The layer it is in, or the face or interface it is at."""


class LayerRun(Answer):
    """What became of one layer."""

    __slots__ = ()
    _fields = {
        "name": plain,
        "peak": part("Peak"),
        "gel_begins": quantity,
        "gel_ends": quantity,
        "demould": quantity,
        "least_cure": quantity,
        "mean_cure": quantity,
        "mean_temperature": quantity,
        "time_above": quantity,
    }
    name: str
    """The layer."""
    peak: Peak
    """Its hottest."""
    gel_begins: Quantity | None
    """When its first part gelled."""
    gel_ends: Quantity | None
    """When all of it had gelled."""
    demould: Quantity | None
    """When all of it had reached its demould criterion."""
    least_cure: Quantity | None
    """Lowest conversion at the end."""
    mean_cure: Quantity | None
    """Mean conversion at the end."""
    mean_temperature: Quantity
    """Mean temperature at the end."""
    time_above: Quantity | None
    """Longest time that any part of it spent above [`Wall::time_above`]."""


class HeatBalance(Answer):
    """Heat, per square metre of a plane, per metre of a cylinder, or of the whole ball."""

    __slots__ = ()
    _fields = {
        "released_j": plain,
        "through_first_face_j": plain,
        "through_last_face_j": plain,
        "stored_j": plain,
        "residual": plain,
    }
    released_j: float
    """Set free by cure, J."""
    through_first_face_j: float
    """Come in through the first face, J; negative: lost."""
    through_last_face_j: float
    """Come in through the last face, J."""
    stored_j: float
    """Stored in the layers over what they were laid with, J."""
    residual: float
    """What does not add up, over the heat turned over."""


class Cells(Answer):
    """How fine the cells were, and what that did to the peak."""

    __slots__ = ()
    _fields = {
        "count": plain,
        "compared_with": plain,
        "peak_change": quantity,
        "peak_error": quantity,
        "converged": plain,
    }
    count: int
    """Number of cells."""
    compared_with: int
    """Number of cells of the coarser run it was compared with."""
    peak_change: Quantity
    """Change of the hottest temperature between the two."""
    peak_error: Quantity
    """Estimated error of the peak that is left, for cells of second order."""
    converged: bool
    """Whether that is within what was asked."""


class Profiles(Answer):
    """Temperature and conversion over time and depth, in SI."""

    __slots__ = ()
    _fields = {
        "time_s": array,
        "depth_m": array,
        "layer": several(plain),
        "temperature_k": several(array),
        "cure": several(array),
    }
    time_s: NDArray[np.float64]
    """Times, s."""
    depth_m: NDArray[np.float64]
    """Depths of the cells' centres below the first face, m."""
    layer: tuple[int, ...]
    """Layer of each depth, counted from 0."""
    temperature_k: tuple[NDArray[np.float64], ...]
    """Temperature in K: a row a time, a column a depth; null where not laid yet."""
    cure: tuple[NDArray[np.float64], ...]
    """Degree of cure, 0 to 1."""


class WallRun(Answer):
    """What became of a wall."""

    __slots__ = ()
    _fields = {
        "peak": part("Peak"),
        "layers": rows("LayerRun"),
        "surfaces": rows("Peak"),
        "steepest_gradient_k_per_m": plain,
        "largest_difference": quantity,
        "largest_difference_at": quantity,
        "largest_cure_difference": quantity,
        "fastest_rise_k_per_s": plain,
        "fastest_rise_at": quantity,
        "runaway": quantity,
        "ended": plain,
        "end": quantity,
        "heat": part("HeatBalance"),
        "cells": part("Cells"),
        "steps": plain,
        "steps_rejected": plain,
        "profiles": part("Profiles"),
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    peak: Peak
    """Hottest anywhere, at any time."""
    layers: Table[LayerRun]
    """Each layer."""
    surfaces: Table[Peak]
    """The first face, each interface, the last face: hottest."""
    steepest_gradient_k_per_m: float
    """Steepest temperature gradient within a layer, K/m."""
    largest_difference: Quantity
    """Largest difference between the hottest and the coldest part of what reacts."""
    largest_difference_at: Quantity
    """When that was."""
    largest_cure_difference: Quantity
    """Largest difference, between two parts of one layer, of the conversion that they have made since they
    gelled: what sets later shrinks onto what has set.
    """
    fastest_rise_k_per_s: float
    """Fastest rise anywhere, K/s, the mark of a runaway."""
    fastest_rise_at: Quantity
    """When that was."""
    runaway: Quantity | None
    """When it first passed 300 °C, where resin chars, or began to heat itself without bound: a runaway."""
    ended: Literal["duration", "cooling", "runaway"]
    """How it ended."""
    end: Quantity
    """When it ended."""
    heat: HeatBalance
    """Energy balance."""
    cells: Cells
    """Space error."""
    steps: int
    """Steps of the final run: accepted."""
    steps_rejected: int
    """Steps of the final run: rejected and made again smaller."""
    profiles: Profiles | None
    """Over time and depth, where asked for."""
    extrapolated: str | None
    """What lies outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equations and sources."""


class SweepWallsAnswer(Answer):
    """Answer to [`SweepWalls`]: a column a quantity, a row a wall, null where a wall refused or never got
    there.
    """

    __slots__ = ()
    _fields = {
        "peak_k": array,
        "peak_time_s": array,
        "peak_depth_m": array,
        "peak_error_k": array,
        "gelled_s": array,
        "demould_s": array,
        "runaway_s": array,
        "error": several(plain),
    }
    peak_k: NDArray[np.float64]
    """Hottest anywhere, K."""
    peak_time_s: NDArray[np.float64]
    """When, s."""
    peak_depth_m: NDArray[np.float64]
    """Depth of the hottest place below the first face, m."""
    peak_error_k: NDArray[np.float64]
    """Estimated error of the peak, K."""
    gelled_s: NDArray[np.float64]
    """When all that cures had gelled, s."""
    demould_s: NDArray[np.float64]
    """When all had reached its demould criterion, s."""
    runaway_s: NDArray[np.float64]
    """When it first passed 300 °C, s."""
    error: tuple[str | None, ...]
    """Why a wall refused."""


class ThickestPourAnswer(Answer):
    """Answer to [`ThickestPour`]."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "peak": quantity,
        "peak_time": quantity,
        "binding": plain,
        "cells": part("Cells"),
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    thickness: Quantity
    """The thickest that keeps all limits."""
    peak: Quantity
    """Its hottest."""
    peak_time: Quantity
    """When that is."""
    binding: str | None
    """The limit that binds; none where the thickest tried keeps them all."""
    cells: Cells
    """Space error."""
    extrapolated: str | None
    """Outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equation and sources."""


class HeatLimitInput(TypedDict):
    """Where a temperature limit holds."""

    layer: NotRequired[str | None]
    """Name of the layer it holds in; everywhere where not given."""
    below: QuantityInput
    """Hottest allowed."""
    because: str
    """Why: "mould wax softens", "monomer boils", "resin cracks"."""


class PoursAnswer(Answer):
    """Answer to [`Pours`]."""

    __slots__ = ()
    _fields = {
        "count": plain,
        "each": quantity,
        "laid_at_s": array,
        "peak": quantity,
        "done": quantity,
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    count: int
    """How many."""
    each: Quantity
    """Thickness of each."""
    laid_at_s: NDArray[np.float64]
    """When each is laid, s."""
    peak: Quantity
    """Hottest of the whole job."""
    done: Quantity
    """When the last has gelled and cooled as well."""
    extrapolated: str | None
    """Outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equation and sources."""


class Casting(Answer):
    """One way of casting it."""

    __slots__ = ()
    _fields = {
        "mix": quantity,
        "cost": money,
        "peak": quantity,
        "peak_time": quantity,
        "mould_face": quantity,
        "gelled": quantity,
        "demould": quantity,
        "difference": quantity,
        "cure_difference": quantity,
        "strain": quantity,
        "cracked": plain,
        "passed": several(plain),
        "cells": part("Cells"),
        "extrapolated": plain,
        "cautions": several(plain),
    }
    mix: Quantity
    """Mass of mix."""
    cost: Money | None
    """What the mix costs, where a price is given."""
    peak: Quantity
    """Hottest in the cast."""
    peak_time: Quantity
    """When that is."""
    mould_face: Quantity | None
    """Hottest of the mould's face."""
    gelled: Quantity | None
    """When all has gelled."""
    demould: Quantity | None
    """When all may be demoulded."""
    difference: Quantity
    """Largest difference of temperature within the cast."""
    cure_difference: Quantity
    """Largest difference within the cast of the conversion made since gel."""
    strain: Quantity | None
    """Strain that these differences leave, where [`HollowOrSolid::cracking`] is given: see
    [`Cracking::strain`].
    """
    cracked: bool | None
    """Whether that strain passes the strain at break."""
    passed: tuple[str, ...]
    """Limits that are passed."""
    cells: Cells
    """Space error."""
    extrapolated: str | None
    """Outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""


class HollowOrSolidAnswer(Answer):
    """Answer to [`HollowOrSolid`]."""

    __slots__ = ()
    _fields = {
        "hollow": part("Casting"),
        "solid": part("Casting"),
        "mix_saved": quantity,
        "why": part("Why"),
    }
    hollow: Casting
    """The shell."""
    solid: Casting
    """The solid fill."""
    mix_saved: Quantity
    """Mix saved by the shell."""
    why: Why
    """Equation and sources."""


class ExtentAreaInput(TypedDict):
    """Of a plane."""

    area: QuantityInput


class ExtentLengthInput(TypedDict):
    """Of a cylinder."""

    length: QuantityInput


ExtentInput: TypeAlias = ExtentAreaInput | ExtentLengthInput
"""How much of a plane or of a cylinder there is."""


class CrackingInput(TypedDict):
    """When a hardened mass cracks."""

    expansion: QuantityInput
    """Linear thermal expansion of the cured mix."""
    strain_at_break: QuantityInput
    """Strain at break."""
    shrinkage: NotRequired[CureShrinkageInput | Answer | None]
    """How much it shrinks as it cures. Left out, only the heat strains it."""


class CriticalSizeAnswer(Answer):
    """Answer to [`CriticalSize`]."""

    __slots__ = ()
    _fields = {
        "critical_size": quantity,
        "fastest_at": quantity,
        "cautions": several(plain),
        "extrapolated": plain,
        "why": part("Why"),
    }
    critical_size: Quantity
    """Thickness of a slab, diameter of a cylinder or a sphere: smaller can not run away with its face at
    the temperature of the surroundings.
    """
    fastest_at: Quantity
    """Conversion at which it reacts fastest at that temperature; the criterion is taken there."""
    cautions: tuple[str, ...]
    """What a larger mass may do."""
    extrapolated: str | None
    """Outside the fitted range of the kinetics."""
    why: Why
    """Equation and source."""


class ThicknessForPeakAnswer(Answer):
    """Answer to [`ThicknessForPeak`]."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "peak": quantity,
        "peak_time": quantity,
        "extrapolated": plain,
        "cautions": several(plain),
        "why": part("Why"),
    }
    thickness: Quantity
    """Thickness."""
    peak: Quantity
    """Peak at that thickness."""
    peak_time: Quantity
    """When."""
    extrapolated: str | None
    """Outside the fitted range of the kinetics."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equation and sources."""


class PourTemperatureAnswer(Answer):
    """Answer to [`PourTemperature`]."""

    __slots__ = ()
    _fields = {
        "temperature": quantity,
        "cup": part("CupRun"),
        "why": part("Why"),
    }
    temperature: Quantity
    """Temperature of the mix."""
    cup: CupRun
    """The cup poured at it."""
    why: Why
    """Equation and sources."""


class DoseForGelAnswer(Answer):
    """Answer to [`DoseForGel`]."""

    __slots__ = ()
    _fields = {
        "dose": quantity,
        "cup": part("CupRun"),
        "cautions": several(plain),
        "why": part("Why"),
    }
    dose: Quantity
    """Catalyst."""
    cup: CupRun
    """The cup with that dose."""
    cautions: tuple[str, ...]
    """Cautions."""
    why: Why
    """Equation and sources."""


class StillAirAnswer(Answer):
    """Answer to [`StillAir`]."""

    __slots__ = ()
    _fields = {
        "coefficient": quantity,
        "convection": quantity,
        "why": part("Why"),
    }
    coefficient: Quantity
    """Of convection and radiation together."""
    convection: Quantity
    """Of convection alone."""
    why: Why
    """Equation and sources."""


def cup(
    *,
    mass: QuantityInput,
    thermal: ThermalInput | Answer,
    cure: CureInput | Answer,
    starts_at: QuantityInput,
    diameter: QuantityInput,
    place: PlaceInput | Answer,
    duration: QuantityInput,
    vessel: VesselInput | Answer | None = None,
    stop_when_cooling: bool | None = None,
    points: int | None = None,
) -> CupRun:
    """Exotherm of a cup of mixed resin: gel, peak and its time, and whether one temperature is fair.

    Parameters
    ----------
    mass : quantity
        Mass of the mix, 1 mg to 1000 kg.
    thermal : ThermalInput
        Heat capacity and conduction of the mix.
    cure : CureInput
        How it cures.
    starts_at : quantity
        Temperature when mixed.
    diameter : quantity
        Inner diameter of the (cylindrical) cup; the depth of the mix follows from its volume.
    place : PlaceInput
        Where it stands.
    duration : quantity
        How long to follow it.
    vessel : VesselInput | None
        The vessel; massless and thin where not given.
    stop_when_cooling : bool
        Stop once it has gelled and cools. Default: False.
    points : int
        Number of evenly spaced times at which temperature and conversion are kept. Default: 0.
    """
    return ask_as(
        "heat.cup",
        {
            "mass": mass,
            "thermal": thermal,
            "cure": cure,
            "starts_at": starts_at,
            "diameter": diameter,
            "place": place,
            "duration": duration,
            "vessel": vessel,
            "stop_when_cooling": stop_when_cooling,
            "points": points,
        },
        CupRun,
    )


def sweep_cups(
    *,
    cups: Sequence[CupInput | Answer],
) -> SweepCupsAnswer:
    """Gel times and peaks of many cups, on all cores, as columns.

    Parameters
    ----------
    cups : Sequence[CupInput]
        The cups.
    """
    return ask_as(
        "heat.sweep_cups",
        {
            "cups": cups,
        },
        SweepCupsAnswer,
    )


def wall(
    *,
    layers: Sequence[LayerInput | Answer],
    first_face: FaceInput | Answer,
    last_face: FaceInput | Answer,
    duration: QuantityInput,
    form: Literal["plane", "cylinder", "sphere"] | None = None,
    first_radius: QuantityInput | None = None,
    grows: Literal["outward", "inward"] | None = None,
    stop_when_cooling: bool | None = None,
    stop_when_below: QuantityInput | None = None,
    time_above: QuantityInput | None = None,
    profiles: int | None = None,
    peak_within: QuantityInput | None = None,
    most_cells: int | None = None,
) -> WallRun:
    """Temperature and conversion over time and depth of a wall of layers: peak, faces, gel and demould of
    each layer.

    Parameters
    ----------
    layers : Sequence[LayerInput]
        From the first face to the last, in the order they are laid.
    first_face : FaceInput
        The face before the first layer.
    last_face : FaceInput
        The face after the last layer that is laid so far.
    duration : quantity
        How long to follow it, from time zero.
    form : Literal["plane", "cylinder", "sphere"]
        Plane, cylinder or sphere. Default: plane.
    first_radius : quantity | None
        Radius of the first face; needed unless plane.
    grows : Literal["outward", "inward"]
        Whether layers are laid outward or inward of the first face; inward where not given. Default:
        inward.
    stop_when_cooling : bool
        Stop once all layers have gelled (and reached their demould criterion) and everything cools.
        Default: False.
    stop_when_below : quantity | None
        Stop once all layers have gelled (and reached their demould criterion) and everything is cooler than
        this.
    time_above : quantity | None
        Count the time that each layer spends above this.
    profiles : int
        Number of evenly spaced times at which temperature and conversion are kept over depth, 100 000 and,
        times the number of cells, four million at most; none where 0. Default: 0.
    peak_within : quantity | None
        Largest error of the peak from the size of the cells and of the steps; 0.5 K where not given.
    most_cells : int | None
        Most cells to refine to; 800 where not given.
    """
    return ask_as(
        "heat.wall",
        {
            "layers": layers,
            "first_face": first_face,
            "last_face": last_face,
            "duration": duration,
            "form": form,
            "first_radius": first_radius,
            "grows": grows,
            "stop_when_cooling": stop_when_cooling,
            "stop_when_below": stop_when_below,
            "time_above": time_above,
            "profiles": profiles,
            "peak_within": peak_within,
            "most_cells": most_cells,
        },
        WallRun,
    )


def sweep_walls(
    *,
    walls: Sequence[WallInput | Answer],
) -> SweepWallsAnswer:
    """Peaks, gel and demould times of many walls, on all cores, as columns.

    Parameters
    ----------
    walls : Sequence[WallInput]
        The walls.
    """
    return ask_as(
        "heat.sweep_walls",
        {
            "walls": walls,
        },
        SweepWallsAnswer,
    )


def thickest_pour(
    *,
    wall: WallInput | Answer,
    layer: str,
    limits: Sequence[HeatLimitInput | Answer],
    thickest: QuantityInput,
    thinnest: QuantityInput | None = None,
) -> ThickestPourAnswer:
    """Thickest layer of a wall that keeps every temperature limit.

    Parameters
    ----------
    wall : WallInput
        The wall; the thickness of the poured layer is replaced.
    layer : str
        Name of the poured layer.
    limits : Sequence[HeatLimitInput]
        What must not be passed.
    thickest : quantity
        Thickest to try.
    thinnest : quantity | None
        Thinnest to try; 1 mm where not given.
    """
    return ask_as(
        "heat.thickest_pour",
        {
            "wall": wall,
            "layer": layer,
            "limits": limits,
            "thickest": thickest,
            "thinnest": thinnest,
        },
        ThickestPourAnswer,
    )


def pours(
    *,
    wall: WallInput | Answer,
    layer: str,
    limits: Sequence[HeatLimitInput | Answer],
    cooled_to: QuantityInput,
    most: int | None = None,
) -> PoursAnswer:
    """Number of pours of a thick body and the waiting time between them, with every temperature limit
    kept.

    Parameters
    ----------
    wall : WallInput
        The wall with the whole body as one layer.
    layer : str
        Name of that layer.
    limits : Sequence[HeatLimitInput]
        What must not be passed.
    cooled_to : quantity
        A pour is laid when all before has gelled and is cooler than this.
    most : int | None
        Most pours; 12 where not given.
    """
    return ask_as(
        "heat.pours",
        {
            "wall": wall,
            "layer": layer,
            "limits": limits,
            "cooled_to": cooled_to,
            "most": most,
        },
        PoursAnswer,
    )


def hollow_or_solid(
    *,
    cavity: QuantityInput,
    mould: Sequence[LayerInput | Answer],
    outside: FaceInput | Answer,
    inside: FaceInput | Answer,
    shell: QuantityInput,
    thermal: ThermalInput | Answer,
    cure: CureInput | Answer,
    poured_at: QuantityInput,
    duration: QuantityInput,
    form: Literal["plane", "cylinder", "sphere"] | None = None,
    extent: ExtentInput | Answer | None = None,
    price: str | None = None,
    limits: Sequence[HeatLimitInput | Answer] | None = None,
    cracking: CrackingInput | Answer | None = None,
) -> HollowOrSolidAnswer:
    """The same mould cast as a hollow shell and solid: mix, cost, peak, hours, cracked or not.

    Parameters
    ----------
    cavity : quantity
        Radius of the cavity (of a plane: half the distance between the mould halves).
    mould : Sequence[LayerInput]
        The mould, from its outside to the cavity.
    outside : FaceInput
        Outside of the mould.
    inside : FaceInput
        Inside of the hollow shell.
    shell : quantity
        Thickness of the hollow shell.
    thermal : ThermalInput
        Heat capacity and conduction of the mix.
    cure : CureInput
        How it cures.
    poured_at : quantity
        Temperature of the mix when poured.
    duration : quantity
        How long to follow it.
    form : Literal["plane", "cylinder", "sphere"]
        Shape of the cavity. Default: plane.
    extent : ExtentInput | None
        Area of the cast (plane: one face of it) or length (cylinder); a ball needs none.
    price : str | None
        Price of the mix by mass or volume.
    limits : Sequence[HeatLimitInput]
        What must not be passed; the poured layer is called "pour".
    cracking : CrackingInput | None
        When it cracks.
    """
    return ask_as(
        "heat.hollow_or_solid",
        {
            "cavity": cavity,
            "mould": mould,
            "outside": outside,
            "inside": inside,
            "shell": shell,
            "thermal": thermal,
            "cure": cure,
            "poured_at": poured_at,
            "duration": duration,
            "form": form,
            "extent": extent,
            "price": price,
            "limits": limits,
            "cracking": cracking,
        },
        HollowOrSolidAnswer,
    )


def critical_size(
    *,
    thermal: ThermalInput | Answer,
    cure: CureInput | Answer,
    surroundings: QuantityInput,
    form: Literal["plane", "cylinder", "sphere"] | None = None,
) -> CriticalSizeAnswer:
    """Size beyond which a mass of mix can not give off its heat fast enough (Frank-Kamenetskii).

    Parameters
    ----------
    thermal : ThermalInput
        Heat capacity and conduction of the mix.
    cure : CureInput
        How it cures.
    surroundings : quantity
        Temperature at which its face is held.
    form : Literal["plane", "cylinder", "sphere"]
        Slab, cylinder or sphere. Default: plane.
    """
    return ask_as(
        "heat.critical_size",
        {
            "thermal": thermal,
            "cure": cure,
            "surroundings": surroundings,
            "form": form,
        },
        CriticalSizeAnswer,
    )


def thickness_for_peak(
    *,
    wall: WallInput | Answer,
    layer: str,
    peak: QuantityInput,
    thinnest: QuantityInput,
    thickest: QuantityInput,
) -> ThicknessForPeakAnswer:
    """Thickness of a layer at which the wall peaks at a wanted temperature.

    Parameters
    ----------
    wall : WallInput
        The wall; the thickness of `layer` is replaced.
    layer : str
        Name of the layer.
    peak : quantity
        Wanted peak.
    thinnest : quantity
        Thinnest to try.
    thickest : quantity
        Thickest to try.
    """
    return ask_as(
        "heat.thickness_for_peak",
        {
            "wall": wall,
            "layer": layer,
            "peak": peak,
            "thinnest": thinnest,
            "thickest": thickest,
        },
        ThicknessForPeakAnswer,
    )


def pour_temperature(
    *,
    cup: CupInput | Answer,
    gel: QuantityInput,
    coldest: QuantityInput,
    warmest: QuantityInput,
) -> PourTemperatureAnswer:
    """Temperature of the mix at which a cup gels at a wanted time.

    Parameters
    ----------
    cup : CupInput
        The cup; its `starts_at` is replaced.
    gel : quantity
        Wanted gel time.
    coldest : quantity
        Coldest to try.
    warmest : quantity
        Warmest to try.
    """
    return ask_as(
        "heat.pour_temperature",
        {
            "cup": cup,
            "gel": gel,
            "coldest": coldest,
            "warmest": warmest,
        },
        PourTemperatureAnswer,
    )


def dose_for_gel(
    *,
    cup: CupInput | Answer,
    gel: QuantityInput,
    least: QuantityInput,
    most: QuantityInput,
) -> DoseForGelAnswer:
    """Catalyst dose, within the data sheet's window, at which a cup gels at a wanted time.

    Parameters
    ----------
    cup : CupInput
        The cup, with free-radical kinetics; their dose is replaced.
    gel : quantity
        Wanted gel time.
    least : quantity
        Least catalyst to try: the lower end of the data sheet's window.
    most : quantity
        Most catalyst to try: the upper end of the data sheet's window.
    """
    return ask_as(
        "heat.dose_for_gel",
        {
            "cup": cup,
            "gel": gel,
            "least": least,
            "most": most,
        },
        DoseForGelAnswer,
    )


def still_air(
    *,
    surroundings: SurroundingsInput | Answer,
    face: QuantityInput,
    air: QuantityInput,
) -> StillAirAnswer:
    """Heat transfer coefficient of a face in still air: natural convection and radiation.

    Parameters
    ----------
    surroundings : SurroundingsInput
        How it stands.
    face : quantity
        Temperature of the face.
    air : quantity
        Temperature of air and walls.
    """
    return ask_as(
        "heat.still_air",
        {
            "surroundings": surroundings,
            "face": face,
            "air": air,
        },
        StillAirAnswer,
    )


ANSWERS: dict[str, type[Answer]] = {
    "heat.cup": CupRun,
    "heat.sweep_cups": SweepCupsAnswer,
    "heat.wall": WallRun,
    "heat.sweep_walls": SweepWallsAnswer,
    "heat.thickest_pour": ThickestPourAnswer,
    "heat.pours": PoursAnswer,
    "heat.hollow_or_solid": HollowOrSolidAnswer,
    "heat.critical_size": CriticalSizeAnswer,
    "heat.thickness_for_peak": ThicknessForPeakAnswer,
    "heat.pour_temperature": PourTemperatureAnswer,
    "heat.dose_for_gel": DoseForGelAnswer,
    "heat.still_air": StillAirAnswer,
}
"""The class of the answer to each question."""
