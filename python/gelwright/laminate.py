# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about laminate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NotRequired, TypeAlias, TypedDict

import numpy as np
from numpy.typing import NDArray

from .answer import Answer, Table, array, ask_as, part, plain, quantity, rows, several
from .common import Source, Why
from .units import Quantity, QuantityInput

__all__ = [
    "ArealMassAnswer",
    "Bounds",
    "ChopFill",
    "Compliance",
    "Constants",
    "CoreGripAnswer",
    "CrackCheck",
    "CuredPly",
    "EdgeBendingAnswer",
    "EdgeCost",
    "EdgeInput",
    "Elastic",
    "ElasticInput",
    "FilledResinAnswer",
    "FirstPlyFailure",
    "ForcesPerWidthInput",
    "FromConstituentsAnswer",
    "GelCoatLayerInput",
    "GlassContentAnswer",
    "HollowSphereAnswer",
    "InterlaminarShear",
    "MatPropertiesAnswer",
    "MomentsPerWidthInput",
    "PanelAnswer",
    "PanelDiscClampedDiscClampedInput",
    "PanelDiscClampedInput",
    "PanelDiscSupportedDiscSupportedInput",
    "PanelDiscSupportedInput",
    "PanelInput",
    "PanelRectangleSupportedInput",
    "PanelRectangleSupportedRectangleSupportedInput",
    "Phase",
    "PhaseInput",
    "PliesForAnswer",
    "PlyFailureAnswer",
    "PlyMaterialInput",
    "PlyState",
    "PlyStressInput",
    "PlyThicknessAnswer",
    "PlyThicknessInput",
    "PrintThrough",
    "ReinforcementInput",
    "ReserveFactors",
    "Response",
    "RuleStrength",
    "RuleThickness",
    "SectionInput",
    "ShortFibreAnswer",
    "ShrinkageAnswer",
    "StackAnswer",
    "StackPlyInput",
    "StrengthsInput",
    "VoidContentAnswer",
    "WallAnswer",
    "WallPlyInput",
    "areal_mass",
    "chop_resin",
    "core_grip",
    "edge_bending",
    "filled_resin",
    "from_constituents",
    "glass_content",
    "hollow_sphere",
    "mat_properties",
    "panel",
    "plies_for",
    "ply_failure",
    "ply_thickness",
    "short_fibre",
    "shrinkage",
    "stack",
    "void_content",
    "wall",
]


class ArealMassAnswer(Answer):
    """A weight of reinforcement."""

    __slots__ = ()
    _fields = {
        "areal_mass": quantity,
        "mat_ounces": plain,
        "cloth_ounces": plain,
    }
    areal_mass: Quantity
    """Mass per area."""
    mat_ounces: float
    """In ounces per square foot, as mat is sold."""
    cloth_ounces: float
    """In ounces per square yard, as cloth is sold."""


class RuleThickness(Answer):
    """A thickness as one published rule gives it."""

    __slots__ = ()
    _fields = {
        "rule": plain,
        "thickness": quantity,
        "glass_content": quantity,
        "source": part("Source"),
        "extrapolated": plain,
    }
    rule: str
    """The rule."""
    thickness: Quantity
    """The thickness it gives for this areal mass."""
    glass_content: Quantity
    """The glass content it is for."""
    source: Source
    """Where it comes from."""
    extrapolated: str | None
    """Where it is used outside its glass content."""


class PlyThicknessAnswer(Answer):
    """A ply after cure, with how it was computed."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "areal_mass": quantity,
        "resin": quantity,
        "resin_to_glass": plain,
        "glass_content": quantity,
        "fibre_volume": quantity,
        "voids": quantity,
        "density": quantity,
        "extrapolated": plain,
        "rules": rows("RuleThickness"),
        "why": part("Why"),
    }
    thickness: Quantity
    """Its thickness."""
    areal_mass: Quantity
    """Mass of glass and resin per area."""
    resin: Quantity
    """Mass of resin per area that stays in it (without what stays on tools, in cups, and on the mould)."""
    resin_to_glass: float
    """Resin over glass by mass, as the trade says "2.5 to 1"."""
    glass_content: Quantity
    """Glass content by mass."""
    fibre_volume: Quantity
    """Fibre volume fraction."""
    voids: Quantity
    """Voids by volume."""
    density: Quantity
    """Density of the cured ply."""
    extrapolated: str | None
    """What lies outside the contents found in hand lay-up."""
    rules: Table[RuleThickness]
    """The published thickness rules for E-glass and polyester, side by side."""
    why: Why
    """How its thickness was computed."""


class ReinforcementInput(TypedDict):
    """Part of a request."""

    form: Literal["mat", "woven_roving", "cloth", "stitched", "veil", "unidirectional", "chop"]
    """Its form."""
    areal_mass: str
    """Dry mass per area."""
    fibre_density: NotRequired[QuantityInput | None]
    """Density of the fibre; E-glass 2560 kg/m³ (ISO 12215-5:2008, annex C) where not given."""


class GlassContentAnswer(Answer):
    """Glass content by mass and by volume."""

    __slots__ = ()
    _fields = {
        "glass_content": quantity,
        "fibre_volume": quantity,
        "resin_to_glass": plain,
        "why": part("Why"),
    }
    glass_content: Quantity
    """Glass content by mass."""
    fibre_volume: Quantity
    """Fibre volume fraction."""
    resin_to_glass: float
    """Resin over glass by mass."""
    why: Why
    """How it was computed."""


class VoidContentAnswer(Answer):
    """Voids of a sample."""

    __slots__ = ()
    _fields = {
        "voids": quantity,
        "why": part("Why"),
    }
    voids: Quantity
    """Voids by volume."""
    why: Why
    """How it was computed."""


class PliesForAnswer(Answer):
    """A number of plies, with how it was computed."""

    __slots__ = ()
    _fields = {
        "plies": plain,
        "exact": plain,
        "thickness": quantity,
        "areal_mass": quantity,
        "stretching_stiffness_N_per_m": plain,
        "bending_stiffness_N_m": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    plies: int
    """The least whole number of plies."""
    exact: float
    """The number before rounding up."""
    thickness: Quantity
    """Laminate thickness (without gel coat)."""
    areal_mass: Quantity
    """Mass of glass and resin per area."""
    stretching_stiffness_N_per_m: float | None
    """Stretching stiffness E t in N/m, where a modulus is known."""
    bending_stiffness_N_m: float | None
    """Bending stiffness E t³/12/(1 - ν²) in N·m, where a modulus is known."""
    extrapolated: str | None
    """What lies outside usual ranges."""
    why: Why
    """How it was computed."""


class PlyThicknessInput(TypedDict):
    """Thickness of a ply from its dry weight and glass content."""

    reinforcement: ReinforcementInput | Answer
    """The dry reinforcement."""
    glass_content: QuantityInput
    """Glass content by mass."""
    resin_density: NotRequired[QuantityInput | None]
    """Density of the cured resin; 1.20 g/mL (ISO 12215-5:2008, annex C) where not given."""
    voids: NotRequired[QuantityInput | None]
    """Voids by volume; none where not given."""


class ChopFill(Answer):
    """Dry chopped strands and the resin that fills them."""

    __slots__ = ()
    _fields = {
        "resin": quantity,
        "volume": quantity,
        "glass_content": quantity,
        "fibre_volume": quantity,
        "why": part("Why"),
    }
    resin: Quantity
    """Resin that fills the gaps between the strands."""
    volume: Quantity
    """Volume of the wetted chop."""
    glass_content: Quantity
    """Glass content by mass."""
    fibre_volume: Quantity
    """Fibre volume fraction of the loose chop."""
    why: Why
    """How it was computed."""


class RuleStrength(Answer):
    """The same property by another published rule."""

    __slots__ = ()
    _fields = {
        "rule": plain,
        "modulus": quantity,
        "tension": quantity,
        "glass_content": quantity,
        "source": part("Source"),
    }
    rule: str
    """The rule."""
    modulus: Quantity
    """Modulus it gives."""
    tension: Quantity
    """Tensile strength it gives."""
    glass_content: Quantity
    """The glass content it is for."""
    source: Source
    """Where it comes from."""


class MatPropertiesAnswer(Answer):
    """Published strength and stiffness, with how they were computed."""

    __slots__ = ()
    _fields = {
        "tension": quantity,
        "compression": quantity,
        "flexure": quantity,
        "shear": quantity,
        "interlaminar": quantity,
        "modulus": quantity,
        "shear_modulus": quantity,
        "factor": plain,
        "extrapolated": plain,
        "rules": rows("RuleStrength"),
        "why": part("Why"),
    }
    tension: Quantity
    """Tensile strength."""
    compression: Quantity
    """Compressive strength."""
    flexure: Quantity
    """Flexural strength."""
    shear: Quantity
    """In-plane shear strength."""
    interlaminar: Quantity
    """Interlaminar shear strength."""
    modulus: Quantity
    """In-plane modulus."""
    shear_modulus: Quantity
    """In-plane shear modulus."""
    factor: float
    """The factor all values above are multiplied by (0.8 where the laminate is not tested)."""
    extrapolated: str | None
    """What lies outside the fitted glass contents."""
    rules: Table[RuleStrength]
    """Other published rules for comparison."""
    why: Why
    """How they were computed."""


class Elastic(Answer):
    """Elastic constants of a ply in its own axes: 1 along the fibre (or the warp), 2 across, in the plane."""

    __slots__ = ()
    _fields = {
        "e1": quantity,
        "e2": quantity,
        "nu12": quantity,
        "g12": quantity,
    }
    e1: Quantity
    """Young's modulus along 1."""
    e2: Quantity
    """Young's modulus along 2."""
    nu12: Quantity
    """Poisson's ratio: contraction along 2 under stress along 1."""
    g12: Quantity
    """In-plane shear modulus."""


class FromConstituentsAnswer(Answer):
    """Elastic constants of a ply by several models."""

    __slots__ = ()
    _fields = {
        "rule_of_mixtures": part("Elastic"),
        "unidirectional": part("Elastic"),
        "random_mat": part("Elastic"),
        "random_mat_by_invariants": part("Elastic"),
        "expansion1": quantity,
        "expansion2": quantity,
        "mat_expansion": quantity,
        "why": part("Why"),
    }
    rule_of_mixtures: Elastic
    """Unidirectional by the rules of mixtures; E2 and G12 are lower bounds."""
    unidirectional: Elastic
    """Unidirectional with E2 and G12 by Halpin-Tsai."""
    random_mat: Elastic
    """Random in the plane by Tsai and Pagano's 3/8 and 5/8: an upper estimate of a mat."""
    random_mat_by_invariants: Elastic
    """Random in the plane by the invariants of the ply, exactly."""
    expansion1: Quantity | None
    """Thermal expansion along the fibre."""
    expansion2: Quantity | None
    """Thermal expansion across the fibre."""
    mat_expansion: Quantity | None
    """In-plane thermal expansion of the mat."""
    why: Why
    """How they were computed."""


class PhaseInput(TypedDict):
    """An isotropic constituent: fibre, resin or filler."""

    modulus: QuantityInput
    """Young's modulus."""
    poisson: QuantityInput
    """Poisson's ratio."""


class ShortFibreAnswer(Answer):
    """Modulus of a resin with short strands, and how much of their strength is used."""

    __slots__ = ()
    _fields = {
        "modulus": quantity,
        "length_efficiency": plain,
        "orientation_efficiency": plain,
        "why": part("Why"),
        "critical_length": quantity,
        "strength_efficiency": plain,
    }
    modulus: Quantity
    """Young's modulus."""
    length_efficiency: float
    """Cox's length efficiency, 0 to 1."""
    orientation_efficiency: float
    """Krenchel's orientation efficiency, 0 to 1."""
    why: Why
    """How it was computed."""
    critical_length: Quantity | None
    """Length at which a fibre can just be loaded to its strength (Kelly and Tyson)."""
    strength_efficiency: float | None
    """Share of the fibre's strength that is used, before orientation."""


class Bounds(Answer):
    """Lower and upper bound of an isotropic two-phase material."""

    __slots__ = ()
    _fields = {
        "modulus_low": quantity,
        "modulus_high": quantity,
        "bulk_low": quantity,
        "bulk_high": quantity,
        "shear_low": quantity,
        "shear_high": quantity,
    }
    modulus_low: Quantity
    """Young's modulus, lower bound."""
    modulus_high: Quantity
    """Young's modulus, upper bound."""
    bulk_low: Quantity
    """Bulk modulus, lower bound."""
    bulk_high: Quantity
    """Bulk modulus, upper bound."""
    shear_low: Quantity
    """Shear modulus, lower bound."""
    shear_high: Quantity
    """Shear modulus, upper bound."""


class FilledResinAnswer(Answer):
    """Modulus of a filled resin and its bounds."""

    __slots__ = ()
    _fields = {
        "modulus": quantity,
        "bounds": part("Bounds"),
        "extrapolated": plain,
        "why": part("Why"),
    }
    modulus: Quantity
    """Estimate by Lewis and Nielsen."""
    bounds: Bounds
    """Bounds of Hashin and Shtrikman."""
    extrapolated: str | None
    """Where the estimate leaves the bounds."""
    why: Why
    """How it was computed."""


class Phase(Answer):
    """An isotropic constituent: fibre, resin or filler."""

    __slots__ = ()
    _fields = {
        "modulus": quantity,
        "poisson": quantity,
    }
    modulus: Quantity
    """Young's modulus."""
    poisson: Quantity
    """Poisson's ratio."""


class HollowSphereAnswer(Answer):
    """A hollow sphere, with how it was computed."""

    __slots__ = ()
    _fields = {
        "equivalent": part("Phase"),
        "density": quantity,
        "hollow": plain,
        "why": part("Why"),
    }
    equivalent: Phase
    """The equivalent solid."""
    density: Quantity
    """Density of the sphere with its hollow."""
    hollow: float
    """Hollow over whole volume."""
    why: Why
    """How it was computed."""


class PlyFailureAnswer(Answer):
    """By how much a stress can grow until the ply fails."""

    __slots__ = ()
    _fields = {
        "maximum_stress": plain,
        "maximum_strain": plain,
        "tsai_hill": plain,
        "tsai_wu": plain,
        "why": part("Why"),
    }
    maximum_stress: float | None
    """By maximum stress."""
    maximum_strain: float | None
    """By maximum strain."""
    tsai_hill: float | None
    """By Tsai-Hill."""
    tsai_wu: float | None
    """By Tsai-Wu."""
    why: Why
    """How it was computed."""


class ElasticInput(TypedDict):
    """Elastic constants of a ply in its own axes: 1 along the fibre (or the warp), 2 across, in the plane."""

    e1: QuantityInput
    """Young's modulus along 1."""
    e2: QuantityInput
    """Young's modulus along 2."""
    nu12: QuantityInput
    """Poisson's ratio: contraction along 2 under stress along 1."""
    g12: QuantityInput
    """In-plane shear modulus."""


class StrengthsInput(TypedDict):
    """Strengths of a ply in its own axes, all written as positive numbers."""

    tension1: QuantityInput
    """Tension along 1."""
    compression1: QuantityInput
    """Compression along 1, positive."""
    tension2: QuantityInput
    """Tension along 2."""
    compression2: QuantityInput
    """Compression along 2, positive."""
    shear12: QuantityInput
    """In-plane shear."""


class PlyStressInput(TypedDict):
    """Three stresses in ply axes."""

    s1: QuantityInput
    """Along 1."""
    s2: QuantityInput
    """Along 2."""
    t12: QuantityInput
    """Shear."""


class Compliance(Answer):
    """The inverse of the stiffness: strain and curvature per force and moment."""

    __slots__ = ()
    _fields = {
        "a_m_per_N": several(array),
        "b_per_N": several(array),
        "d_per_N_m": several(array),
    }
    a_m_per_N: tuple[NDArray[np.float64], ...]
    """Strain per force, m/N."""
    b_per_N: tuple[NDArray[np.float64], ...]
    """Strain per moment (row strain, column moment), 1/N."""
    d_per_N_m: tuple[NDArray[np.float64], ...]
    """Curvature per moment, 1/(N·m)."""


class Constants(Answer):
    """Moduli of the stack taken as one material."""

    __slots__ = ()
    _fields = {
        "ex": quantity,
        "ey": quantity,
        "gxy": quantity,
        "nuxy": quantity,
    }
    ex: Quantity
    """Modulus along x."""
    ey: Quantity
    """Modulus along y."""
    gxy: Quantity
    """Shear modulus."""
    nuxy: Quantity
    """Contraction along y under stress along x."""


class ReserveFactors(Answer):
    """By how much the loads can grow until a ply fails, by each criterion."""

    __slots__ = ()
    _fields = {
        "maximum_stress": plain,
        "maximum_strain": plain,
        "tsai_hill": plain,
        "tsai_wu": plain,
    }
    maximum_stress: float | None
    """By maximum stress."""
    maximum_strain: float | None
    """By maximum strain."""
    tsai_hill: float | None
    """By Tsai-Hill."""
    tsai_wu: float | None
    """By Tsai-Wu."""


class PlyState(Answer):
    """Stress and strain at a place of a ply. Arrays hold x, y, xy or 1, 2, 12."""

    __slots__ = ()
    _fields = {
        "ply": plain,
        "name": plain,
        "place": plain,
        "z_m": plain,
        "strain": array,
        "stress_Pa": array,
        "ply_stress_Pa": array,
        "ply_strain": array,
        "reserve": part("ReserveFactors"),
    }
    ply: int
    """The ply, counted from 0 at the mould face."""
    name: str
    """Its name."""
    place: Literal["mould_side", "middle", "laid_side"]
    """Where in it."""
    z_m: float
    """Height over the middle of the stack, m."""
    strain: NDArray[np.float64]
    """Whole strain in laminate axes."""
    stress_Pa: NDArray[np.float64]
    """Stress in laminate axes, Pa."""
    ply_stress_Pa: NDArray[np.float64]
    """Stress in ply axes, Pa."""
    ply_strain: NDArray[np.float64]
    """Strain that causes stress (whole less free strain), in ply axes."""
    reserve: ReserveFactors | None
    """By how much the loads can grow; `None` where the ply has no strengths."""


class FirstPlyFailure(Answer):
    """The ply that fails first, by one criterion."""

    __slots__ = ()
    _fields = {
        "criterion": plain,
        "ply": plain,
        "name": plain,
        "place": plain,
        "factor": plain,
    }
    criterion: Literal["maximum_stress", "maximum_strain", "tsai_hill", "tsai_wu"]
    """The criterion."""
    ply: int
    """The ply, counted from 0 at the mould face."""
    name: str
    """Its name."""
    place: Literal["mould_side", "middle", "laid_side"]
    """Where in it."""
    factor: float
    """What the loads are to be multiplied by."""


class CrackCheck(Answer):
    """A layer with a strain to crack, against its strain."""

    __slots__ = ()
    _fields = {
        "ply": plain,
        "name": plain,
        "strain": quantity,
        "strain_to_crack": quantity,
        "cracks": plain,
    }
    ply: int
    """The ply, counted from 0 at the mould face."""
    name: str
    """Its name."""
    strain: Quantity
    """Largest principal strain that causes stress, at its worse face."""
    strain_to_crack: Quantity
    """Strain at which it cracks."""
    cracks: bool
    """Whether it cracks."""


class InterlaminarShear(Answer):
    """Interlaminar shear under a transverse force."""

    __slots__ = ()
    _fields = {
        "at_faces_Pa": array,
        "largest_Pa": plain,
        "ply": plain,
        "reserve": plain,
    }
    at_faces_Pa: NDArray[np.float64]
    """τxz at each face between plies, from the mould face to the laid-up face, Pa."""
    largest_Pa: float
    """Largest |τxz| anywhere, Pa."""
    ply: int
    """The ply it is in, counted from 0 at the mould face."""
    reserve: float | None
    """Least interlaminar strength over stress, by each ply's largest stress, where strengths are known."""


class Response(Answer):
    """What a laminate does under a [`Load`]."""

    __slots__ = ()
    _fields = {
        "midplane_strain": array,
        "curvature_per_m": array,
        "plies": rows("PlyState"),
        "first_ply_failure": rows("FirstPlyFailure"),
        "cracks": rows("CrackCheck"),
        "interlaminar": part("InterlaminarShear"),
    }
    midplane_strain: NDArray[np.float64]
    """Strain of the middle of the stack: x, y, xy."""
    curvature_per_m: NDArray[np.float64]
    """Curvature x, y, xy in 1/m; positive stretches the laid-up face."""
    plies: Table[PlyState]
    """Every ply at its two faces and its middle."""
    first_ply_failure: Table[FirstPlyFailure]
    """First ply failure by each criterion that some multiple of the loads reaches."""
    cracks: Table[CrackCheck]
    """The layers with a strain to crack."""
    interlaminar: InterlaminarShear | None
    """Interlaminar shear, where a transverse force acts."""


class StackAnswer(Answer):
    """What a laminate is and does."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "a_N_per_m": several(array),
        "b_N": several(array),
        "d_N_m": several(array),
        "compliance": part("Compliance"),
        "coupled": plain,
        "in_plane": part("Constants"),
        "flexural": part("Constants"),
        "response": part("Response"),
        "bow": quantity,
        "why": part("Why"),
    }
    thickness: Quantity
    """Whole thickness."""
    a_N_per_m: tuple[NDArray[np.float64], ...]
    """Stretching stiffness A."""
    b_N: tuple[NDArray[np.float64], ...]
    """Coupling stiffness B."""
    d_N_m: tuple[NDArray[np.float64], ...]
    """Bending stiffness D."""
    compliance: Compliance
    """The inverse."""
    coupled: bool
    """Whether stretching bends it."""
    in_plane: Constants
    """In-plane moduli of the whole."""
    flexural: Constants
    """Flexural moduli of the whole."""
    response: Response
    """Strain, stress, failure and cracking."""
    bow: Quantity | None
    """Bow along x over the length given."""
    why: Why
    """How the in-plane modulus was computed."""


class PlyMaterialInput(TypedDict):
    """What a ply is made of."""

    elastic: ElasticInput | Answer
    """Elastic constants."""
    strengths: NotRequired[StrengthsInput | Answer | None]
    """Strengths, where failure is asked for."""
    expansion1: NotRequired[QuantityInput | None]
    """Thermal expansion along 1."""
    expansion2: NotRequired[QuantityInput | None]
    """Thermal expansion along 2; as along 1 where not given."""
    shrinkage1: NotRequired[QuantityInput | None]
    """Free shrinkage on cure along 1, positive for shrinking."""
    shrinkage2: NotRequired[QuantityInput | None]
    """Free shrinkage on cure along 2; as along 1 where not given."""
    strain_to_crack: NotRequired[QuantityInput | None]
    """Tensile strain at which it cracks (gel coat: its elongation at break)."""
    interlaminar: NotRequired[QuantityInput | None]
    """Interlaminar shear strength."""


class StackPlyInput(TypedDict):
    """A ply of a stack, by the name of its material."""

    material: str
    """Name of the material."""
    thickness: QuantityInput
    """Its thickness."""
    angle: NotRequired[QuantityInput | None]
    """From x to its axis 1; 0 where not given."""


class ForcesPerWidthInput(TypedDict):
    """Three forces per width; what is not given is zero."""

    x: NotRequired[QuantityInput | None]
    """Along x."""
    y: NotRequired[QuantityInput | None]
    """Along y."""
    xy: NotRequired[QuantityInput | None]
    """Shear."""


class MomentsPerWidthInput(TypedDict):
    """Three moments per width ("2 N*m/m" or "2 N"); what is not given is zero."""

    x: NotRequired[QuantityInput | None]
    """Bending along x, positive stretching the laid-up face."""
    y: NotRequired[QuantityInput | None]
    """Bending along y."""
    xy: NotRequired[QuantityInput | None]
    """Twist."""


class EdgeCost(Answer):
    """What a thinner edge costs."""

    __slots__ = ()
    _fields = {
        "pull_ratio": plain,
        "deflection_ratio": plain,
    }
    pull_ratio: float
    """Pull survived, thinner over as designed: t² where the whole edge is thinner by one factor."""
    deflection_ratio: float
    """Tip deflection, thinner over as designed: 1/t³ where the whole edge is thinner by one factor."""


class EdgeBendingAnswer(Answer):
    """What the edge does, and what a thinner one costs."""

    __slots__ = ()
    _fields = {
        "deflection": quantity,
        "stress": quantity,
        "weakest_at": quantity,
        "pull_survived": quantity,
        "reserve": plain,
        "plate": plain,
        "extrapolated": plain,
        "why": part("Why"),
        "thinner": part("EdgeCost"),
        "cautions": several(plain),
    }
    deflection: Quantity
    """Deflection of the tip."""
    stress: Quantity
    """Largest bending stress."""
    weakest_at: Quantity
    """Where it is, from the root."""
    pull_survived: Quantity
    """Pull at the tip that reaches the strength over the safety factor."""
    reserve: float | None
    """Strength over stress (the safety factor is not in it); `None` without a load."""
    plate: bool
    """Whether it was taken as a plate (wide) or a beam (narrow)."""
    extrapolated: str | None
    """Where the theory is left."""
    why: Why
    """How it was computed."""
    thinner: EdgeCost | None
    """What the thinner edge costs."""
    cautions: tuple[str, ...]
    """Cautions."""


class SectionInput(TypedDict):
    """A thickness at a distance from the root."""

    at: QuantityInput
    """Distance from the root (where the edge joins the body)."""
    thickness: QuantityInput
    """Thickness there; between sections it runs straight."""


class EdgeInput(TypedDict):
    """A thin edge held at its root."""

    sections: Sequence[SectionInput | Answer]
    """Thicknesses from the root (at 0) to the tip, at least two."""
    width: QuantityInput
    """Width of the edge that carries the load."""
    modulus: QuantityInput
    """Young's modulus."""
    poisson: QuantityInput
    """Poisson's ratio."""
    strength: QuantityInput
    """Flexural strength."""
    safety_factor: NotRequired[QuantityInput | None]
    """Factor kept between stress and strength; 1 where not given."""


class PanelAnswer(Answer):
    """Deflection and stress of a panel."""

    __slots__ = ()
    _fields = {
        "deflection": quantity,
        "stress": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    deflection: Quantity
    """Largest deflection."""
    stress: Quantity
    """Largest bending stress."""
    extrapolated: str | None
    """Where small-deflection theory is left."""
    why: Why
    """How it was computed."""


class PanelRectangleSupportedRectangleSupportedInput(TypedDict):
    """Part of a request."""

    a: QuantityInput
    """One side."""
    b: QuantityInput
    """The other side."""


class PanelRectangleSupportedInput(TypedDict):
    """A rectangle whose edges rest and may turn."""

    rectangle_supported: PanelRectangleSupportedRectangleSupportedInput


class PanelDiscSupportedDiscSupportedInput(TypedDict):
    """Part of a request."""

    radius: QuantityInput
    """Its radius."""


class PanelDiscSupportedInput(TypedDict):
    """A disc whose edge rests and may turn."""

    disc_supported: PanelDiscSupportedDiscSupportedInput


class PanelDiscClampedDiscClampedInput(TypedDict):
    """Part of a request."""

    radius: QuantityInput
    """Its radius."""


class PanelDiscClampedInput(TypedDict):
    """A disc whose edge is held fast."""

    disc_clamped: PanelDiscClampedDiscClampedInput


PanelInput: TypeAlias = PanelRectangleSupportedInput | PanelDiscSupportedInput | PanelDiscClampedInput
"""The outline of a panel and how its edge is held."""


class PrintThrough(Answer):
    """Depth of the fibre pattern on the face of the part."""

    __slots__ = ()
    _fields = {
        "depth": quantity,
        "why": part("Why"),
    }
    depth: Quantity
    """Valley between the bundles against the ridge over them."""
    why: Why
    """How it was computed."""


class ShrinkageAnswer(Answer):
    """Shrinkage of a part."""

    __slots__ = ()
    _fields = {
        "linear": quantity,
        "volumetric": quantity,
        "finished": quantity,
        "print_through": part("PrintThrough"),
        "why": part("Why"),
    }
    linear: Quantity
    """Linear shrinkage, positive for shrinking."""
    volumetric: Quantity
    """Shrinkage by volume."""
    finished: Quantity | None
    """Size of the part."""
    print_through: PrintThrough | None
    """The fibre pattern on the face."""
    why: Why
    """How it was computed."""


class CoreGripAnswer(Answer):
    """What a core is held with."""

    __slots__ = ()
    _fields = {
        "pressure": quantity,
        "hoop_stress": quantity,
        "pull": quantity,
        "why": part("Why"),
    }
    pressure: Quantity
    """Pressure between wall and core."""
    hoop_stress: Quantity
    """Largest hoop stress in the wall, at the core."""
    pull: Quantity
    """Pull that draws the core; 0 where its draft frees it."""
    why: Why
    """How it was computed."""


class CuredPly(Answer):
    """A ply after cure."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "areal_mass": quantity,
        "resin": quantity,
        "resin_to_glass": plain,
        "glass_content": quantity,
        "fibre_volume": quantity,
        "voids": quantity,
        "density": quantity,
        "extrapolated": plain,
    }
    thickness: Quantity
    """Its thickness."""
    areal_mass: Quantity
    """Mass of glass and resin per area."""
    resin: Quantity
    """Mass of resin per area that stays in it (without what stays on tools, in cups, and on the mould)."""
    resin_to_glass: float
    """Resin over glass by mass, as the trade says "2.5 to 1"."""
    glass_content: Quantity
    """Glass content by mass."""
    fibre_volume: Quantity
    """Fibre volume fraction."""
    voids: Quantity
    """Voids by volume."""
    density: Quantity
    """Density of the cured ply."""
    extrapolated: str | None
    """What lies outside the contents found in hand lay-up."""


class WallAnswer(Answer):
    """A wall in one look, with how it was computed."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "laminate_thickness": quantity,
        "areal_mass": quantity,
        "glass": quantity,
        "resin": quantity,
        "gel_coat": quantity,
        "glass_content": quantity,
        "modulus": quantity,
        "modulus_from_constituents": quantity,
        "tension": quantity,
        "stretching_stiffness_N_per_m": plain,
        "bending_stiffness_N_m": plain,
        "moment_to_crack_N": plain,
        "moment_to_break_N": plain,
        "plies": rows("CuredPly"),
        "extrapolated": plain,
        "why": part("Why"),
    }
    thickness: Quantity
    """Whole thickness with gel coat."""
    laminate_thickness: Quantity
    """Thickness of the laminate behind the gel coat."""
    areal_mass: Quantity
    """Whole mass per area."""
    glass: Quantity
    """Glass per area."""
    resin: Quantity
    """Laminating resin per area (without waste)."""
    gel_coat: Quantity
    """Gel coat per area."""
    glass_content: Quantity
    """Glass content of the laminate by mass, without gel coat."""
    modulus: Quantity
    """In-plane modulus of the laminate without gel coat."""
    modulus_from_constituents: Quantity
    """The same from the moduli of glass and resin (random in-plane fibres, long), for comparison."""
    tension: Quantity
    """Tensile strength of the weakest ply."""
    stretching_stiffness_N_per_m: float
    """Stretching stiffness of the whole wall, N/m."""
    bending_stiffness_N_m: float
    """Bending stiffness of the whole wall per width, N·m."""
    moment_to_crack_N: float | None
    """Moment per width, stretching the gel coat, at which the gel coat cracks; `None` without a strain to
    crack.
    """
    moment_to_break_N: float
    """Moment per width, in the weaker sense, at which a ply reaches its tensile or compressive strength."""
    plies: Table[CuredPly]
    """Each ply."""
    extrapolated: str | None
    """What lies outside fitted or usual ranges."""
    why: Why
    """How it was computed."""


class WallPlyInput(TypedDict):
    """A ply of the wall."""

    reinforcement: ReinforcementInput | Answer
    """The dry reinforcement."""
    glass_content: NotRequired[QuantityInput | None]
    """Its glass content, where it differs from the wall's."""


class GelCoatLayerInput(TypedDict):
    """The gel coat as cured."""

    thickness: QuantityInput
    """Cured thickness."""
    density: QuantityInput
    """Density as cured."""
    modulus: QuantityInput
    """Modulus as cured."""
    poisson: NotRequired[QuantityInput | None]
    """Poisson's ratio; 0.36 (from memory) where not given."""
    strain_to_crack: NotRequired[QuantityInput | None]
    """Tensile strain at which it cracks (elongation at break on its data sheet)."""


def areal_mass(
    *,
    areal_mass: str,
    form: Literal["mat", "woven_roving", "cloth", "stitched", "veil", "unidirectional", "chop"] | None = None,
) -> ArealMassAnswer:
    """Weight of mat (ounces per square foot) or cloth (ounces per square yard); ounces without either are
    refused.

    Parameters
    ----------
    areal_mass : str
        As written on the roll: "450 g/m^2", "1.5 oz/ft^2", "10 oz/yd^2"; "1.5 oz" only with a form.
    form : str, one of the words of its type
        Mat or cloth, where ounces are written without an area.
    """
    return ask_as(
        "laminate.areal_mass",
        {
            "areal_mass": areal_mass,
            "form": form,
        },
        ArealMassAnswer,
    )


def ply_thickness(
    *,
    reinforcement: ReinforcementInput | Answer,
    glass_content: QuantityInput,
    resin_density: QuantityInput | None = None,
    voids: QuantityInput | None = None,
) -> PlyThicknessAnswer:
    """Thickness, weight, resin demand and fibre volume of a ply from its dry areal mass and glass content.

    Parameters
    ----------
    reinforcement : ReinforcementInput
        The dry reinforcement.
    glass_content : quantity
        Glass content by mass.
    resin_density : quantity | None
        Density of the cured resin; 1.20 g/mL (ISO 12215-5:2008, annex C) where not given.
    voids : quantity | None
        Voids by volume; none where not given.
    """
    return ask_as(
        "laminate.ply_thickness",
        {
            "reinforcement": reinforcement,
            "glass_content": glass_content,
            "resin_density": resin_density,
            "voids": voids,
        },
        PlyThicknessAnswer,
    )


def glass_content(
    *,
    thickness: QuantityInput,
    areal_mass: QuantityInput,
    fibre_density: QuantityInput | None = None,
    resin_density: QuantityInput | None = None,
    voids: QuantityInput | None = None,
) -> GlassContentAnswer:
    """Glass content of a laminate as made, from its thickness and the dry glass in it.

    Parameters
    ----------
    thickness : quantity
        Measured thickness of the laminate without gel coat.
    areal_mass : quantity
        Dry areal mass of all plies together.
    fibre_density : quantity | None
        Density of the fibre; E-glass 2.56 g/mL where not given.
    resin_density : quantity | None
        Density of the cured resin; 1.20 g/mL where not given.
    voids : quantity | None
        Voids by volume; none where not given.
    """
    return ask_as(
        "laminate.glass_content",
        {
            "thickness": thickness,
            "areal_mass": areal_mass,
            "fibre_density": fibre_density,
            "resin_density": resin_density,
            "voids": voids,
        },
        GlassContentAnswer,
    )


def void_content(
    *,
    measured_density: QuantityInput,
    glass_content: QuantityInput,
    fibre_density: QuantityInput,
    resin_density: QuantityInput,
) -> VoidContentAnswer:
    """Voids of a sample from its density, its glass content and the densities of its parts.

    Parameters
    ----------
    measured_density : quantity
        Density of the sample.
    glass_content : quantity
        Glass content by mass (burn-off).
    fibre_density : quantity
        Density of the fibre.
    resin_density : quantity
        Density of the cured resin.
    """
    return ask_as(
        "laminate.void_content",
        {
            "measured_density": measured_density,
            "glass_content": glass_content,
            "fibre_density": fibre_density,
            "resin_density": resin_density,
        },
        VoidContentAnswer,
    )


def plies_for(
    *,
    ply: PlyThicknessInput | Answer,
    thickness: QuantityInput | None = None,
    areal_mass: QuantityInput | None = None,
    stretching_stiffness: QuantityInput | None = None,
    bending_stiffness: QuantityInput | None = None,
    modulus: QuantityInput | None = None,
    poisson: QuantityInput | None = None,
) -> PliesForAnswer:
    """How many plies reach a wanted thickness, weight or stiffness.

    Parameters
    ----------
    ply : PlyThicknessInput
        One ply.
    thickness : quantity | None
        At least this thickness of laminate.
    areal_mass : quantity | None
        At least this mass of glass and resin per area.
    stretching_stiffness : quantity | None
        At least this stretching stiffness E t, for example "12e6 N/m".
    bending_stiffness : quantity | None
        At least this bending stiffness E t³/12/(1 - ν²) per width, for example "25 N*m".
    modulus : quantity | None
        In-plane modulus of the laminate; from ISO 12215-5:2008 (untested) where not given.
    poisson : quantity | None
        Its Poisson's ratio; 0.3 (from memory) where not given.
    """
    return ask_as(
        "laminate.plies_for",
        {
            "ply": ply,
            "thickness": thickness,
            "areal_mass": areal_mass,
            "stretching_stiffness": stretching_stiffness,
            "bending_stiffness": bending_stiffness,
            "modulus": modulus,
            "poisson": poisson,
        },
        PliesForAnswer,
    )


def chop_resin(
    *,
    chop: QuantityInput,
    bulk_density: QuantityInput,
    resin_density: QuantityInput,
    fibre_density: QuantityInput | None = None,
    air: QuantityInput | None = None,
) -> ChopFill:
    """Resin that fills the gaps of loose dry chopped strands.

    Parameters
    ----------
    chop : quantity
        Mass of chop.
    bulk_density : quantity
        Its bulk density as it lies: weigh a filled cup.
    resin_density : quantity
        Density of the liquid resin.
    fibre_density : quantity | None
        Density of the fibre; E-glass 2.56 g/mL where not given.
    air : quantity | None
        Air that stays; none where not given.
    """
    return ask_as(
        "laminate.chop_resin",
        {
            "chop": chop,
            "bulk_density": bulk_density,
            "resin_density": resin_density,
            "fibre_density": fibre_density,
            "air": air,
        },
        ChopFill,
    )


def mat_properties(
    *,
    form: Literal["mat", "woven_roving", "cloth", "stitched", "veil", "unidirectional", "chop"],
    glass_content: QuantityInput,
    process: Literal["hand_laid", "sprayed"] | None = None,
    tested: bool | None = None,
) -> MatPropertiesAnswer:
    """Published strength and stiffness of E-glass in polyester by glass content; a tested panel wins over
    them.

    Parameters
    ----------
    form : str, one of the words of its type
        Form of the reinforcement.
    glass_content : quantity
        Glass content by mass.
    process : Literal["hand_laid", "sprayed"]
        Hand-laid or sprayed; hand-laid where not given. Default: hand_laid.
    tested : bool
        Whether the lay-up was tested; if not, 0.8 of each value. Default: False.
    """
    return ask_as(
        "laminate.mat_properties",
        {
            "form": form,
            "glass_content": glass_content,
            "process": process,
            "tested": tested,
        },
        MatPropertiesAnswer,
    )


def from_constituents(
    *,
    fibre: PhaseInput | Answer,
    resin: PhaseInput | Answer,
    fibre_volume: QuantityInput,
    fibre_expansion: QuantityInput | None = None,
    resin_expansion: QuantityInput | None = None,
) -> FromConstituentsAnswer:
    """Elastic constants and expansion of a unidirectional ply and of a random mat from fibre and resin.

    Parameters
    ----------
    fibre : PhaseInput
        The fibre.
    resin : PhaseInput
        The cured resin.
    fibre_volume : quantity
        Fibre volume fraction.
    fibre_expansion : quantity | None
        Thermal expansion of the fibre, for that of the ply.
    resin_expansion : quantity | None
        Thermal expansion of the resin.
    """
    return ask_as(
        "laminate.from_constituents",
        {
            "fibre": fibre,
            "resin": resin,
            "fibre_volume": fibre_volume,
            "fibre_expansion": fibre_expansion,
            "resin_expansion": resin_expansion,
        },
        FromConstituentsAnswer,
    )


def short_fibre(
    *,
    fibre: PhaseInput | Answer,
    resin: PhaseInput | Answer,
    fibre_volume: QuantityInput,
    length: QuantityInput,
    diameter: QuantityInput,
    orientation: Literal["aligned", "cross_ply", "random_in_plane", "random_in_space"],
    fibre_strength: QuantityInput | None = None,
    bond_shear_strength: QuantityInput | None = None,
) -> ShortFibreAnswer:
    """Modulus of a pour full of short strands, with length and orientation efficiency.

    Parameters
    ----------
    fibre : PhaseInput
        The fibre.
    resin : PhaseInput
        The cured resin.
    fibre_volume : quantity
        Fibre volume fraction.
    length : quantity
        Length of the strands.
    diameter : quantity
        Diameter of what carries as one: filament where the strands open, else strand.
    orientation : str, one of the words of its type
        How the strands lie.
    fibre_strength : quantity | None
        Strength of the fibre, for the critical length.
    bond_shear_strength : quantity | None
        Shear strength of the bond, for the critical length.
    """
    return ask_as(
        "laminate.short_fibre",
        {
            "fibre": fibre,
            "resin": resin,
            "fibre_volume": fibre_volume,
            "length": length,
            "diameter": diameter,
            "orientation": orientation,
            "fibre_strength": fibre_strength,
            "bond_shear_strength": bond_shear_strength,
        },
        ShortFibreAnswer,
    )


def filled_resin(
    *,
    filler: PhaseInput | Answer,
    resin: PhaseInput | Answer,
    filler_volume: QuantityInput,
    packing: QuantityInput | None = None,
) -> FilledResinAnswer:
    """Modulus of a resin with a particulate filler, between its bounds.

    Parameters
    ----------
    filler : PhaseInput
        The filler.
    resin : PhaseInput
        The cured resin.
    filler_volume : quantity
        Filler by volume.
    packing : quantity | None
        Densest packing of the filler; 62 vol% (equal round grains, from memory) where not given.
    """
    return ask_as(
        "laminate.filled_resin",
        {
            "filler": filler,
            "resin": resin,
            "filler_volume": filler_volume,
            "packing": packing,
        },
        FilledResinAnswer,
    )


def hollow_sphere(
    *,
    wall: PhaseInput | Answer,
    wall_density: QuantityInput,
    wall_over_radius: QuantityInput,
) -> HollowSphereAnswer:
    """The solid filler that deforms like a hollow sphere, and the sphere's density.

    Parameters
    ----------
    wall : PhaseInput
        Material of the wall.
    wall_density : quantity
        Its density.
    wall_over_radius : quantity
        Wall thickness over outer radius.
    """
    return ask_as(
        "laminate.hollow_sphere",
        {
            "wall": wall,
            "wall_density": wall_density,
            "wall_over_radius": wall_over_radius,
        },
        HollowSphereAnswer,
    )


def ply_failure(
    *,
    elastic: ElasticInput | Answer,
    strengths: StrengthsInput | Answer,
    stress: PlyStressInput | Answer,
    residual: PlyStressInput | Answer | None = None,
) -> PlyFailureAnswer:
    """Reserve factors of a ply by maximum stress, maximum strain, Tsai-Hill and Tsai-Wu.

    Parameters
    ----------
    elastic : ElasticInput
        Its elastic constants.
    strengths : StrengthsInput
        Its strengths.
    stress : PlyStressInput
        The stress that grows.
    residual : PlyStressInput | None
        The stress that stays (of cure and cooling); none where not given.
    """
    return ask_as(
        "laminate.ply_failure",
        {
            "elastic": elastic,
            "strengths": strengths,
            "stress": stress,
            "residual": residual,
        },
        PlyFailureAnswer,
    )


def stack(
    *,
    materials: Mapping[str, PlyMaterialInput | Answer],
    plies: Sequence[StackPlyInput | Answer],
    force: ForcesPerWidthInput | Answer | None = None,
    moment: MomentsPerWidthInput | Answer | None = None,
    shear: QuantityInput | None = None,
    temperature_change: QuantityInput | None = None,
    cured: bool | None = None,
    length: QuantityInput | None = None,
) -> StackAnswer:
    """Lamination theory: A, B, D and inverse, engineering constants, ply stresses under loads, cooling and
    cure, first ply failure, cracking of the gel coat, interlaminar shear, bow.

    Parameters
    ----------
    materials : Mapping[str, PlyMaterialInput]
        The materials by name.
    plies : Sequence[StackPlyInput]
        The plies from the mould face.
    force : ForcesPerWidthInput
        Force per width.
    moment : MomentsPerWidthInput
        Moment per width.
    shear : quantity | None
        Transverse shear force per width along x.
    temperature_change : quantity | None
        Temperature minus the stress-free temperature; negative after cooling.
    cured : bool
        Whether the cure shrinkage of the materials acts. Default: False.
    length : quantity | None
        Length of the wall, for its bow.
    """
    return ask_as(
        "laminate.stack",
        {
            "materials": materials,
            "plies": plies,
            "force": force,
            "moment": moment,
            "shear": shear,
            "temperature_change": temperature_change,
            "cured": cured,
            "length": length,
        },
        StackAnswer,
    )


def edge_bending(
    *,
    edge: EdgeInput | Answer,
    load: QuantityInput,
    thinner: EdgeInput | Answer | None = None,
) -> EdgeBendingAnswer:
    """A thin edge of varying thickness: tip deflection, stress, the pull at demoulding it survives, and
    what a thinner edge costs.

    Parameters
    ----------
    edge : EdgeInput
        The edge.
    load : quantity
        Load at its tip: the pull at demoulding, a hand.
    thinner : EdgeInput | None
        The same edge made thinner (over-clamped), for what that costs.
    """
    return ask_as(
        "laminate.edge_bending",
        {
            "edge": edge,
            "load": load,
            "thinner": thinner,
        },
        EdgeBendingAnswer,
    )


def panel(
    *,
    shape: PanelInput | Answer,
    thickness: QuantityInput,
    modulus: QuantityInput,
    poisson: QuantityInput,
    pressure: QuantityInput,
) -> PanelAnswer:
    """Deflection and stress of a flat panel of the wall under uniform pressure.

    Parameters
    ----------
    shape : PanelInput
        Its outline and how it is held.
    thickness : quantity
        Its thickness.
    modulus : quantity
        Young's modulus.
    poisson : quantity
        Poisson's ratio.
    pressure : quantity
        Uniform pressure.
    """
    return ask_as(
        "laminate.panel",
        {
            "shape": shape,
            "thickness": thickness,
            "modulus": modulus,
            "poisson": poisson,
            "pressure": pressure,
        },
        PanelAnswer,
    )


def shrinkage(
    *,
    volumetric: QuantityInput | None = None,
    linear: QuantityInput | None = None,
    pattern: QuantityInput | None = None,
    bundle_height: QuantityInput | None = None,
    after_set: QuantityInput | None = None,
    poisson: QuantityInput | None = None,
) -> ShrinkageAnswer:
    """Linear and volumetric shrinkage, finished size, fibre pattern on the face.

    Parameters
    ----------
    volumetric : quantity | None
        Shrinkage by volume of a casting free on all sides.
    linear : quantity | None
        Linear shrinkage.
    pattern : quantity | None
        Size of the pattern, for that of the part.
    bundle_height : quantity | None
        Height of the fibre bundles behind the face, for the fibre pattern.
    after_set : quantity | None
        Linear shrinkage of the resin after the face has set, for the fibre pattern; all of it where not
        given.
    poisson : quantity | None
        Poisson's ratio of the resin; 0.36 (from memory) where not given.
    """
    return ask_as(
        "laminate.shrinkage",
        {
            "volumetric": volumetric,
            "linear": linear,
            "pattern": pattern,
            "bundle_height": bundle_height,
            "after_set": after_set,
            "poisson": poisson,
        },
        ShrinkageAnswer,
    )


def core_grip(
    *,
    core_radius: QuantityInput,
    wall: QuantityInput,
    length: QuantityInput,
    shrinkage: QuantityInput,
    modulus: QuantityInput,
    poisson: QuantityInput,
    friction: QuantityInput,
    draft: QuantityInput | None = None,
) -> CoreGripAnswer:
    """Pressure, hoop stress and pull of a wall that has shrunk on a core or rib.

    Parameters
    ----------
    core_radius : quantity
        Radius of the core.
    wall : quantity
        Thickness of the wall around it.
    length : quantity
        Length of the core in the part.
    shrinkage : quantity
        Linear shrinkage of the wall.
    modulus : quantity
        Modulus of the wall at demoulding.
    poisson : quantity
        Poisson's ratio of the wall.
    friction : quantity
        Friction between wall and core.
    draft : quantity | None
        Draft of the core; none where not given.
    """
    return ask_as(
        "laminate.core_grip",
        {
            "core_radius": core_radius,
            "wall": wall,
            "length": length,
            "shrinkage": shrinkage,
            "modulus": modulus,
            "poisson": poisson,
            "friction": friction,
            "draft": draft,
        },
        CoreGripAnswer,
    )


def wall(
    *,
    plies: Sequence[WallPlyInput | Answer],
    glass_content: QuantityInput,
    resin_density: QuantityInput,
    resin_modulus: QuantityInput,
    gel_coat: GelCoatLayerInput | Answer | None = None,
    voids: QuantityInput | None = None,
    tested: bool | None = None,
) -> WallAnswer:
    """A gel-coated wall in one look: thickness, weight, glass content, stiffness, strength, moment to
    crack.

    Parameters
    ----------
    plies : Sequence[WallPlyInput]
        The plies behind it.
    glass_content : quantity
        Glass content by mass of plies that state none.
    resin_density : quantity
        Density of the laminating resin as cured.
    resin_modulus : quantity
        Modulus of the laminating resin as cured.
    gel_coat : GelCoatLayerInput | None
        The gel coat, where there is one.
    voids : quantity | None
        Voids by volume; none where not given.
    tested : bool
        Whether a panel of this lay-up was tested; published strengths and moduli take 0.8 where not.
        Default: False.
    """
    return ask_as(
        "laminate.wall",
        {
            "plies": plies,
            "glass_content": glass_content,
            "resin_density": resin_density,
            "resin_modulus": resin_modulus,
            "gel_coat": gel_coat,
            "voids": voids,
            "tested": tested,
        },
        WallAnswer,
    )


ANSWERS: dict[str, type[Answer]] = {
    "laminate.areal_mass": ArealMassAnswer,
    "laminate.ply_thickness": PlyThicknessAnswer,
    "laminate.glass_content": GlassContentAnswer,
    "laminate.void_content": VoidContentAnswer,
    "laminate.plies_for": PliesForAnswer,
    "laminate.chop_resin": ChopFill,
    "laminate.mat_properties": MatPropertiesAnswer,
    "laminate.from_constituents": FromConstituentsAnswer,
    "laminate.short_fibre": ShortFibreAnswer,
    "laminate.filled_resin": FilledResinAnswer,
    "laminate.hollow_sphere": HollowSphereAnswer,
    "laminate.ply_failure": PlyFailureAnswer,
    "laminate.stack": StackAnswer,
    "laminate.edge_bending": EdgeBendingAnswer,
    "laminate.panel": PanelAnswer,
    "laminate.shrinkage": ShrinkageAnswer,
    "laminate.core_grip": CoreGripAnswer,
    "laminate.wall": WallAnswer,
}
"""The class of the answer to each question."""
