"""What the library knows of air."""

# Made by the build from the tables of the Rust library: do not edit, do not commit.
# ruff: noqa

from __future__ import annotations

from .noun import Noun, array, asked, part, plain, quantity, rows, several
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .noun import Table
    from .source import Source, Why
    from .units import Quantity, QuantityInput
    from collections.abc import Mapping, Sequence
    from numpy.typing import NDArray
    from typing import Literal

__all__ = ['AdditiveEffect', 'AdditiveSum', 'AirCurve', 'Dilution', 'DilutionAir', 'Emission', 'EvaporationRate', 'Exposure', 'ExposureCompared', 'Extraction', 'FreshAir', 'IncompatiblePair', 'NearField', 'OpenCup', 'PeroxideStorage', 'Respirator', 'Room', 'SharedShelf', 'ShelfChecked', 'StagnantCup', 'StorageTemperatures', 'VapourInRoom']


class Emission(Noun):
    """Vapour that gets into the room, evenly over a time.

    Parameters
    ----------
    from_ : quantity (time)
        When it begins. Allowed: 0 s to 1000 d. For example "20 min".
    until : quantity (time)
        When it ends. Allowed: 0 s to 1000 d. For example "20 min".
    mass : quantity (mass)
        Mass of vapour. Allowed: 0 g to 1000 kg. For example "120 g".
    """

    __slots__ = ()
    _noun = "Emission"
    _shape = {"from": quantity, "until": quantity, "mass": quantity}
    _renamed = {"from_": "from"}
    from_: Quantity
    """When it begins."""
    until: Quantity
    """When it ends."""
    mass: Quantity
    """Mass of vapour."""

    def __init__(self, from_: QuantityInput, until: QuantityInput, mass: QuantityInput) -> None:
        super().__init__({"from": from_, "until": until, "mass": mass})


class Extraction(Noun):
    """Extraction at the work: a hood, a slot or a hose beside the mould.

    Parameters
    ----------
    flow : quantity (volume rate)
        Air that it carries out of the room. Allowed: 0 m^3/h to 1e6 m^3/h. For example "150 m^3/h".
    captures : quantity (relative amount), optional
        Share of the vapour that it catches before it is in the room: measured with smoke or a meter, never
        assumed. Default: 0 %. Allowed: 0 % to 100 %.
    on : bool, optional
        Whether it runs. Default: True.
    """

    __slots__ = ()
    _noun = "Extraction"
    _shape = {"flow": quantity, "captures": quantity, "on": plain}
    _defaults = {'captures': '0 %', 'on': True}
    flow: Quantity
    """Air that it carries out of the room."""
    captures: Quantity
    """Share of the vapour that it catches before it is in the room: measured with smoke or a meter, never assumed."""
    on: bool
    """Whether it runs."""

    def __init__(self, flow: QuantityInput, *, captures: QuantityInput | None = None, on: bool | None = None) -> None:
        super().__init__({"flow": flow, "captures": captures, "on": on})


class NearField(Noun):
    """The air around the work, in which the person's head is.

    Parameters
    ----------
    volume : quantity (volume)
        Its volume: a hemisphere of arm's length has 1 m³. Allowed: more than 0 m^3 to 1000 m^3. For example
        "250 mL".
    exchange : quantity (volume rate)
        Air that passes between it and the rest of the room. Allowed: more than 0 m^3/h to 1e6 m^3/h. For
        example "150 m^3/h".
    """

    __slots__ = ()
    _noun = "NearField"
    _shape = {"volume": quantity, "exchange": quantity}
    volume: Quantity
    """Its volume: a hemisphere of arm's length has 1 m³."""
    exchange: Quantity
    """Air that passes between it and the rest of the room."""

    def __init__(self, volume: QuantityInput, exchange: QuantityInput) -> None:
        super().__init__({"volume": volume, "exchange": exchange})


class Room(Noun):
    """A room, as the air in it sees it.

    Well mixed: `V dC/dt = G (1 - c) - Q C`, `Q = (n V + E)/K` with the air changes `n`, the extraction's flow
    `E` and its share caught `c`, the mixing factor `K`. With a near field of `V_n` and an exchange `b`, in
    which all vapour is set free: `V_n dC_n/dt = G (1 - c) + b (C_f - C_n)`, `(V - V_n) dC_f/dt = b (C_n - C_f)
    - Q C_f`.

    Sources: ACGIH, Industrial Ventilation, chapter 2 (dilution with the factor K; from memory); M. Nicas, A
    decoupling method to compute near field and far field exposure concentrations, Ann. Work Expo. Health 68:78
    (2024), doi 10.1093/annweh/wxad064 (equations of both).

    Not modelled: vapour that sinks (styrene is 3.6 times as heavy as air and pools in a mould), draughts, what
    walls and clothes take up.

    Parameters
    ----------
    volume : quantity (volume)
        Its volume. Allowed: more than 0 m^3 to 1e6 m^3. For example "250 mL".
    air_changes : quantity (rate)
        Air changes: fresh air a time over the room's volume. Allowed: 0 1/h to 1000 1/h. For example "2e-4 1/s".
    mixing_factor : float, optional
        How much more air it takes than if it mixed at once (K): 1 for perfect mixing, 3 for good supply, 10 for
        poor. Default: 3. Allowed: 1 to 10.
    extraction : Extraction, optional
        Extraction at the work.
    near_field : NearField, optional
        The air around the work; without it the room is taken as one.
    """

    __slots__ = ()
    _noun = "Room"
    _shape = {"volume": quantity, "air_changes": quantity, "mixing_factor": plain, "extraction": part("air", "Extraction"), "near_field": part("air", "NearField")}
    _defaults = {'mixing_factor': 3}
    volume: Quantity
    """Its volume."""
    air_changes: Quantity
    """Air changes: fresh air a time over the room's volume."""
    mixing_factor: float
    """How much more air it takes than if it mixed at once (K): 1 for perfect mixing, 3 for good supply, 10 for poor."""
    extraction: Extraction | None
    """Extraction at the work."""
    near_field: NearField | None
    """The air around the work; without it the room is taken as one."""

    def __init__(self, volume: QuantityInput, air_changes: QuantityInput, *, mixing_factor: float | None = None, extraction: Extraction | Mapping[str, Any] | None = None, near_field: NearField | Mapping[str, Any] | None = None) -> None:
        super().__init__({"volume": volume, "air_changes": air_changes, "mixing_factor": mixing_factor, "extraction": extraction, "near_field": near_field})


class VapourInRoom(Noun):
    """Vapour that gets into a room over a time, and whose limits count.

    `Room` gives the equations; between two changes of an emission they are solved exactly, and so are the
    means: the highest mean over any 15 min or 8 h that a window can be laid on. Volume fractions by the ideal
    gas at 101 325 Pa: `C R T/(M P)`.

    Parameters
    ----------
    agent : str
        What it is: an agent with exposure limits (`styrene`, `acetone`).
    room : Room
        The room.
    emissions : list of Emission
        What gets into it, and when.
    jurisdiction : {european_union, finland, france, germany, sweden, united_kingdom, united_states}
        Whose limits it is held against.
    temperature : quantity (temperature), optional
        Temperature of its air. Default: 20 degC. Allowed: -20 degC to 60 degC.
    followed : quantity (time), optional
        How long it is followed; 24 h after the last emission begins, if not said. Allowed: more than 0 s to 1000 d.
    """

    __slots__ = ()
    _noun = "VapourInRoom"
    _shape = {"agent": plain, "room": part("air", "Room"), "emissions": rows("air", "Emission"), "jurisdiction": plain, "temperature": quantity, "followed": quantity}
    _defaults = {'temperature': '20 degC'}
    agent: str
    """What it is: an agent with exposure limits (`styrene`, `acetone`)."""
    room: Room
    """The room."""
    emissions: Table[Emission]
    """What gets into it, and when."""
    jurisdiction: Literal["european_union", "finland", "france", "germany", "sweden", "united_kingdom", "united_states"]
    """Whose limits it is held against."""
    temperature: Quantity
    """Temperature of its air."""
    followed: Quantity | None
    """How long it is followed; 24 h after the last emission begins, if not said."""

    def __init__(self, agent: str, room: Room | Mapping[str, Any], emissions: Sequence[Emission | Mapping[str, Any]], jurisdiction: Literal["european_union", "finland", "france", "germany", "sweden", "united_kingdom", "united_states"], *, temperature: QuantityInput | None = None, followed: QuantityInput | None = None) -> None:
        super().__init__({"agent": agent, "room": room, "emissions": emissions, "jurisdiction": jurisdiction, "temperature": temperature, "followed": followed})

    def exposure(self) -> Exposure:
        """What a person breathes of a vapour over a day in a room: peak, means, the limits of a jurisdiction,
        when the air is clear, the fresh air that would keep the limits, the part of the lower flammable
        limit.

        `VapourInRoom` and `Room` give equations and sources. Limits: each with body, year and source
        (`ExposureLimit`); superseded ones are held against nothing. A respirator is named only as its
        assigned protection factor allows it, and never above what is immediately dangerous.

        Returns
        -------
        Exposure

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for a room of no volume or negative air changes;
            `InconsistentError` for a near field larger than the room or an emission that ends before
            it begins; `UnknownNameError` for an agent without limits.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.VapourInRoom(agent='styrene', room=gw.Room(volume='30 m^3', air_changes='2 1/h',
        ...     mixing_factor=1), temperature='25 degC', emissions=[gw.Emission(from_='0 s',
        ...     until='20 min', mass='24 g')], jurisdiction='united_states').exposure()
        """
        return asked("air.vapour_in_room", self, part("air", "Exposure"))


class AirCurve(Noun):
    """Concentration over time.

    Parameters
    ----------
    minutes : list
        Minutes from the start.
    ppm : list
        Parts per million by volume that the person breathes.
    """

    __slots__ = ()
    _noun = "AirCurve"
    _shape = {"minutes": array, "ppm": array}
    minutes: NDArray[Any]
    """Minutes from the start."""
    ppm: NDArray[Any]
    """Parts per million by volume that the person breathes."""

    def __init__(self, minutes: Sequence[float], ppm: Sequence[float]) -> None:
        super().__init__({"minutes": minutes, "ppm": ppm})


class ExposureCompared(Noun):
    """A limit, and what it bounds here.

    Parameters
    ----------
    body : str
        Who set it.
    jurisdiction : {european_union, finland, france, germany, sweden, united_kingdom, united_states}
        Where it holds.
    year : int
        From when.
    form : {time_weighted_average, short_term, ceiling, peak, immediately_dangerous}
        Its form.
    most : quantity (volume fraction)
        The limit. For example "18 vol%".
    found : quantity (volume fraction)
        What is breathed, over the same time. For example "18 vol%".
    times : quantity (relative amount)
        That over the limit. For example "15 %".
    broken : bool
        Whether it is broken.
    source : Source
        On whose word.
    over : quantity (time), optional
        The time it is a mean over; none for a value never to be passed.
    broken_at : quantity (time), optional
        When it is: the end of the first time whose mean passes it.
    """

    __slots__ = ()
    _noun = "ExposureCompared"
    _shape = {"body": plain, "jurisdiction": plain, "year": plain, "form": plain, "most": quantity, "found": quantity, "times": quantity, "broken": plain, "source": part("source", "Source"), "over": quantity, "broken_at": quantity}
    body: str
    """Who set it."""
    jurisdiction: Literal["european_union", "finland", "france", "germany", "sweden", "united_kingdom", "united_states"]
    """Where it holds."""
    year: int
    """From when."""
    form: Literal["time_weighted_average", "short_term", "ceiling", "peak", "immediately_dangerous"]
    """Its form."""
    most: Quantity
    """The limit."""
    found: Quantity
    """What is breathed, over the same time."""
    times: Quantity
    """That over the limit."""
    broken: bool
    """Whether it is broken."""
    source: Source
    """On whose word."""
    over: Quantity | None
    """The time it is a mean over; none for a value never to be passed."""
    broken_at: Quantity | None
    """When it is: the end of the first time whose mean passes it."""

    def __init__(self, body: str, jurisdiction: Literal["european_union", "finland", "france", "germany", "sweden", "united_kingdom", "united_states"], year: int, form: Literal["time_weighted_average", "short_term", "ceiling", "peak", "immediately_dangerous"], most: QuantityInput, found: QuantityInput, times: QuantityInput, broken: bool, source: Source | Mapping[str, Any], *, over: QuantityInput | None = None, broken_at: QuantityInput | None = None) -> None:
        super().__init__({"body": body, "jurisdiction": jurisdiction, "year": year, "form": form, "most": most, "found": found, "times": times, "broken": broken, "source": source, "over": over, "broken_at": broken_at})


class FreshAir(Noun):
    """Fresh air that keeps the limits, spread over the day as it is now.

    Parameters
    ----------
    air_changes : quantity (rate)
        Air changes. For example "2e-4 1/s".
    flow : quantity (volume rate)
        The same as a flow. For example "150 m^3/h".
    """

    __slots__ = ()
    _noun = "FreshAir"
    _shape = {"air_changes": quantity, "flow": quantity}
    air_changes: Quantity
    """Air changes."""
    flow: Quantity
    """The same as a flow."""

    def __init__(self, air_changes: QuantityInput, flow: QuantityInput) -> None:
        super().__init__({"air_changes": air_changes, "flow": flow})


class Respirator(Noun):
    """What an assigned protection factor allows. Only with fit test, training and the right cartridge, and only by
    who is licensed to advise it.

    Parameters
    ----------
    kind_ : {half_mask, full_facepiece}
        The kind.
    assigned_protection_factor : float
        Its assigned protection factor.
    most : quantity (volume fraction)
        Highest concentration it is for: factor times limit, never above what is immediately dangerous. For
        example "18 vol%".
    source : Source
        On whose word.
    """

    __slots__ = ()
    _noun = "Respirator"
    _shape = {"kind": plain, "assigned_protection_factor": plain, "most": quantity, "source": part("source", "Source")}
    _renamed = {"kind_": "kind"}
    kind_: Literal["half_mask", "full_facepiece"]
    """The kind."""
    assigned_protection_factor: float
    """Its assigned protection factor."""
    most: Quantity
    """Highest concentration it is for: factor times limit, never above what is immediately dangerous."""
    source: Source
    """On whose word."""

    def __init__(self, kind_: Literal["half_mask", "full_facepiece"], assigned_protection_factor: float, most: QuantityInput, source: Source | Mapping[str, Any]) -> None:
        super().__init__({"kind": kind_, "assigned_protection_factor": assigned_protection_factor, "most": most, "source": source})


class Exposure(Noun):
    """What a person breathes of one vapour.

    Parameters
    ----------
    agent : str
        The agent's id.
    name : str
        What a person calls it.
    emitted : quantity (mass)
        Mass of vapour set free. For example "120 g".
    removed : quantity (mass)
        Of it, what extraction caught and air carried out by the end. For example "120 g".
    left : quantity (mass)
        Of it, what is still in the room at the end. For example "120 g".
    peak : quantity (volume fraction)
        Highest concentration. For example "18 vol%".
    peak_mass : quantity (mass density)
        The same by mass. For example "1.10 g/mL".
    peak_at : quantity (time)
        When. For example "20 min".
    highest_15_min : quantity (volume fraction)
        Highest mean over 15 min. For example "18 vol%".
    highest_15_min_from : quantity (time)
        When that begins. For example "20 min".
    highest_8_h : quantity (volume fraction)
        Highest mean over 8 h. For example "18 vol%".
    limits : list of ExposureCompared
        The limits of the jurisdiction, each held against what it bounds.
    curve : AirCurve
        What stands over time, for a picture.
    why : Why
        The chain behind it.
    clear_from : quantity (time), optional
        From when on the air stays at or below the lowest of these limits; none where it does not within the
        time followed.
    needed : FreshAir, optional
        Fresh air with which all of them would be kept.
    of_flammable_limit : quantity (relative amount), optional
        Highest concentration over the lower flammable limit, the lowest published, where the catalogue knows it.
    respirator : Respirator, optional
        The least respirator whose assigned protection factor would keep the limits, where a limit is broken and
        one does.
    """

    __slots__ = ()
    _noun = "Exposure"
    _shape = {"agent": plain, "name": plain, "emitted": quantity, "removed": quantity, "left": quantity, "peak": quantity, "peak_mass": quantity, "peak_at": quantity, "highest_15_min": quantity, "highest_15_min_from": quantity, "highest_8_h": quantity, "limits": rows("air", "ExposureCompared"), "curve": part("air", "AirCurve"), "why": part("source", "Why"), "clear_from": quantity, "needed": part("air", "FreshAir"), "of_flammable_limit": quantity, "respirator": part("air", "Respirator")}
    agent: str
    """The agent's id."""
    name: str
    """What a person calls it."""
    emitted: Quantity
    """Mass of vapour set free."""
    removed: Quantity
    """Of it, what extraction caught and air carried out by the end."""
    left: Quantity
    """Of it, what is still in the room at the end."""
    peak: Quantity
    """Highest concentration."""
    peak_mass: Quantity
    """The same by mass."""
    peak_at: Quantity
    """When."""
    highest_15_min: Quantity
    """Highest mean over 15 min."""
    highest_15_min_from: Quantity
    """When that begins."""
    highest_8_h: Quantity
    """Highest mean over 8 h."""
    limits: Table[ExposureCompared]
    """The limits of the jurisdiction, each held against what it bounds."""
    curve: AirCurve
    """What stands over time, for a picture."""
    why: Why
    """The chain behind it."""
    clear_from: Quantity | None
    """From when on the air stays at or below the lowest of these limits; none where it does not within the time
    followed.
    """
    needed: FreshAir | None
    """Fresh air with which all of them would be kept."""
    of_flammable_limit: Quantity | None
    """Highest concentration over the lower flammable limit, the lowest published, where the catalogue knows it."""
    respirator: Respirator | None
    """The least respirator whose assigned protection factor would keep the limits, where a limit is broken and one
    does.
    """

    def __init__(self, agent: str, name: str, emitted: QuantityInput, removed: QuantityInput, left: QuantityInput, peak: QuantityInput, peak_mass: QuantityInput, peak_at: QuantityInput, highest_15_min: QuantityInput, highest_15_min_from: QuantityInput, highest_8_h: QuantityInput, limits: Sequence[ExposureCompared | Mapping[str, Any]], curve: AirCurve | Mapping[str, Any], why: Why | Mapping[str, Any], *, clear_from: QuantityInput | None = None, needed: FreshAir | Mapping[str, Any] | None = None, of_flammable_limit: QuantityInput | None = None, respirator: Respirator | Mapping[str, Any] | None = None) -> None:
        super().__init__({"agent": agent, "name": name, "emitted": emitted, "removed": removed, "left": left, "peak": peak, "peak_mass": peak_mass, "peak_at": peak_at, "highest_15_min": highest_15_min, "highest_15_min_from": highest_15_min_from, "highest_8_h": highest_8_h, "limits": limits, "curve": curve, "why": why, "clear_from": clear_from, "needed": needed, "of_flammable_limit": of_flammable_limit, "respirator": respirator})


class Dilution(Noun):
    """Fresh air that keeps a steady vapour at a level.

    `Q = K G R T/(M P c)` for a mass `G` of vapour a time, molar mass `M`, level `c`.

    Source: ACGIH, Industrial Ventilation, chapter 4, dilution ventilation (from memory; its `403 SG ER K/(MW
    C)` is this in pints an hour and cubic feet a minute at 70 °F).

    Parameters
    ----------
    mass : quantity (mass)
        Mass of vapour. Allowed: 0 g to 1000 kg. For example "120 g".
    over : quantity (time)
        The time it comes in. Allowed: more than 0 s to 1000 d. For example "20 min".
    molar_mass : quantity (molar mass)
        Its molar mass. Allowed: more than 0 g/mol to 1000 g/mol. For example "190 g/mol".
    level : quantity (volume fraction)
        The level to keep. Allowed: more than 0 ppmv to 100 vol%. For example "18 vol%".
    mixing_factor : float, optional
        How much more air it takes than if it mixed at once (K). Default: 3. Allowed: 1 to 10.
    temperature : quantity (temperature), optional
        Temperature of the air. Default: 20 degC. Allowed: -20 degC to 60 degC.
    """

    __slots__ = ()
    _noun = "Dilution"
    _shape = {"mass": quantity, "over": quantity, "molar_mass": quantity, "level": quantity, "mixing_factor": plain, "temperature": quantity}
    _defaults = {'mixing_factor': 3, 'temperature': '20 degC'}
    mass: Quantity
    """Mass of vapour."""
    over: Quantity
    """The time it comes in."""
    molar_mass: Quantity
    """Its molar mass."""
    level: Quantity
    """The level to keep."""
    mixing_factor: float
    """How much more air it takes than if it mixed at once (K)."""
    temperature: Quantity
    """Temperature of the air."""

    def __init__(self, mass: QuantityInput, over: QuantityInput, molar_mass: QuantityInput, level: QuantityInput, *, mixing_factor: float | None = None, temperature: QuantityInput | None = None) -> None:
        super().__init__({"mass": mass, "over": over, "molar_mass": molar_mass, "level": level, "mixing_factor": mixing_factor, "temperature": temperature})

    def air(self) -> DilutionAir:
        """Fresh air that keeps a steady vapour at a level.

        `Dilution` gives equation and source.

        Returns
        -------
        DilutionAir

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for fields out of range.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.Dilution(mass='24 g', over='20 min', molar_mass='104.15 g/mol', level='20 ppmv').air()
        """
        return asked("air.ventilation_needed", self, part("air", "DilutionAir"))


class DilutionAir(Noun):
    """The fresh air that it takes.

    Attributes
    ----------
    flow : Quantity
        Its flow.
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "DilutionAir"
    _shape = {"flow": quantity, "why": part("source", "Why")}
    flow: Quantity
    """Its flow."""
    why: Why
    """The chain behind it."""



class AdditiveEffect(Noun):
    """Vapours that do the same to the body: their parts of their limits add up.

    `sum C/L`, at most 1. Source: 29 CFR 1910.1000(d)(2)(i).

    Parameters
    ----------
    found : list
        What is breathed of each.
    limits : list
        The limit of each, in the same order.
    """

    __slots__ = ()
    _noun = "AdditiveEffect"
    _shape = {"found": several(quantity), "limits": several(quantity)}
    found: tuple[Quantity, ...]
    """What is breathed of each."""
    limits: tuple[Quantity, ...]
    """The limit of each, in the same order."""

    def __init__(self, found: Sequence[QuantityInput], limits: Sequence[QuantityInput]) -> None:
        super().__init__({"found": found, "limits": limits})

    def sum(self) -> AdditiveSum:
        """The sum of the parts that some vapours are of their limits: above 1 the limit of the mixture is broken.

        `AdditiveEffect` gives rule and source.

        Returns
        -------
        AdditiveSum

        Raises
        ------
        GelwrightError
            `InconsistentError` for lists of different length; `OutOfRangeError` for a limit of nothing.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.AdditiveEffect(found=['500 ppmv', '45 ppmv', '40 ppmv'], limits=['1000 ppmv',
        ...     '200 ppmv', '200 ppmv']).sum()
        """
        return asked("air.additive", self, part("air", "AdditiveSum"))


class AdditiveSum(Noun):
    """What some vapours are together of what their limits allow.

    Attributes
    ----------
    sum : float
        The sum of their parts.
    kept : bool
        Whether it is at most 1.
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "AdditiveSum"
    _shape = {"sum": plain, "kept": plain, "why": part("source", "Why")}
    sum: float
    """The sum of their parts."""
    kept: bool
    """Whether it is at most 1."""
    why: Why
    """The chain behind it."""



class OpenCup(Noun):
    """A full cup or a wet face in moving air.

    `j = k M p/(R T)` with the mass transfer coefficient `k = 0.0048 U^(7/9) d^(-1/9) Sc^(-2/3)` (U in m/s, d in
    m, k in m/s), `Sc = nu/D`, `nu` that of air, 1.51e-5 m²/s.

    For a pure liquid that does not cool as it evaporates. Of a mixture the vapour pressure is lower: give that
    of the mixture.

    Source: P. I. Kawamura, D. Mackay, The evaporation of volatile liquids, J. Hazard. Mater. 15:343 (1987).

    Parameters
    ----------
    diameter : quantity (length)
        Its diameter along the wind. Allowed: more than 0 m to 10 m. For example "12 mm".
    wind : quantity (velocity)
        Air speed over it. Allowed: more than 0 m/s to 20 m/s. For example "2 mm/s".
    vapour_pressure : quantity (pressure)
        Vapour pressure of the liquid. Allowed: 0 Pa to 101325 Pa. For example "25 MPa".
    molar_mass : quantity (molar mass)
        Molar mass of the vapour. Allowed: more than 0 g/mol to 1000 g/mol. For example "190 g/mol".
    diffusion : quantity (diffusivity)
        How fast the vapour spreads in air. Allowed: more than 0 m^2/s to 1e-3 m^2/s. For example "1e-7 m^2/s".
    temperature : quantity (temperature)
        Temperature of the liquid. Allowed: -20 degC to 60 degC. For example "18 degC".
    """

    __slots__ = ()
    _noun = "OpenCup"
    _shape = {"diameter": quantity, "wind": quantity, "vapour_pressure": quantity, "molar_mass": quantity, "diffusion": quantity, "temperature": quantity}
    diameter: Quantity
    """Its diameter along the wind."""
    wind: Quantity
    """Air speed over it."""
    vapour_pressure: Quantity
    """Vapour pressure of the liquid."""
    molar_mass: Quantity
    """Molar mass of the vapour."""
    diffusion: Quantity
    """How fast the vapour spreads in air."""
    temperature: Quantity
    """Temperature of the liquid."""

    def __init__(self, diameter: QuantityInput, wind: QuantityInput, vapour_pressure: QuantityInput, molar_mass: QuantityInput, diffusion: QuantityInput, temperature: QuantityInput) -> None:
        super().__init__({"diameter": diameter, "wind": wind, "vapour_pressure": vapour_pressure, "molar_mass": molar_mass, "diffusion": diffusion, "temperature": temperature})

    def evaporation(self) -> EvaporationRate:
        """How fast a liquid evaporates from an open cup or a wet face in moving air.

        `OpenCup` gives equation and source.

        Returns
        -------
        EvaporationRate

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for fields out of range.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.OpenCup(diameter='100 mm', wind='0.1 m/s', vapour_pressure='867 Pa',
        ...     molar_mass='104.15 g/mol', diffusion='7.5e-6 m^2/s', temperature='25 degC').evaporation()
        """
        return asked("air.open_cup", self, part("air", "EvaporationRate"))


class EvaporationRate(Noun):
    """How fast it evaporates.

    Attributes
    ----------
    rate : Quantity
        Mass by area and time.
    why : Why
        The chain behind it.
    mass_transfer : Quantity | None
        The mass transfer coefficient behind it, of a cup in moving air.
    """

    __slots__ = ()
    _noun = "EvaporationRate"
    _shape = {"rate": quantity, "why": part("source", "Why"), "mass_transfer": quantity}
    rate: Quantity
    """Mass by area and time."""
    why: Why
    """The chain behind it."""
    mass_transfer: Quantity | None
    """The mass transfer coefficient behind it, of a cup in moving air."""



class StagnantCup(Noun):
    """A liquid below the rim of a cup, in still air.

    Diffusion through stagnant air: `j = M D P/(R T z) ln(P/(P - p))`, `P` 101 325 Pa, nothing of the vapour at
    the rim.

    Source: the standard solution of J. Stefan; C. J. Geankoplis, Transport Processes and Unit Operations,
    section 6.2C (from memory).

    Parameters
    ----------
    path : quantity (length)
        From the liquid to the rim. Allowed: more than 0 m to 10 m. For example "12 mm".
    vapour_pressure : quantity (pressure)
        Vapour pressure of the liquid. Allowed: 0 Pa to less than 101325 Pa. For example "25 MPa".
    molar_mass : quantity (molar mass)
        Molar mass of the vapour. Allowed: more than 0 g/mol to 1000 g/mol. For example "190 g/mol".
    diffusion : quantity (diffusivity)
        How fast the vapour spreads in air. Allowed: more than 0 m^2/s to 1e-3 m^2/s. For example "1e-7 m^2/s".
    temperature : quantity (temperature)
        Temperature. Allowed: -20 degC to 60 degC. For example "18 degC".
    """

    __slots__ = ()
    _noun = "StagnantCup"
    _shape = {"path": quantity, "vapour_pressure": quantity, "molar_mass": quantity, "diffusion": quantity, "temperature": quantity}
    path: Quantity
    """From the liquid to the rim."""
    vapour_pressure: Quantity
    """Vapour pressure of the liquid."""
    molar_mass: Quantity
    """Molar mass of the vapour."""
    diffusion: Quantity
    """How fast the vapour spreads in air."""
    temperature: Quantity
    """Temperature."""

    def __init__(self, path: QuantityInput, vapour_pressure: QuantityInput, molar_mass: QuantityInput, diffusion: QuantityInput, temperature: QuantityInput) -> None:
        super().__init__({"path": path, "vapour_pressure": vapour_pressure, "molar_mass": molar_mass, "diffusion": diffusion, "temperature": temperature})

    def evaporation(self) -> EvaporationRate:
        """How fast a liquid evaporates that stands below the rim of a cup in still air.

        `StagnantCup` gives equation and source.

        Returns
        -------
        EvaporationRate

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for fields out of range.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.StagnantCup(path='0.1524 m', vapour_pressure='2341 Pa', molar_mass='18.015 g/mol',
        ...     diffusion='0.25e-4 m^2/s', temperature='293 K').evaporation()
        """
        return asked("air.stagnant_cup", self, part("air", "EvaporationRate"))


class PeroxideStorage(Noun):
    """An organic peroxide in its package.

    From its self-accelerating decomposition temperature (SADT): up to 20 °C, control at 20 K below it and
    emergency at 10 K below; above 20 to 35 °C, 15 and 10 K; above 35 °C, 10 and 5 K. Storage is never warmer
    than the control temperature, nor than what the label says.

    Source: United Nations, Recommendations on the Transport of Dangerous Goods, Model Regulations, 7.1.5.3
    (derivation of control and emergency temperatures; as two peroxide makers' storage pages print it, the
    section from memory).

    Parameters
    ----------
    self_accelerating_decomposition : quantity (temperature)
        Its SADT, from its safety data sheet. Allowed: -40 degC to 150 degC. For example "18 degC".
    label : quantity (temperature), optional
        The warmest that its label allows. Allowed: -40 degC to 100 degC.
    """

    __slots__ = ()
    _noun = "PeroxideStorage"
    _shape = {"self_accelerating_decomposition": quantity, "label": quantity}
    self_accelerating_decomposition: Quantity
    """Its SADT, from its safety data sheet."""
    label: Quantity | None
    """The warmest that its label allows."""

    def __init__(self, self_accelerating_decomposition: QuantityInput, *, label: QuantityInput | None = None) -> None:
        super().__init__({"self_accelerating_decomposition": self_accelerating_decomposition, "label": label})

    def temperatures(self) -> StorageTemperatures:
        """Control and emergency temperatures of an organic peroxide by its SADT class.

        `PeroxideStorage` gives rule and source.

        Returns
        -------
        StorageTemperatures

        Raises
        ------
        GelwrightError
            `OutOfRangeError` for fields out of range.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.PeroxideStorage(self_accelerating_decomposition='60 degC', label='25 degC').temperatures()
        """
        return asked("air.peroxide_storage", self, part("air", "StorageTemperatures"))


class StorageTemperatures(Noun):
    """How warm a peroxide may stand.

    Parameters
    ----------
    control : quantity (temperature)
        Above which it may not be kept. For example "18 degC".
    emergency : quantity (temperature)
        At which emergency measures start: get people out, call the fire service. For example "18 degC".
    keep_below : quantity (temperature)
        The warmest that it may stand in the shop: the control temperature or the label's, whichever is lower.
        For example "18 degC".
    why : Why
        The chain behind it.
    """

    __slots__ = ()
    _noun = "StorageTemperatures"
    _shape = {"control": quantity, "emergency": quantity, "keep_below": quantity, "why": part("source", "Why")}
    control: Quantity
    """Above which it may not be kept."""
    emergency: Quantity
    """At which emergency measures start: get people out, call the fire service."""
    keep_below: Quantity
    """The warmest that it may stand in the shop: the control temperature or the label's, whichever is lower."""
    why: Why
    """The chain behind it."""

    def __init__(self, control: QuantityInput, emergency: QuantityInput, keep_below: QuantityInput, why: Why | Mapping[str, Any]) -> None:
        super().__init__({"control": control, "emergency": emergency, "keep_below": keep_below, "why": why})


class SharedShelf(Noun):
    """What stands on one shelf.

    Parameters
    ----------
    materials : list
        Materials of the generic catalogue, by id.
    """

    __slots__ = ()
    _noun = "SharedShelf"
    _shape = {"materials": several(plain)}
    materials: tuple[str, ...]
    """Materials of the generic catalogue, by id."""

    def __init__(self, materials: Sequence[str]) -> None:
        super().__init__({"materials": materials})

    def incompatible(self) -> ShelfChecked:
        """The pairs of a shelf that may not meet.

        Of the generic catalogue, by kind: organic peroxide with promoter, amine or isocyanate hardener,
        acetone, monomer and solvent, metal powder, peroxide-cured resin. Acids, bases and rust are not in
        the catalogue: keep them away too.

        Returns
        -------
        ShelfChecked

        Raises
        ------
        GelwrightError
            `UnknownNameError` for a material that is not in the catalogue.

        Examples
        --------
        >>> import gelwright as gw
        >>> answer = gw.SharedShelf(materials=['cobalt_6', 'mekp_9', 'acetone', 'csm_450']).incompatible()
        """
        return asked("air.incompatible", self, part("air", "ShelfChecked"))


class IncompatiblePair(Noun):
    """Two materials that may not meet, nor stand where one can leak into the other.

    Parameters
    ----------
    one : str
        The one.
    other : str
        The other.
    because : str
        What happens.
    source : Source
        On whose word.
    """

    __slots__ = ()
    _noun = "IncompatiblePair"
    _shape = {"one": plain, "other": plain, "because": plain, "source": part("source", "Source")}
    one: str
    """The one."""
    other: str
    """The other."""
    because: str
    """What happens."""
    source: Source
    """On whose word."""

    def __init__(self, one: str, other: str, because: str, source: Source | Mapping[str, Any]) -> None:
        super().__init__({"one": one, "other": other, "because": because, "source": source})


class ShelfChecked(Noun):
    """What of a shelf may not meet.

    Attributes
    ----------
    pairs : Table[IncompatiblePair]
        The pairs.
    """

    __slots__ = ()
    _noun = "ShelfChecked"
    _shape = {"pairs": rows("air", "IncompatiblePair")}
    pairs: Table[IncompatiblePair]
    """The pairs."""

