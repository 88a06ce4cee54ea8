# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal, NotRequired, TypeAlias, TypedDict

from .answer import Answer, Table, ask_as, money, one_of, part, plain, quantity, rows, several
from .casting import PlanFace
from .common import (
    BenchInput,
    DataSheetLinesInput,
    GelTime,
    Kinetics,
    LayerInput,
    Source,
    SourceInput,
    TestCupInput,
    WallInput,
    Why,
    YieldLawInput,
)
from .units import Money, Quantity, QuantityInput

__all__ = [
    "AmountInput",
    "AmountMassInput",
    "AmountResinMassInput",
    "AmountResinVolumeInput",
    "AmountVolumeInput",
    "Batch",
    "BatchInput",
    "BatchPart",
    "BatchPartInput",
    "CastingInput",
    "Caution",
    "CautionInput",
    "ClampingInput",
    "Comparison",
    "ComparisonRow",
    "ConflictingRules",
    "ConflictingRulesInput",
    "CoursePoint",
    "CoursePoints",
    "CourseSteady",
    "CupExotherm",
    "CupExothermInput",
    "CupTestInput",
    "CupToday",
    "Cure",
    "CureDose",
    "CureDoseInput",
    "CurePlanInput",
    "DoseForGelTime",
    "Estimate",
    "EstimateInput",
    "FaceConvection",
    "FaceFlux",
    "FaceHeld",
    "FaceInsulated",
    "FaceStillAir",
    "FaceSymmetric",
    "Finding",
    "FindingInput",
    "GelTimeInput",
    "HoldInput",
    "InsertInput",
    "Layer",
    "MouldInput",
    "Need",
    "NeedInput",
    "PaceInput",
    "PartInput",
    "Plan",
    "PlanInput",
    "PlanPage",
    "PlanSheet",
    "PlannedBatch",
    "PlannedBatchInput",
    "PullOnEdgeInput",
    "PulledEdge",
    "PulledEdgeInput",
    "RecipeInput",
    "ReleaseCoatsInput",
    "Rule",
    "RuleInput",
    "SeamInput",
    "SeamSummary",
    "SeamSummaryInput",
    "Shell",
    "ShellInput",
    "ShopInput",
    "Step",
    "StepInput",
    "Surroundings",
    "Thermal",
    "Wall",
    "WasteInput",
    "WhyInput",
    "ZoneExotherm",
    "ZoneExothermInput",
    "ZoneInput",
    "ZoneSummary",
    "ZoneSummaryInput",
    "compare",
    "cup",
    "make",
    "page",
    "sheet",
]


class BatchPart(Answer):
    """One part of a batch, as it is measured on the bench."""

    __slots__ = ()
    _fields = {
        "material": plain,
        "name": plain,
        "role": plain,
        "mass": quantity,
        "mass_uncertainty": quantity,
        "volume": quantity,
        "drops": plain,
        "measured_by": plain,
        "on_resin": quantity,
        "cost": money,
    }
    material: str
    """Material id."""
    name: str
    """What a person calls it."""
    role: Literal["resin", "initiator", "promoter", "hardener", "filler", "pigment", "solvent"]
    """What it does in the mix."""
    mass: Quantity
    """Mass to weigh."""
    mass_uncertainty: Quantity
    """Standard uncertainty of that mass by the way it is measured (`measured_by`)."""
    volume: Quantity
    """Its own volume (of a powder: of its particles, not of its heap)."""
    drops: float | None
    """Drops, for a liquid dosed with a dropper; to be rounded to a whole number."""
    measured_by: Literal["scale", "syringe", "dropper"]
    """How it is measured best on this bench: "scale", "syringe" or "dropper"."""
    on_resin: Quantity
    """By mass on the resin."""
    cost: Money | None
    """What it costs, where its price is known."""


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


class CureDose(Answer):
    """The dose that decides the cure, as it will come out on this bench."""

    __slots__ = ()
    _fields = {
        "material": plain,
        "dose": plain,
        "by_mass": part("Estimate"),
        "uncertainty": quantity,
        "uncertainty_weighed": quantity,
        "uncertainty_in_drops": quantity,
    }
    material: str
    """Material id of the initiator or hardener."""
    dose: str
    """As the recipe gives it."""
    by_mass: Estimate
    """By mass on the resin, with its uncertainty."""
    uncertainty: Quantity
    """The relative standard uncertainty of it."""
    uncertainty_weighed: Quantity
    """The same if it is weighed on the scale."""
    uncertainty_in_drops: Quantity | None
    """The same if drops are counted, where there is a dropper."""


class Batch(Answer):
    """A recipe at an amount."""

    __slots__ = ()
    _fields = {
        "parts": rows("BatchPart"),
        "mass": quantity,
        "volume": quantity,
        "density": quantity,
        "filler_content": quantity,
        "glass_content": quantity,
        "cure_dose": part("CureDose"),
        "cost": money,
        "without_price": several(plain),
        "why": part("Why"),
    }
    parts: Table[BatchPart]
    """Its parts, the resin first."""
    mass: Quantity
    """Mass of the whole."""
    volume: Quantity
    """Volume of the whole, the parts' volumes added, without entrained air."""
    density: Quantity
    """Density of the whole."""
    filler_content: Quantity
    """Fillers, thickeners and chopped fibre over the whole."""
    glass_content: Quantity
    """Glass fibre stirred in, over the whole."""
    cure_dose: CureDose | None
    """Initiator or hardener on resin, with the uncertainty of how it and the resin are measured."""
    cost: Money | None
    """What it costs, where all prices are known; else what the priced parts cost."""
    without_price: tuple[str, ...] | None
    """Parts whose price is not known."""
    why: Why
    """The chain behind the initiator's or hardener's amount (behind the mass, where there is none)."""


class CupExotherm(Answer):
    """How hot a cup gets if all of it stays in it."""

    __slots__ = ()
    _fields = {
        "gel": quantity,
        "peak": quantity,
        "peak_at": quantity,
    }
    gel: Quantity | None
    """When it gels in the cup, counted from the catalyst being in."""
    peak: Quantity
    """Hottest."""
    peak_at: Quantity
    """When."""


class PlannedBatch(Answer):
    """A batch of the plan."""

    __slots__ = ()
    _fields = {
        "name": plain,
        "recipe": plain,
        "zones": several(plain),
        "start": plain,
        "batch": part("Batch"),
        "gel_time": part("GelTime"),
        "use_by": plain,
        "placing": quantity,
        "left_standing": part("CupExotherm"),
    }
    name: str
    """Its name ("gel coat 1")."""
    recipe: str
    """The recipe."""
    zones: tuple[str, ...]
    """What it is for."""
    start: str
    """When mixing starts."""
    batch: Batch
    """What to weigh."""
    gel_time: GelTime | None
    """Gel time of the cup today, where the sheet tells."""
    use_by: str | None
    """When the cup must be empty, where the gel time is known."""
    placing: Quantity
    """Time of the hands to place it."""
    left_standing: CupExotherm | None
    """How hot the cup gets if it is left standing full, where its resin's test cup is known."""


class Step(Answer):
    """A step of the work."""

    __slots__ = ()
    _fields = {
        "number": plain,
        "start": plain,
        "end": plain,
        "wait_before": quantity,
        "text": plain,
        "batch": plain,
        "watch": several(plain),
    }
    number: int
    """From 1."""
    start: str
    """When it starts."""
    end: str
    """When the hands are free again."""
    wait_before: Quantity
    """The time before it in which there is nothing to do."""
    text: str
    """What to do."""
    batch: str | None
    """The batch it uses."""
    watch: tuple[str, ...] | None
    """What to watch."""


class Need(Answer):
    """What the casting takes of a material."""

    __slots__ = ()
    _fields = {
        "material": plain,
        "name": plain,
        "class": plain,
        "mass": quantity,
        "volume": quantity,
        "area": quantity,
        "waste": quantity,
        "in_stock": quantity,
        "to_order": quantity,
        "cost": money,
        "why": part("Why"),
    }
    _renamed = {"class_": "class"}
    material: str
    """Material id."""
    name: str
    """What a person calls it."""
    class_: str
    """What kind of material it is."""
    mass: Quantity
    """Mass, waste included."""
    volume: Quantity | None
    """Volume of that mass, of a liquid."""
    area: Quantity | None
    """Area, of a reinforcement."""
    waste: Quantity
    """Of that mass: what does not stay in the part."""
    in_stock: Quantity | None
    """What is on the shelf, where the casting says."""
    to_order: Quantity
    """What is missing from the shelf; all of it, where the casting does not say what is there."""
    cost: Money | None
    """What it costs, where the price is known."""
    why: Why
    """The chain behind the mass."""


class Thermal(Answer):
    """How a material holds and conducts heat."""

    __slots__ = ()
    _fields = {
        "density": quantity,
        "specific_heat": quantity,
        "conductivity": quantity,
        "specific_heat_slope": quantity,
        "conductivity_slope": quantity,
        "reference": quantity,
    }
    density: Quantity
    """Mass density, 0.5 kg/m³ (a gas) to 25 000 kg/m³."""
    specific_heat: Quantity
    """Specific heat capacity, 50 J/(kg K) to 10 000 J/(kg K)."""
    conductivity: Quantity
    """Thermal conductivity, 0.005 W/(m K) to 500 W/(m K)."""
    specific_heat_slope: Quantity | None
    """Relative change of the specific heat per kelvin, within ±0.02 1/K."""
    conductivity_slope: Quantity | None
    """Relative change of the conductivity per kelvin, within ±0.02 1/K."""
    reference: Quantity | None
    """Where the values without slope hold; 25 °C where not given."""


class Cure(Answer):
    """How the reacting part of a layer cures."""

    __slots__ = ()
    _fields = {
        "kinetics": part("Kinetics"),
        "resin_content": quantity,
        "gel_at": quantity,
        "demould_at": quantity,
    }
    kinetics: Kinetics
    """Rate law, heat, seed."""
    resin_content: Quantity | None
    """Resin mix in the layer by mass; the rest (glass, filler) does not react. 100 % where not given."""
    gel_at: Quantity
    """Conversion at gel."""
    demould_at: Quantity | None
    """Conversion at which the layer may be demoulded."""


class Layer(Answer):
    """A layer of a wall."""

    __slots__ = ()
    _fields = {
        "name": plain,
        "thickness": quantity,
        "thermal": part("Thermal"),
        "cure": part("Cure"),
        "starts_at": quantity,
        "laid_at": quantity,
        "contact": quantity,
    }
    name: str
    """What it is: "plaster mould", "gel coat", "core pour"."""
    thickness: Quantity
    """Thickness, 1 µm to 5 m."""
    thermal: Thermal
    """Heat capacity and conduction."""
    cure: Cure | None
    """How it cures; left out for what does not react."""
    starts_at: Quantity
    """Temperature when laid."""
    laid_at: Quantity | None
    """When it is laid on those before it; at the start where not given."""
    contact: Quantity | None
    """Contact conductance to the layer before; perfect contact where not given."""


class FaceSymmetric(Answer):
    """A plane of symmetry, or the centre of a cylinder or a sphere: no heat passes."""

    __slots__ = ()
    _fields = {
        "kind": plain,
    }
    kind: Literal["symmetric"]


class FaceInsulated(Answer):
    """Insulated: no heat passes."""

    __slots__ = ()
    _fields = {
        "kind": plain,
    }
    kind: Literal["insulated"]


class FaceFlux(Answer):
    """A constant heat flux into the wall (a lamp); negative draws heat."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "heat_flux": quantity,
    }
    kind: Literal["flux"]
    heat_flux: Quantity
    """Within ±100 kW/m²."""


class CourseSteady(Answer):
    """The same throughout."""

    __slots__ = ()
    _fields = {
        "steady": quantity,
    }
    steady: Quantity


class CoursePoint(Answer):
    """A point of a [`Course`]."""

    __slots__ = ()
    _fields = {
        "at": quantity,
        "temperature": quantity,
    }
    at: Quantity
    """When."""
    temperature: Quantity
    """How warm."""


class CoursePoints(Answer):
    """Straight between points; it must cover the run."""

    __slots__ = ()
    _fields = {
        "points": rows("CoursePoint"),
    }
    points: Table[CoursePoint]


class FaceHeld(Answer):
    """Held at a temperature (a heated mould)."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "temperature": one_of({"steady": part("CourseSteady"), "points": part("CoursePoints")}),
    }
    kind: Literal["held"]
    temperature: CourseSteady | CoursePoints
    """Of the face."""


class FaceConvection(Answer):
    """Convection with a given coefficient, and radiation where an emissivity is given."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "coefficient": quantity,
        "emissivity": plain,
        "temperature": one_of({"steady": part("CourseSteady"), "points": part("CoursePoints")}),
    }
    kind: Literal["convection"]
    coefficient: Quantity
    """Heat transfer coefficient, 0.01 W/(m² K) to 1e6 W/(m² K)."""
    emissivity: float | None
    """Emissivity of the face, 0 to 1; no radiation where not given."""
    temperature: CourseSteady | CoursePoints
    """Of the air (or the bath)."""


class Surroundings(Answer):
    """Still air around a face: natural convection by correlations of the Nusselt with the Rayleigh number,
    and radiation to walls at the air's temperature.
    """

    __slots__ = ()
    _fields = {
        "stance": plain,
        "size": quantity,
        "emissivity": plain,
    }
    stance: Literal["vertical", "level_up", "level_down", "lying_cylinder", "ball"]
    """How it stands."""
    size: Quantity
    """The length that the stance asks for, 1 mm to 10 m."""
    emissivity: float
    """Emissivity of the face, 0 to 1."""


class FaceStillAir(Answer):
    """Still air: natural convection and radiation, both from the face's temperature."""

    __slots__ = ()
    _fields = {
        "kind": plain,
        "surroundings": part("Surroundings"),
        "temperature": one_of({"steady": part("CourseSteady"), "points": part("CoursePoints")}),
    }
    kind: Literal["still_air"]
    surroundings: Surroundings
    """How the face stands in the air."""
    temperature: CourseSteady | CoursePoints
    """Of the air and of the walls of the room."""


class Wall(Answer):
    """Layers between two faces, over a time."""

    __slots__ = ()
    _fields = {
        "form": plain,
        "first_radius": quantity,
        "grows": plain,
        "layers": rows("Layer"),
        "first_face": one_of(
            {
                "symmetric": part("FaceSymmetric"),
                "insulated": part("FaceInsulated"),
                "flux": part("FaceFlux"),
                "held": part("FaceHeld"),
                "convection": part("FaceConvection"),
                "still_air": part("FaceStillAir"),
            }
        ),
        "last_face": one_of(
            {
                "symmetric": part("FaceSymmetric"),
                "insulated": part("FaceInsulated"),
                "flux": part("FaceFlux"),
                "held": part("FaceHeld"),
                "convection": part("FaceConvection"),
                "still_air": part("FaceStillAir"),
            }
        ),
        "duration": quantity,
        "stop_when_cooling": plain,
        "stop_when_below": quantity,
        "time_above": quantity,
        "profiles": plain,
        "peak_within": quantity,
        "most_cells": plain,
    }
    form: Literal["plane", "cylinder", "sphere"] | None
    """Plane, cylinder or sphere."""
    first_radius: Quantity | None
    """Radius of the first face; needed unless plane."""
    grows: Literal["outward", "inward"] | None
    """Whether layers are laid outward or inward of the first face; inward where not given."""
    layers: Table[Layer]
    """From the first face to the last, in the order they are laid."""
    first_face: FaceSymmetric | FaceInsulated | FaceFlux | FaceHeld | FaceConvection | FaceStillAir
    """The face before the first layer."""
    last_face: FaceSymmetric | FaceInsulated | FaceFlux | FaceHeld | FaceConvection | FaceStillAir
    """The face after the last layer that is laid so far."""
    duration: Quantity
    """How long to follow it, from time zero."""
    stop_when_cooling: bool | None
    """Stop once all layers have gelled (and reached their demould criterion) and everything cools."""
    stop_when_below: Quantity | None
    """Stop once all layers have gelled (and reached their demould criterion) and everything is cooler than
    this.
    """
    time_above: Quantity | None
    """Count the time that each layer spends above this."""
    profiles: int | None
    """Number of evenly spaced times at which temperature and conversion are kept over depth, 100 000 and,
    times the number of cells, four million at most; none where 0.
    """
    peak_within: Quantity | None
    """Largest error of the peak from the size of the cells and of the steps; 0.5 K where not given."""
    most_cells: int | None
    """Most cells to refine to; 800 where not given."""


class ZoneExotherm(Answer):
    """How hot a zone gets."""

    __slots__ = ()
    _fields = {
        "peak": quantity,
        "peak_at": quantity,
        "peak_in": plain,
        "peak_error": quantity,
        "mould_face": quantity,
        "gelled": quantity,
        "cure_at_demould": quantity,
        "extrapolated": plain,
        "wall": part("Wall"),
        "why": part("Why"),
    }
    peak: Quantity
    """Hottest anywhere in the zone."""
    peak_at: Quantity
    """When, counted from the laying of the zone's first layer."""
    peak_in: str
    """In which layer."""
    peak_error: Quantity
    """Estimated error of the peak from the size of the cells."""
    mould_face: Quantity
    """Hottest of the mould's face."""
    gelled: Quantity | None
    """When all of it has gelled, counted likewise; absent if not before demoulding."""
    cure_at_demould: Quantity | None
    """Least degree of cure at demoulding.

    A test cup does not tell where cure stops for want of mobility (vitrification), so this is an upper
    bound in a cool shop.
    """
    extrapolated: str | None
    """What is outside the fitted range, if anything is."""
    wall: Wall
    """The wall as it was handed to `heat.wall`: ask it again with `profiles` for temperature over time and
    depth.
    """
    why: Why
    """The chain behind it."""


class Shell(Answer):
    """What a laminated zone comes to."""

    __slots__ = ()
    _fields = {
        "modulus": quantity,
        "strength": quantity,
        "bending_stiffness_n_m": plain,
        "moment_to_break_n": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    modulus: Quantity
    """Tensile modulus of the laminate behind the gel coat."""
    strength: Quantity
    """Tensile strength of it."""
    bending_stiffness_n_m: float
    """Bending stiffness of the whole wall per width."""
    moment_to_break_n: float
    """Moment per width that breaks it."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


class PulledEdge(Answer):
    """What a thin edge bears when it is pulled from the mould."""

    __slots__ = ()
    _fields = {
        "deflection": quantity,
        "strain": quantity,
        "breaks_at": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    deflection: Quantity
    """Deflection of its tip under the pull."""
    strain: Quantity
    """Greatest strain under the pull."""
    breaks_at: Quantity
    """The pull that breaks it."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


class ZoneSummary(Answer):
    """A zone as it comes out."""

    __slots__ = ()
    _fields = {
        "zone": plain,
        "thickness": quantity,
        "mass": quantity,
        "reinforcement": quantity,
        "exotherm": part("ZoneExotherm"),
        "shell": part("Shell"),
        "edge": part("PulledEdge"),
        "contrast_ratio": quantity,
        "light_through": quantity,
    }
    zone: str
    """Which."""
    thickness: Quantity | None
    """Sum of its layers, coats and pours as they are laid, before cure shrinkage; absent if one is
    unknown.
    """
    mass: Quantity
    """Mass of what stays in it."""
    reinforcement: Quantity
    """Reinforcement in it, dry."""
    exotherm: ZoneExotherm | None
    """How hot it gets, where its resins' test cups are known."""
    shell: Shell | None
    """The laminate, where its resin's stiffness is known."""
    edge: PulledEdge | None
    """The thin edge, where one is pulled."""
    contrast_ratio: Quantity | None
    """Contrast ratio of its gel coat, where its optics are given; 98 % hides."""
    light_through: Quantity | None
    """Part of the light that comes through, of a pour without powder or pigment."""


class SeamSummary(Answer):
    """A seam after the clamps."""

    __slots__ = ()
    _fields = {
        "seam": plain,
        "consistency": plain,
        "against_sag": quantity,
        "thickness": quantity,
        "squeezed_out": quantity,
        "pressure": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    seam: str
    """Which."""
    consistency: str
    """Consistency of the paste, in the words of the trade."""
    against_sag: Quantity
    """Yield stress of the paste over the stress of the bead's own weight on a vertical face."""
    thickness: Quantity | None
    """Thickness when it has gelled under the clamps; absent without clamps."""
    squeezed_out: Quantity | None
    """What the clamps squeeze out."""
    pressure: Quantity | None
    """Mean pressure on the seam."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


class Finding(Answer):
    """A measure held against one limit."""

    __slots__ = ()
    _fields = {
        "limit": plain,
        "quantity": plain,
        "subject": plain,
        "value": plain,
        "bound": plain,
        "margin": plain,
        "broken": plain,
        "severity": plain,
        "message": plain,
        "way_out": plain,
        "slip": plain,
        "set_aside": plain,
        "source": part("Source"),
    }
    limit: str
    """The limit's name."""
    quantity: Literal[
        "catalyst_dose",
        "shop_temperature",
        "mould_temperature",
        "resin_temperature",
        "above_dew_point",
        "relative_humidity",
        "gel_coat_wet_thickness",
        "pour_thickness",
        "session_thickness",
        "wall_thickness",
        "seam_thickness",
        "silica_loading",
        "chop_loading",
        "filler_loading",
        "pigment_loading",
        "glass_content",
        "batch_over_working_time",
        "gel_time",
        "dose_uncertainty",
        "batch_mass",
        "peak_temperature",
        "mould_face_temperature",
        "tack_window",
        "demould_cure",
        "edge_strain",
        "gel_coat_strain",
        "filler_volume",
        "clamp_pressure",
        "sag_margin",
        "contrast_ratio",
        "light_transmission",
    ]
    """What is bounded."""
    subject: str
    """Of what."""
    value: str
    """The value with its unit."""
    bound: str
    """The bound that is broken, or the nearest one, with its unit ("at most 2 phr")."""
    margin: str
    """How far inside (positive) or outside (negative) the bound, with its unit."""
    broken: bool
    """Whether the limit is broken."""
    severity: Literal["advice", "warning", "stop"]
    """How bad that is."""
    message: str
    """What goes wrong."""
    way_out: str
    """What to do instead."""
    slip: str | None
    """What was probably meant, where the value is off by a power of ten."""
    set_aside: bool | None
    """Set aside because the product's data sheet or this shop's measurement says otherwise."""
    source: Source
    """On whose word."""


class Rule(Answer):
    """One of the rules."""

    __slots__ = ()
    _fields = {
        "says": plain,
        "gives": plain,
        "sources": rows("Source"),
    }
    says: str
    """What it says."""
    gives: str | None
    """What follows from it for this plan."""
    sources: Table[Source]
    """On whose word: all that say the same."""


class ConflictingRules(Answer):
    """Published rules that contradict each other."""

    __slots__ = ()
    _fields = {
        "about": plain,
        "rules": rows("Rule"),
    }
    about: str
    """What they are about."""
    rules: Table[Rule]
    """All of them; the first is the one that the plan took."""


class Caution(Answer):
    """Something that can hurt somebody, and the usual care."""

    __slots__ = ()
    _fields = {
        "about": several(plain),
        "text": plain,
        "source": part("Source"),
    }
    about: tuple[str, ...]
    """Where it comes from: materials or acts."""
    text: str
    """What to do."""
    source: Source | None
    """On whose word."""


class Plan(PlanFace):
    """A checked plan of a casting."""

    __slots__ = ()
    _fields = {
        "version": plain,
        "casting": plain,
        "note": plain,
        "units": plain,
        "temperature": quantity,
        "humidity": quantity,
        "stopped": plain,
        "batches": rows("PlannedBatch"),
        "steps": rows("Step"),
        "needs": rows("Need"),
        "zones": rows("ZoneSummary"),
        "seams": rows("SeamSummary"),
        "part_mass": quantity,
        "cost": money,
        "without_price": several(plain),
        "findings": rows("Finding"),
        "kept": rows("Finding"),
        "conflicts": rows("ConflictingRules"),
        "cautions": rows("Caution"),
    }
    version: int
    """Version of this document: 1."""
    casting: str
    """What is cast."""
    note: str | None
    """The casting's remark."""
    units: Literal["metric", "us"]
    """The units on the bench."""
    temperature: Quantity
    """Air temperature that it is planned for."""
    humidity: Quantity
    """Relative humidity that it is planned for."""
    stopped: bool
    """Whether a finding says not to start."""
    batches: Table[PlannedBatch]
    """The batches in the order of mixing."""
    steps: Table[Step]
    """What to do, in order."""
    needs: Table[Need]
    """What it takes of each material: the shot list."""
    zones: Table[ZoneSummary]
    """The zones as they come out."""
    seams: Table[SeamSummary] | None
    """The seams as they come out, of thickened paste."""
    part_mass: Quantity
    """Mass of what stays in the part."""
    cost: Money | None
    """What all of it costs, waste included, where prices are known."""
    without_price: tuple[str, ...] | None
    """Materials whose price is not known, and which the cost therefore leaves out."""
    findings: Table[Finding]
    """Limits that are broken, the worst first."""
    kept: Table[Finding]
    """Limits that are kept, or set aside by a data sheet, with their margins."""
    conflicts: Table[ConflictingRules]
    """Published rules that contradict each other where this plan had to take one: all of them, never an
    average.
    """
    cautions: Table[Caution]
    """What can hurt somebody."""


class ShopInput(TypedDict):
    """The shop on the day."""

    temperature: QuantityInput
    """Air temperature."""
    resin_temperature: NotRequired[QuantityInput | None]
    """Temperature of the resin in its tin; the air's, if not said."""
    mould_temperature: NotRequired[QuantityInput | None]
    """Temperature of the mould's face; the air's, if not said."""
    humidity: QuantityInput
    """Relative humidity of the air."""
    start: str
    """When work starts, every day."""
    end: NotRequired[str | None]
    """When work ends, every day; ten hours after the start, if not said.

    What would not be done by then waits for the next morning.
    """
    units: NotRequired[Literal["metric", "us"]]
    """The units on the bench."""
    bench: BenchInput | Answer
    """Scale, dropper, syringe, thermometer."""


class ReleaseCoatsInput(TypedDict):
    """Coats of a release agent."""

    material: str
    """The release agent, a material id."""
    coats: int
    """How many coats."""
    wait: NotRequired[QuantityInput | None]
    """Wait after each coat; the material's usual interval, if not said."""


class MouldInput(TypedDict):
    """The mould."""

    wall: str
    """What its wall is made of, a material id."""
    thickness: QuantityInput
    """Thickness of its wall."""
    release: NotRequired[Sequence[ReleaseCoatsInput | Answer]]
    """What is put on it before the first coat, in order."""


class PartInput(TypedDict):
    """A part of a recipe."""

    material: str
    """The material, by id: initiator, promoter, hardener, filler, chopped fibre, pigment paste, monomer."""
    dose: str
    """How much goes to the resin, with its basis ("2 wt% on resin", "20 mL/kg", "1 drop/0.1 fl oz")."""


class RecipeInput(TypedDict):
    """Proportions: a resin, and everything that goes to it."""

    resin: str
    """The resin, a material id: the doses are on its mass or volume, before anything else is added."""
    parts: NotRequired[Sequence[PartInput | Answer]]
    """What goes to it."""


class PullOnEdgeInput(TypedDict):
    """A thin edge as a cantilever from its root, pulled at its tip at demoulding."""

    length: QuantityInput
    """From root to tip."""
    width: QuantityInput
    """Width that carries the pull."""
    pull: QuantityInput
    """The pull at the tip."""
    tip_thickness: NotRequired[QuantityInput | None]
    """Thickness of the tip; the zone's, if not said."""


class ZoneInput(TypedDict):
    """A zone of the mould: one surface, or one cavity, and what is laid on it in order."""

    name: str
    """Its name ("upper body", "left fore wing")."""
    area: NotRequired[QuantityInput | None]
    """Its area, for coats and plies, and for pours given by thickness."""
    layers: Sequence[LayerInput | Answer]
    """What is laid on it, first against the mould."""
    pulled_edge: NotRequired[PullOnEdgeInput | Answer | None]
    """A thin edge that is pulled at demoulding."""


class InsertInput(TypedDict):
    """Something set into the shell."""

    name: str
    """What it is."""
    recipe: str
    """Recipe of the paste it is bedded in, by name."""
    volume: QuantityInput
    """Volume of that paste."""


class SeamInput(TypedDict):
    """A seam filled with paste."""

    name: str
    """Which."""
    recipe: str
    """Recipe of the paste, by name."""
    length: QuantityInput
    """Length of the seam."""
    width: QuantityInput
    """Width of the bead."""
    height: QuantityInput
    """Height of the bead."""
    flange: NotRequired[QuantityInput | None]
    """Width of the flange that it is squeezed on; the bead's, if not said."""
    yield_law: NotRequired[YieldLawInput | Answer | None]
    """Yield stress of the paste by its silica, from this shop's slump test; common practice, if not said."""


class ClampingInput(TypedDict):
    """The clamps."""

    clamps: int
    """How many."""
    force: QuantityInput
    """Force of each."""


class HoldInput(TypedDict):
    """A hold at a temperature."""

    temperature: QuantityInput
    """Temperature."""
    time: QuantityInput
    """Time."""


class CurePlanInput(TypedDict):
    """Demoulding and post-cure."""

    in_mould: NotRequired[QuantityInput | None]
    """Time in the closed mould; overnight (16 h, common practice, no source), if not said."""
    post_cure: NotRequired[Sequence[HoldInput | Answer]]
    """Post-cure, in order."""


class CupTestInput(TypedDict):
    """What a resin showed in a test cup: its data sheet's lines, or the shop's own."""

    lines: DataSheetLinesInput | Answer
    """Gel time, time from gel to peak, peak."""
    cup: TestCupInput | Answer
    """The cup it was tested in."""


class WasteInput(TypedDict):
    """What is mixed beyond what stays in the part: left in the cup, in the brush, squeezed out, trimmed
    off. Common practice, no source; the shop's own figures are better.
    """

    gel_coat: NotRequired[QuantityInput]
    """Of gel coat: cup and brush."""
    laminate: NotRequired[QuantityInput]
    """Of laminating resin: cup, brush and roller."""
    reinforcement: NotRequired[QuantityInput]
    """Of reinforcement: overlaps and trim."""
    pour: NotRequired[QuantityInput]
    """Of a pour: cup."""
    paste: NotRequired[QuantityInput]
    """Of paste: squeezed out and left in the bag."""


class PaceInput(TypedDict):
    """How fast the hands are. Common practice, no source; one timed part of the shop's own is better."""

    mixing: NotRequired[QuantityInput]
    """To weigh, dose and stir one cup."""
    release_per_area: NotRequired[QuantityInput]
    """To put on one square metre of release agent."""
    gel_coat_per_area: NotRequired[QuantityInput]
    """To brush one square metre of gel coat."""
    ply_per_area: NotRequired[QuantityInput]
    """To wet out and roll one square metre of one ply."""
    pour_per_litre: NotRequired[QuantityInput]
    """To pour one litre into a thin edge."""
    seam_per_length: NotRequired[QuantityInput]
    """To lay one metre of seam bead."""
    insert: NotRequired[QuantityInput]
    """To set one insert."""
    clamp: NotRequired[QuantityInput]
    """To close the mould and set one clamp."""
    demould: NotRequired[QuantityInput]
    """To demould and trim."""
    usable: NotRequired[QuantityInput]
    """Share of the gel time in which a cup is used up: beyond it the resin drags."""


class CastingInput(TypedDict):
    """A casting before any resin is mixed."""

    version: int
    """Version of this document: 1."""
    name: str
    """What is cast."""
    note: NotRequired[str | None]
    """A remark, carried to the plan."""
    shop: ShopInput | Answer
    """Where and when, with which tools."""
    mould: MouldInput | Answer
    """In which mould."""
    recipes: Mapping[str, RecipeInput | Answer]
    """The recipes by name."""
    zones: Sequence[ZoneInput | Answer]
    """The zones of the mould and what is laid on each, in order."""
    inserts: NotRequired[Sequence[InsertInput | Answer]]
    """Things set into the shell (a hanging block, a threaded bush)."""
    seams: NotRequired[Sequence[SeamInput | Answer]]
    """The seams between the halves."""
    clamping: NotRequired[ClampingInput | Answer | None]
    """How the halves are held together."""
    cure: NotRequired[CurePlanInput | Answer]
    """When it leaves the mould, and the cure after that."""
    cup_tests: NotRequired[Mapping[str, CupTestInput | Answer]]
    """What resins showed in a test cup, by material: with it the exotherm of cups and zones is computed."""
    waste: NotRequired[WasteInput | Answer]
    """What is mixed beyond what stays in the part."""
    pace: NotRequired[PaceInput | Answer]
    """How fast the hands are."""
    stock: NotRequired[Mapping[str, str]]
    """What is on the shelf, by material: a mass, a volume, an area or a length ("2.5 kg", "0.8 m^2")."""
    source: NotRequired[Mapping[str, Any]]
    """Sources that the materials and limits of this document name."""
    material: NotRequired[Mapping[str, Any]]
    """Materials of this shop, added to the generic catalogue or built on one of its entries with `base`."""
    limit: NotRequired[Sequence[Any]]
    """Limits of this shop, added to the general ones."""


class PlanSheet(Answer):
    """The text."""

    __slots__ = ()
    _fields = {
        "text": plain,
    }
    text: str
    """Plain text, 100 columns."""


class BatchPartInput(TypedDict):
    """One part of a batch, as it is measured on the bench."""

    material: str
    """Material id."""
    name: str
    """What a person calls it."""
    role: Literal["resin", "initiator", "promoter", "hardener", "filler", "pigment", "solvent"]
    """What it does in the mix."""
    mass: QuantityInput
    """Mass to weigh."""
    mass_uncertainty: QuantityInput
    """Standard uncertainty of that mass by the way it is measured (`measured_by`)."""
    volume: QuantityInput
    """Its own volume (of a powder: of its particles, not of its heap)."""
    drops: NotRequired[float | None]
    """Drops, for a liquid dosed with a dropper; to be rounded to a whole number."""
    measured_by: Literal["scale", "syringe", "dropper"]
    """How it is measured best on this bench: "scale", "syringe" or "dropper"."""
    on_resin: QuantityInput
    """By mass on the resin."""
    cost: NotRequired[str | None]
    """What it costs, where its price is known."""


class EstimateInput(TypedDict):
    """A value with its standard uncertainty and the interval that holds it with a probability of 95 %."""

    value: QuantityInput
    """The value."""
    standard_uncertainty: QuantityInput
    """One standard deviation."""
    low: QuantityInput
    """Lower end of the 95 % interval."""
    high: QuantityInput
    """Upper end of the 95 % interval."""


class CureDoseInput(TypedDict):
    """The dose that decides the cure, as it will come out on this bench."""

    material: str
    """Material id of the initiator or hardener."""
    dose: str
    """As the recipe gives it."""
    by_mass: EstimateInput | Answer
    """By mass on the resin, with its uncertainty."""
    uncertainty: QuantityInput
    """The relative standard uncertainty of it."""
    uncertainty_weighed: QuantityInput
    """The same if it is weighed on the scale."""
    uncertainty_in_drops: NotRequired[QuantityInput | None]
    """The same if drops are counted, where there is a dropper."""


WhyInput = TypedDict(
    "WhyInput",
    {
        "what": "str",
        "value": "str",
        "equation": "NotRequired[str | None]",
        "source": "NotRequired[SourceInput | Answer | None]",
        "note": "NotRequired[str | None]",
        "from": "NotRequired[Sequence[WhyInput | Answer]]",
    },
)
"""The chain behind an answer: what it is, how it was computed, from what, on whose word."""


class BatchInput(TypedDict):
    """A recipe at an amount."""

    parts: Sequence[BatchPartInput | Answer]
    """Its parts, the resin first."""
    mass: QuantityInput
    """Mass of the whole."""
    volume: QuantityInput
    """Volume of the whole, the parts' volumes added, without entrained air."""
    density: QuantityInput
    """Density of the whole."""
    filler_content: QuantityInput
    """Fillers, thickeners and chopped fibre over the whole."""
    glass_content: QuantityInput
    """Glass fibre stirred in, over the whole."""
    cure_dose: NotRequired[CureDoseInput | Answer | None]
    """Initiator or hardener on resin, with the uncertainty of how it and the resin are measured."""
    cost: NotRequired[str | None]
    """What it costs, where all prices are known; else what the priced parts cost."""
    without_price: NotRequired[Sequence[str]]
    """Parts whose price is not known."""
    why: WhyInput | Answer
    """The chain behind the initiator's or hardener's amount (behind the mass, where there is none)."""


class GelTimeInput(TypedDict):
    """A gel time with its band."""

    time: QuantityInput
    """Most likely time from mixing to gel."""
    low: QuantityInput
    """Lower end of the band (about 95 %): plan the working time with this one."""
    high: QuantityInput
    """Upper end of the band."""
    extrapolated: NotRequired[str | None]
    """What lies outside which range, where something does."""
    why: WhyInput | Answer
    """The chain behind it."""


class CupExothermInput(TypedDict):
    """How hot a cup gets if all of it stays in it."""

    gel: NotRequired[QuantityInput | None]
    """When it gels in the cup, counted from the catalyst being in."""
    peak: QuantityInput
    """Hottest."""
    peak_at: QuantityInput
    """When."""


class PlannedBatchInput(TypedDict):
    """A batch of the plan."""

    name: str
    """Its name ("gel coat 1")."""
    recipe: str
    """The recipe."""
    zones: Sequence[str]
    """What it is for."""
    start: str
    """When mixing starts."""
    batch: BatchInput | Answer
    """What to weigh."""
    gel_time: NotRequired[GelTimeInput | Answer | None]
    """Gel time of the cup today, where the sheet tells."""
    use_by: NotRequired[str | None]
    """When the cup must be empty, where the gel time is known."""
    placing: QuantityInput
    """Time of the hands to place it."""
    left_standing: NotRequired[CupExothermInput | Answer | None]
    """How hot the cup gets if it is left standing full, where its resin's test cup is known."""


class StepInput(TypedDict):
    """A step of the work."""

    number: int
    """From 1."""
    start: str
    """When it starts."""
    end: str
    """When the hands are free again."""
    wait_before: QuantityInput
    """The time before it in which there is nothing to do."""
    text: str
    """What to do."""
    batch: NotRequired[str | None]
    """The batch it uses."""
    watch: NotRequired[Sequence[str]]
    """What to watch."""


NeedInput = TypedDict(
    "NeedInput",
    {
        "material": "str",
        "name": "str",
        "class": "str",
        "mass": "QuantityInput",
        "volume": "NotRequired[QuantityInput | None]",
        "area": "NotRequired[QuantityInput | None]",
        "waste": "QuantityInput",
        "in_stock": "NotRequired[QuantityInput | None]",
        "to_order": "QuantityInput",
        "cost": "NotRequired[str | None]",
        "why": "WhyInput | Answer",
    },
)
"""What the casting takes of a material."""


class ZoneExothermInput(TypedDict):
    """How hot a zone gets."""

    peak: QuantityInput
    """Hottest anywhere in the zone."""
    peak_at: QuantityInput
    """When, counted from the laying of the zone's first layer."""
    peak_in: str
    """In which layer."""
    peak_error: QuantityInput
    """Estimated error of the peak from the size of the cells."""
    mould_face: QuantityInput
    """Hottest of the mould's face."""
    gelled: NotRequired[QuantityInput | None]
    """When all of it has gelled, counted likewise; absent if not before demoulding."""
    cure_at_demould: NotRequired[QuantityInput | None]
    """Least degree of cure at demoulding.

    A test cup does not tell where cure stops for want of mobility (vitrification), so this is an upper
    bound in a cool shop.
    """
    extrapolated: NotRequired[str | None]
    """What is outside the fitted range, if anything is."""
    wall: WallInput | Answer
    """The wall as it was handed to `heat.wall`: ask it again with `profiles` for temperature over time and
    depth.
    """
    why: WhyInput | Answer
    """The chain behind it."""


class ShellInput(TypedDict):
    """What a laminated zone comes to."""

    modulus: QuantityInput
    """Tensile modulus of the laminate behind the gel coat."""
    strength: QuantityInput
    """Tensile strength of it."""
    bending_stiffness_n_m: float
    """Bending stiffness of the whole wall per width."""
    moment_to_break_n: float
    """Moment per width that breaks it."""
    extrapolated: NotRequired[str | None]
    """What is outside which range, if anything is."""
    why: WhyInput | Answer
    """The chain behind it."""


class PulledEdgeInput(TypedDict):
    """What a thin edge bears when it is pulled from the mould."""

    deflection: QuantityInput
    """Deflection of its tip under the pull."""
    strain: QuantityInput
    """Greatest strain under the pull."""
    breaks_at: QuantityInput
    """The pull that breaks it."""
    extrapolated: NotRequired[str | None]
    """What is outside which range, if anything is."""
    why: WhyInput | Answer
    """The chain behind it."""


class ZoneSummaryInput(TypedDict):
    """A zone as it comes out."""

    zone: str
    """Which."""
    thickness: NotRequired[QuantityInput | None]
    """Sum of its layers, coats and pours as they are laid, before cure shrinkage; absent if one is
    unknown.
    """
    mass: QuantityInput
    """Mass of what stays in it."""
    reinforcement: QuantityInput
    """Reinforcement in it, dry."""
    exotherm: NotRequired[ZoneExothermInput | Answer | None]
    """How hot it gets, where its resins' test cups are known."""
    shell: NotRequired[ShellInput | Answer | None]
    """The laminate, where its resin's stiffness is known."""
    edge: NotRequired[PulledEdgeInput | Answer | None]
    """The thin edge, where one is pulled."""
    contrast_ratio: NotRequired[QuantityInput | None]
    """Contrast ratio of its gel coat, where its optics are given; 98 % hides."""
    light_through: NotRequired[QuantityInput | None]
    """Part of the light that comes through, of a pour without powder or pigment."""


class SeamSummaryInput(TypedDict):
    """A seam after the clamps."""

    seam: str
    """Which."""
    consistency: str
    """Consistency of the paste, in the words of the trade."""
    against_sag: QuantityInput
    """Yield stress of the paste over the stress of the bead's own weight on a vertical face."""
    thickness: NotRequired[QuantityInput | None]
    """Thickness when it has gelled under the clamps; absent without clamps."""
    squeezed_out: NotRequired[QuantityInput | None]
    """What the clamps squeeze out."""
    pressure: NotRequired[QuantityInput | None]
    """Mean pressure on the seam."""
    extrapolated: NotRequired[str | None]
    """What is outside which range, if anything is."""
    why: WhyInput | Answer
    """The chain behind it."""


class FindingInput(TypedDict):
    """A measure held against one limit."""

    limit: str
    """The limit's name."""
    quantity: Literal[
        "catalyst_dose",
        "shop_temperature",
        "mould_temperature",
        "resin_temperature",
        "above_dew_point",
        "relative_humidity",
        "gel_coat_wet_thickness",
        "pour_thickness",
        "session_thickness",
        "wall_thickness",
        "seam_thickness",
        "silica_loading",
        "chop_loading",
        "filler_loading",
        "pigment_loading",
        "glass_content",
        "batch_over_working_time",
        "gel_time",
        "dose_uncertainty",
        "batch_mass",
        "peak_temperature",
        "mould_face_temperature",
        "tack_window",
        "demould_cure",
        "edge_strain",
        "gel_coat_strain",
        "filler_volume",
        "clamp_pressure",
        "sag_margin",
        "contrast_ratio",
        "light_transmission",
    ]
    """What is bounded."""
    subject: str
    """Of what."""
    value: str
    """The value with its unit."""
    bound: str
    """The bound that is broken, or the nearest one, with its unit ("at most 2 phr")."""
    margin: str
    """How far inside (positive) or outside (negative) the bound, with its unit."""
    broken: bool
    """Whether the limit is broken."""
    severity: Literal["advice", "warning", "stop"]
    """How bad that is."""
    message: str
    """What goes wrong."""
    way_out: str
    """What to do instead."""
    slip: NotRequired[str | None]
    """What was probably meant, where the value is off by a power of ten."""
    set_aside: NotRequired[bool]
    """Set aside because the product's data sheet or this shop's measurement says otherwise."""
    source: SourceInput | Answer
    """On whose word."""


class RuleInput(TypedDict):
    """One of the rules."""

    says: str
    """What it says."""
    gives: NotRequired[str | None]
    """What follows from it for this plan."""
    sources: Sequence[SourceInput | Answer]
    """On whose word: all that say the same."""


class ConflictingRulesInput(TypedDict):
    """Published rules that contradict each other."""

    about: str
    """What they are about."""
    rules: Sequence[RuleInput | Answer]
    """All of them; the first is the one that the plan took."""


class CautionInput(TypedDict):
    """Something that can hurt somebody, and the usual care."""

    about: Sequence[str]
    """Where it comes from: materials or acts."""
    text: str
    """What to do."""
    source: NotRequired[SourceInput | Answer | None]
    """On whose word."""


class PlanInput(TypedDict):
    """A checked plan of a casting."""

    version: int
    """Version of this document: 1."""
    casting: str
    """What is cast."""
    note: NotRequired[str | None]
    """The casting's remark."""
    units: Literal["metric", "us"]
    """The units on the bench."""
    temperature: QuantityInput
    """Air temperature that it is planned for."""
    humidity: QuantityInput
    """Relative humidity that it is planned for."""
    stopped: bool
    """Whether a finding says not to start."""
    batches: Sequence[PlannedBatchInput | Answer]
    """The batches in the order of mixing."""
    steps: Sequence[StepInput | Answer]
    """What to do, in order."""
    needs: Sequence[NeedInput | Answer]
    """What it takes of each material: the shot list."""
    zones: Sequence[ZoneSummaryInput | Answer]
    """The zones as they come out."""
    seams: NotRequired[Sequence[SeamSummaryInput | Answer]]
    """The seams as they come out, of thickened paste."""
    part_mass: QuantityInput
    """Mass of what stays in the part."""
    cost: NotRequired[str | None]
    """What all of it costs, waste included, where prices are known."""
    without_price: NotRequired[Sequence[str]]
    """Materials whose price is not known, and which the cost therefore leaves out."""
    findings: Sequence[FindingInput | Answer]
    """Limits that are broken, the worst first."""
    kept: Sequence[FindingInput | Answer]
    """Limits that are kept, or set aside by a data sheet, with their margins."""
    conflicts: Sequence[ConflictingRulesInput | Answer]
    """Published rules that contradict each other where this plan had to take one: all of them, never an
    average.
    """
    cautions: Sequence[CautionInput | Answer]
    """What can hurt somebody."""


class PlanPage(Answer):
    """The page."""

    __slots__ = ()
    _fields = {
        "html": plain,
        "fragments": several(plain),
    }
    html: str
    """A whole HTML page that needs no network and prints."""
    fragments: tuple[str, ...]
    """Each plan as an HTML fragment, for a notebook."""


class ComparisonRow(Answer):
    """One casting of a comparison."""

    __slots__ = ()
    _fields = {
        "casting": plain,
        "part_mass": quantity,
        "cost": money,
        "batches": plain,
        "duration": quantity,
        "hands": quantity,
        "stops": plain,
        "warnings": plain,
    }
    casting: str
    """Which."""
    part_mass: Quantity
    """Mass of what stays in the part."""
    cost: Money | None
    """What it costs, where prices are known."""
    batches: int
    """How many cups are mixed."""
    duration: Quantity
    """From the first step to the end of the last."""
    hands: Quantity
    """Time of the hands."""
    stops: int
    """Findings that say not to start."""
    warnings: int
    """Findings that say the part may fail."""


class Comparison(Answer):
    """The castings side by side."""

    __slots__ = ()
    _fields = {
        "rows": rows("ComparisonRow"),
    }
    rows: Table[ComparisonRow]
    """One row a casting, in the order given."""


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


class CupToday(Answer):
    """The cup as it is to be mixed."""

    __slots__ = ()
    _fields = {
        "batch": part("Batch"),
        "gel_time": part("GelTime"),
        "dose": part("DoseForGelTime"),
        "findings": rows("Finding"),
        "kept": rows("Finding"),
    }
    batch: Batch
    """What to weigh, count and pour."""
    gel_time: GelTime | None
    """How long until it gels, where the sheet tells."""
    dose: DoseForGelTime | None
    """How the dose for the wanted gel time came about."""
    findings: Table[Finding]
    """Limits that are broken."""
    kept: Table[Finding]
    """Limits that are kept, with their margins."""


class AmountMassInput(TypedDict):
    """Mass of the whole mix."""

    mass: QuantityInput


class AmountVolumeInput(TypedDict):
    """Volume of the whole mix, without entrained air."""

    volume: QuantityInput


class AmountResinMassInput(TypedDict):
    """Mass of the resin in it."""

    resin_mass: QuantityInput


class AmountResinVolumeInput(TypedDict):
    """Volume of the resin in it."""

    resin_volume: QuantityInput


AmountInput: TypeAlias = AmountMassInput | AmountVolumeInput | AmountResinMassInput | AmountResinVolumeInput
"""How much is mixed."""


def make(
    *,
    casting: CastingInput | Answer | None = None,
    casting_toml: str | None = None,
) -> Plan:
    """Plans a casting: batches, steps on the clock, shot list, findings, cost, cautions.

    Parameters
    ----------
    casting : CastingInput | None
        The casting as an object.
    casting_toml : str | None
        The casting as the text of a TOML document.
    """
    return ask_as(
        "plan.make",
        {
            "casting": casting,
            "casting_toml": casting_toml,
        },
        Plan,
    )


def sheet(
    *,
    plan: PlanInput | Answer,
) -> PlanSheet:
    """A plan as plain text for the bench.

    Parameters
    ----------
    plan : PlanInput
        The plan as `plan.make` answered it.
    """
    return ask_as(
        "plan.sheet",
        {
            "plan": plan,
        },
        PlanSheet,
    )


def page(
    *,
    plans: Sequence[PlanInput | Answer],
) -> PlanPage:
    """Plans as a self-contained HTML page and as fragments for a notebook.

    Parameters
    ----------
    plans : Sequence[PlanInput]
        Plans as `plan.make` answered them.
    """
    return ask_as(
        "plan.page",
        {
            "plans": plans,
        },
        PlanPage,
    )


def compare(
    *,
    castings: Sequence[CastingInput | Answer],
) -> Comparison:
    """Plans several castings and gives their mass, cost, time and findings side by side.

    Parameters
    ----------
    castings : Sequence[CastingInput]
        The castings as objects.
    """
    return ask_as(
        "plan.compare",
        {
            "castings": castings,
        },
        Comparison,
    )


def cup(
    *,
    recipe: RecipeInput | Answer,
    amount: AmountInput | Answer,
    temperature: QuantityInput,
    bench: BenchInput | Answer,
    wanted_gel_time: QuantityInput | None = None,
    source: Mapping[str, Any] | None = None,
    material: Mapping[str, Any] | None = None,
) -> CupToday:
    """One cup today: grams, millilitres and drops of each part, gel time, findings; or the dose for a
    wanted gel time.

    Parameters
    ----------
    recipe : RecipeInput
        What is mixed.
    amount : AmountInput
        How much.
    temperature : quantity
        Temperature of resin and air.
    bench : BenchInput
        What it is measured with.
    wanted_gel_time : quantity | None
        The gel time wanted: the initiator's dose is then worked out, and the recipe's own is not used.
    source : Mapping[str, Any]
        Sources that the materials name.
    material : Mapping[str, Any]
        Materials of this shop, added to the generic catalogue or built on one of its entries with `base`.
    """
    return ask_as(
        "plan.cup",
        {
            "recipe": recipe,
            "amount": amount,
            "temperature": temperature,
            "bench": bench,
            "wanted_gel_time": wanted_gel_time,
            "source": source,
            "material": material,
        },
        CupToday,
    )


ANSWERS: dict[str, type[Answer]] = {
    "plan.make": Plan,
    "plan.sheet": PlanSheet,
    "plan.page": PlanPage,
    "plan.compare": Comparison,
    "plan.cup": CupToday,
}
"""The class of the answer to each question."""
