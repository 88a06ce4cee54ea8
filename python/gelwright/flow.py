# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about flow."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NotRequired, TypeAlias, TypedDict

import numpy as np
from numpy.typing import NDArray

from .answer import Answer, array, ask_as, one_of, part, plain, quantity, several
from .common import Why, YieldLawInput
from .units import Quantity, QuantityInput

__all__ = [
    "BeadSectionFilletFilletInput",
    "BeadSectionFilletInput",
    "BeadSectionFlatFlatInput",
    "BeadSectionFlatInput",
    "BeadSectionHalfRoundHalfRoundInput",
    "BeadSectionHalfRoundInput",
    "BeadSectionInput",
    "BeadSectionRoundInput",
    "BeadSectionRoundRoundInput",
    "ChemoViscosityInput",
    "ChopInBeadInput",
    "ChopInput",
    "ChopLimit",
    "ChopPackingAnswer",
    "ClampLimit",
    "Drained",
    "FibreBedInput",
    "JointDiscDiscInput",
    "JointDiscInput",
    "JointInput",
    "JointStripInput",
    "JointStripStripInput",
    "Levelled",
    "MixViscosityAnswer",
    "Paste",
    "Sag",
    "SeamPasteBatch",
    "SeamPressure",
    "Settled",
    "SilicaForBead",
    "SqueezeOutInput",
    "Squeezed",
    "SuspensionModelInput",
    "SuspensionModelKriegerDoughertyInput",
    "SuspensionModelKriegerDoughertyKriegerDoughertyInput",
    "ViscosityHistoryConstant",
    "ViscosityHistoryConstantConstant",
    "ViscosityHistoryConstantConstantInput",
    "ViscosityHistoryConstantInput",
    "ViscosityHistoryInput",
    "ViscosityHistorySeries",
    "ViscosityHistorySeriesInput",
    "ViscosityHistorySeriesSeries",
    "ViscosityHistorySeriesSeriesInput",
    "ViscosityHistoryToGel",
    "ViscosityHistoryToGelInput",
    "ViscosityHistoryToGelToGel",
    "ViscosityHistoryToGelToGelInput",
    "ViscosityReadingInput",
    "ViscosityRiseAnswer",
    "ViscosityTemperatureInput",
    "WetOut",
    "YieldLawChoiceFitInput",
    "YieldLawChoiceInput",
    "YieldLawChoiceLawInput",
    "YieldLawChoiceThroughInput",
    "YieldReadingInput",
    "YieldTestAnswer",
    "YieldTestHoldHoldInput",
    "YieldTestHoldInput",
    "YieldTestInput",
    "YieldTestSlumpInput",
    "YieldTestSlumpSlumpInput",
    "YieldTestSpreadInput",
    "YieldTestSpreadSpreadInput",
    "chop_for_edge",
    "chop_packing",
    "clamp_for_edge",
    "drain",
    "levelling",
    "paste",
    "sag",
    "seam_paste",
    "seam_pressure",
    "settling",
    "silica_for_bead",
    "squeeze_out",
    "viscosity",
    "viscosity_rise",
    "wet_out",
    "yield_test",
]


class MixViscosityAnswer(Answer):
    """The viscosity of a mix."""

    __slots__ = ()
    _fields = {
        "viscosity": quantity,
        "liquid": quantity,
        "relative": plain,
        "packing": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    viscosity: Quantity
    """Viscosity of the mix."""
    liquid: Quantity
    """Viscosity of the liquid at that temperature."""
    relative: float
    """How many times thicker the solids make it."""
    packing: Quantity | None
    """Packing fraction used."""
    extrapolated: str | None
    """What is outside which fitted range, if anything is."""
    why: Why
    """The chain behind it."""


class ViscosityReadingInput(TypedDict):
    """A viscosity read at a temperature."""

    temperature: QuantityInput
    """The temperature of the resin."""
    viscosity: QuantityInput
    """The viscosity."""


class ChopInput(TypedDict):
    """Chop: strands cut to a length, as they lie in a pour."""

    length: QuantityInput
    """Length the strand is cut to."""
    strand_diameter: QuantityInput
    """Diameter of the round bundle that the wetted strand makes (see [`Chop::strand_diameter`]); the
    filament's own where the strands open fully (milled or dispersible chop).
    """
    glass_in_strand: QuantityInput
    """Glass within the strand, about 60 vol%; 100 vol% where filaments are apart."""


class SuspensionModelKriegerDoughertyKriegerDoughertyInput(TypedDict):
    """Part of a request."""

    intrinsic: float
    """Intrinsic viscosity `[eta]`, 2.5 for spheres, more for anything else."""


class SuspensionModelKriegerDoughertyInput(TypedDict):
    """`(1 - phi/phi_m)^(-[eta] phi_m)`, with `[eta] = 2.5` for spheres.

    Source: I. M. Krieger, T. J. Dougherty, Trans. Soc. Rheol. 3, 137 (1959).
    """

    krieger_dougherty: SuspensionModelKriegerDoughertyKriegerDoughertyInput


SuspensionModelInput: TypeAlias = Literal["einstein"] | SuspensionModelKriegerDoughertyInput | Literal["maron_pierce"]
"""How solids thicken a liquid: the relative viscosity `eta/eta_0` of a suspension at low shear."""


class ChopPackingAnswer(Answer):
    """How dense chop packs."""

    __slots__ = ()
    _fields = {
        "packing": quantity,
        "aspect_ratio": plain,
        "strand_diameter": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    packing: Quantity
    """Glass content at which it jams: more does not pour."""
    aspect_ratio: float
    """Length over strand diameter."""
    strand_diameter: Quantity
    """Diameter of the strand."""
    extrapolated: str | None
    """What is outside which fitted range, if anything is."""
    why: Why
    """The chain behind it."""


class ViscosityHistoryConstantConstant(Answer):
    """Answer: ViscosityHistoryConstantConstant."""

    __slots__ = ()
    _fields = {
        "viscosity": quantity,
        "time": quantity,
    }
    viscosity: Quantity
    """The viscosity."""
    time: Quantity
    """How long it flows: to gel, or until the clamps come off."""


class ViscosityHistoryConstant(Answer):
    """A viscosity that stays, for a time."""

    __slots__ = ()
    _fields = {
        "constant": part("ViscosityHistoryConstantConstant"),
    }
    constant: ViscosityHistoryConstantConstant


class ViscosityHistoryToGelToGel(Answer):
    """Answer: ViscosityHistoryToGelToGel."""

    __slots__ = ()
    _fields = {
        "viscosity": quantity,
        "gel_time": quantity,
        "exponent": plain,
    }
    viscosity: Quantity
    """Viscosity when fresh."""
    gel_time: Quantity
    """Gel time, counted from when the batch is used."""
    exponent: float | None
    """`n`, 0.5 to 6."""


class ViscosityHistoryToGel(Answer):
    """`eta = eta_0 (1 - t/t_gel)^-n`: Castro-Macosko with a conversion that rises in proportion to time.
    For a shop that knows its gel time and no more; no source for the exponent, 2 is a usual size.
    """

    __slots__ = ()
    _fields = {
        "to_gel": part("ViscosityHistoryToGelToGel"),
    }
    to_gel: ViscosityHistoryToGelToGel


class ViscosityHistorySeriesSeries(Answer):
    """Answer: ViscosityHistorySeriesSeries."""

    __slots__ = ()
    _fields = {
        "time_s": array,
        "viscosity_Pa_s": array,
    }
    time_s: NDArray[np.float64]
    """Times, s, rising, the first at or after 0 (before it the first viscosity holds)."""
    viscosity_Pa_s: NDArray[np.float64]
    """Viscosities, Pa s."""


class ViscosityHistorySeries(Answer):
    """Viscosities at times, log-linear between them, gelled after the last."""

    __slots__ = ()
    _fields = {
        "series": part("ViscosityHistorySeriesSeries"),
    }
    series: ViscosityHistorySeriesSeries


class ViscosityRiseAnswer(Answer):
    """The viscosity of a batch over time."""

    __slots__ = ()
    _fields = {
        "viscosity": one_of(
            {
                "constant": part("ViscosityHistoryConstant"),
                "to_gel": part("ViscosityHistoryToGel"),
                "series": part("ViscosityHistorySeries"),
            }
        ),
        "wets_out_until": quantity,
        "doubled_at": quantity,
        "flows_until": quantity,
        "why": part("Why"),
    }
    viscosity: ViscosityHistoryConstant | ViscosityHistoryToGel | ViscosityHistorySeries
    """The history, for the other questions about flow."""
    wets_out_until: Quantity | None
    """Until when it wets out mat; none if it is too thick from the start."""
    doubled_at: Quantity | None
    """When the viscosity has doubled."""
    flows_until: Quantity
    """The last time given before gel."""
    why: Why
    """The chain behind it."""


class ViscosityTemperatureInput(TypedDict):
    """Viscosity of a resin against temperature: `eta = eta_r exp[(E/R)(1/T - 1/T_r)]`."""

    viscosity: QuantityInput
    """Viscosity at the reference temperature."""
    at: QuantityInput
    """The reference temperature."""
    energy: QuantityInput
    """Apparent activation energy of flow."""
    fitted_from: QuantityInput
    """Lower end of the temperatures it was fitted to."""
    fitted_to: QuantityInput
    """Upper end of the temperatures it was fitted to."""


class ChemoViscosityInput(TypedDict):
    """Viscosity of a reacting resin up to its gel point: `eta = eta_0(T) [a_g/(a_g - a)]^(A + B a)`."""

    unreacted: ViscosityTemperatureInput | Answer
    """Viscosity of the unreacted mix against temperature."""
    gel_conversion: QuantityInput
    """Conversion at the gel point."""
    a: float
    """`A`."""
    b: float
    """`B`."""


class WetOut(Answer):
    """When a batch stops being workable."""

    __slots__ = ()
    _fields = {
        "wets_out_until": quantity,
        "doubled_at": quantity,
        "flows_until": quantity,
        "why": part("Why"),
    }
    wets_out_until: Quantity | None
    """Until when the batch wets out mat: the viscosity reaches `limit`.

    `None`: it is too thick from the start.
    """
    doubled_at: Quantity | None
    """When the viscosity has doubled, one usual definition of pot life."""
    flows_until: Quantity
    """When it gels, or the series ends."""
    why: Why
    """The chain behind it."""


class ViscosityHistoryConstantConstantInput(TypedDict):
    """Part of a request."""

    viscosity: QuantityInput
    """The viscosity."""
    time: QuantityInput
    """How long it flows: to gel, or until the clamps come off."""


class ViscosityHistoryConstantInput(TypedDict):
    """A viscosity that stays, for a time."""

    constant: ViscosityHistoryConstantConstantInput


class ViscosityHistoryToGelToGelInput(TypedDict):
    """Part of a request."""

    viscosity: QuantityInput
    """Viscosity when fresh."""
    gel_time: QuantityInput
    """Gel time, counted from when the batch is used."""
    exponent: NotRequired[float]
    """`n`, 0.5 to 6."""


class ViscosityHistoryToGelInput(TypedDict):
    """`eta = eta_0 (1 - t/t_gel)^-n`: Castro-Macosko with a conversion that rises in proportion to time.
    For a shop that knows its gel time and no more; no source for the exponent, 2 is a usual size.
    """

    to_gel: ViscosityHistoryToGelToGelInput


class ViscosityHistorySeriesSeriesInput(TypedDict):
    """Part of a request."""

    time_s: Sequence[float]
    """Times, s, rising, the first at or after 0 (before it the first viscosity holds)."""
    viscosity_Pa_s: Sequence[float]
    """Viscosities, Pa s."""


class ViscosityHistorySeriesInput(TypedDict):
    """Viscosities at times, log-linear between them, gelled after the last."""

    series: ViscosityHistorySeriesSeriesInput


ViscosityHistoryInput: TypeAlias = (
    ViscosityHistoryConstantInput | ViscosityHistoryToGelInput | ViscosityHistorySeriesInput
)
"""The viscosity of a batch from the moment it is used until it stops flowing."""


class Paste(Answer):
    """A thickened resin."""

    __slots__ = ()
    _fields = {
        "yield_stress": quantity,
        "low": quantity,
        "high": quantity,
        "consistency": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    yield_stress: Quantity
    """Its yield stress: below it the paste does not flow."""
    low: Quantity
    """Lower end of the band the yield stress is known in."""
    high: Quantity
    """Upper end of the band."""
    consistency: Literal["syrup", "ketchup", "mayonnaise", "peanut_butter", "putty"]
    """The trade's word for it."""
    extrapolated: str | None
    """What is outside which fitted range, if anything is."""
    why: Why
    """The chain behind it."""


class YieldReadingInput(TypedDict):
    """A reading of a paste's yield stress."""

    silica: QuantityInput
    """Silica as a mass fraction of the paste."""
    yield_stress: QuantityInput
    """Its yield stress (see `flow.yield_test`)."""


class YieldLawChoiceThroughInput(TypedDict):
    """Through one reading of this shop's, with a published exponent."""

    through: YieldReadingInput | Answer


class YieldLawChoiceFitInput(TypedDict):
    """Fitted to two or more readings of this shop's."""

    fit: Sequence[YieldReadingInput | Answer]


class YieldLawChoiceLawInput(TypedDict):
    """A law given."""

    law: YieldLawInput | Answer


YieldLawChoiceInput: TypeAlias = (
    Literal["common_practice"] | YieldLawChoiceThroughInput | YieldLawChoiceFitInput | YieldLawChoiceLawInput
)
"""Which law of yield stress against silica is used."""


class YieldTestAnswer(Answer):
    """What a test of a paste shows."""

    __slots__ = ()
    _fields = {
        "yield_stress": quantity,
        "consistency": plain,
    }
    yield_stress: Quantity
    """Yield stress of the paste."""
    consistency: Literal["syrup", "ketchup", "mayonnaise", "peanut_butter", "putty"]
    """The trade's word for it."""


class YieldTestSlumpSlumpInput(TypedDict):
    """Part of a request."""

    height: QuantityInput
    """Height of the tube."""
    slump: QuantityInput
    """How far the top sinks."""


class YieldTestSlumpInput(TypedDict):
    """A tube as high as wide is filled, struck off and lifted; the paste slumps.

    `s/H = 1 - 2 t [1 - ln(2 t)]`, `t = tau_y/(rho g H)`.
    """

    slump: YieldTestSlumpSlumpInput


class YieldTestSpreadSpreadInput(TypedDict):
    """Part of a request."""

    volume: QuantityInput
    """Volume tipped out."""
    diameter: QuantityInput
    """Diameter of the cake at rest."""


class YieldTestSpreadInput(TypedDict):
    """A known volume spreads on a level plate into a thin cake: `tau_y = 225 rho g V^2/(128 pi^2 R^5)`."""

    spread: YieldTestSpreadSpreadInput


class YieldTestHoldHoldInput(TypedDict):
    """Part of a request."""

    thickness: QuantityInput
    """Thickness that just stays."""
    slope: QuantityInput
    """Slope from the horizontal, 90 deg for a wall."""


class YieldTestHoldInput(TypedDict):
    """The thickest coat that stays on a slope: `tau_y = rho g h sin(slope)`."""

    hold: YieldTestHoldHoldInput


YieldTestInput: TypeAlias = YieldTestSlumpInput | YieldTestSpreadInput | YieldTestHoldInput
"""A test of a paste's yield stress that a shop can do."""


class SilicaForBead(Answer):
    """The silica that keeps a bead where it is put."""

    __slots__ = ()
    _fields = {
        "silica": quantity,
        "silica_on_resin": quantity,
        "silica_at_worst": quantity,
        "yield_stress": quantity,
        "consistency": plain,
        "extrapolated": plain,
        "why": part("Why"),
        "cautions": several(plain),
    }
    silica: Quantity
    """Silica as a mass fraction of the paste, by the middle of the law."""
    silica_on_resin: Quantity
    """The same per hundred of resin."""
    silica_at_worst: Quantity | None
    """Silica that holds even if the paste is as weak as the law's band allows; test before mixing it."""
    yield_stress: Quantity
    """The yield stress it must have."""
    consistency: Literal["syrup", "ketchup", "mayonnaise", "peanut_butter", "putty"]
    """The trade's word for it."""
    extrapolated: str | None
    """What is outside which fitted range, if anything is."""
    why: Why
    """The chain behind it."""
    cautions: tuple[str, ...]
    """Cautions."""


class Sag(Answer):
    """Whether a bead stays."""

    __slots__ = ()
    _fields = {
        "stays": plain,
        "margin": plain,
        "stress": quantity,
        "highest": quantity,
        "why": part("Why"),
    }
    stays: bool
    """It stays even at the lower end of the paste's band, with the margin asked for."""
    margin: float | None
    """Yield stress over the stress at the foot of the bead; below 1 it runs. None on a level face."""
    stress: Quantity
    """The stress at its foot."""
    highest: Quantity | None
    """The highest bead that just stays (at the paste's middle yield stress); none on a level face."""
    why: Why
    """The chain behind it."""


class SeamPasteBatch(Answer):
    """What a seam bead takes."""

    __slots__ = ()
    _fields = {
        "volume": quantity,
        "mass": quantity,
        "resin": quantity,
        "silica": quantity,
        "silica_scooped": quantity,
        "volume_gained": quantity,
        "resin_saved": quantity,
        "density": quantity,
        "why": part("Why"),
        "cautions": several(plain),
    }
    volume: Quantity
    """Volume of paste."""
    mass: Quantity
    """Mass of paste."""
    resin: Quantity
    """Resin in it."""
    silica: Quantity
    """Silica in it."""
    silica_scooped: Quantity
    """Volume of that silica as it is scooped, at its bulk density."""
    volume_gained: Quantity
    """Volume the silica adds to the paste once wetted (at its true density): the air stays out."""
    resin_saved: Quantity
    """Resin the same bead would have taken without silica, less what it takes with."""
    density: Quantity
    """Density of the paste, free of air."""
    why: Why
    """The chain behind it."""
    cautions: tuple[str, ...]
    """Cautions."""


class BeadSectionRoundRoundInput(TypedDict):
    """Part of a request."""

    diameter: QuantityInput
    """Diameter."""


class BeadSectionRoundInput(TypedDict):
    """As it leaves a round nozzle."""

    round: BeadSectionRoundRoundInput


class BeadSectionHalfRoundHalfRoundInput(TypedDict):
    """Part of a request."""

    width: QuantityInput
    """Width at the foot."""


class BeadSectionHalfRoundInput(TypedDict):
    """Half round on a flat."""

    half_round: BeadSectionHalfRoundHalfRoundInput


class BeadSectionFilletFilletInput(TypedDict):
    """Part of a request."""

    leg: QuantityInput
    """Length of each leg."""


class BeadSectionFilletInput(TypedDict):
    """A triangular fillet in a right-angled corner."""

    fillet: BeadSectionFilletFilletInput


class BeadSectionFlatFlatInput(TypedDict):
    """Part of a request."""

    width: QuantityInput
    """Width."""
    height: QuantityInput
    """Height."""


class BeadSectionFlatInput(TypedDict):
    """Spread flat over a flange."""

    flat: BeadSectionFlatFlatInput


BeadSectionInput: TypeAlias = (
    BeadSectionRoundInput | BeadSectionHalfRoundInput | BeadSectionFilletInput | BeadSectionFlatInput
)
"""The section of a bead of paste."""


class Drained(Answer):
    """What stays on the face."""

    __slots__ = ()
    _fields = {
        "mean": quantity,
        "near_top": quantity,
        "at_bottom": quantity,
        "holds": quantity,
        "run_off": plain,
        "distance_m": array,
        "thickness_m": array,
        "why": part("Why"),
    }
    mean: Quantity
    """Mean thickness at gel."""
    near_top: Quantity
    """Thickness a tenth of the way down, near the thin upper edge."""
    at_bottom: Quantity
    """Thickness at the bottom."""
    holds: Quantity | None
    """Thickest coat that does not run at all (zero without a yield stress; none on a level face)."""
    run_off: float
    """Part of the coat that has run off the bottom, 0 to 1."""
    distance_m: NDArray[np.float64]
    """Distances below the upper edge, m."""
    thickness_m: NDArray[np.float64]
    """Thickness there at gel, m."""
    why: Why
    """The chain behind it."""


class Levelled(Answer):
    """Brush marks at gel."""

    __slots__ = ()
    _fields = {
        "left": plain,
        "extrapolated": plain,
        "why": part("Why"),
    }
    left: float
    """Depth left over depth made, 0 to 1."""
    extrapolated: str | None
    """What is outside the law's range, if anything is."""
    why: Why
    """The chain behind it."""


class Squeezed(Answer):
    """What the clamps leave."""

    __slots__ = ()
    _fields = {
        "thickness": quantity,
        "rest_thickness": quantity,
        "thickness_if_chop_leaves": quantity,
        "stopped_by": plain,
        "pressure": quantity,
        "bead": quantity,
        "left": quantity,
        "squeezed_out": quantity,
        "wetted": plain,
        "glass": quantity,
        "time_s": array,
        "thickness_m": array,
        "extrapolated": plain,
        "why": part("Why"),
    }
    thickness: Quantity
    """Thickness at gel."""
    rest_thickness: Quantity
    """Thickness if it never gelled: where yield stress and fibres carry the clamp.

    Zero if nothing stops it.
    """
    thickness_if_chop_leaves: Quantity
    """Thickness at gel if the chop flowed out with the resin instead of staying (no chop: the same as
    `thickness`).
    """
    stopped_by: Literal["gel", "yield_stress", "fibres", "bead"]
    """What stops it: time (gel), the yield stress, the fibres, or nothing moved at all."""
    pressure: Quantity
    """Mean pressure on the faces."""
    bead: Quantity
    """Volume of the bead."""
    left: Quantity
    """Volume left between the faces."""
    squeezed_out: Quantity
    """Volume squeezed out."""
    wetted: float
    """Part of the faces wetted, 0 to 1; below 1 the joint has a gap."""
    glass: Quantity
    """Glass content of what is left."""
    time_s: NDArray[np.float64]
    """Times, s."""
    thickness_m: NDArray[np.float64]
    """Thickness at those times, m."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


class JointStripStripInput(TypedDict):
    """Part of a request."""

    width: QuantityInput
    """Width of the flange."""
    length: QuantityInput
    """Length that the force presses on."""


class JointStripInput(TypedDict):
    """A flange or an edge: paste leaves at both long sides.

    For clamps along a seam, the length is the spacing of the clamps and the force that of one clamp.
    """

    strip: JointStripStripInput


class JointDiscDiscInput(TypedDict):
    """Part of a request."""

    radius: QuantityInput
    """Radius."""


class JointDiscInput(TypedDict):
    """A round boss or washer."""

    disc: JointDiscDiscInput


JointInput: TypeAlias = JointStripInput | JointDiscInput
"""The faces that are pressed together."""


class FibreBedInput(TypedDict):
    """A mat of chop carrying load: glass content at a pressure, `phi = phi_r (p/p_r)^B`."""

    glass: QuantityInput
    """Glass content at the reference pressure."""
    pressure: QuantityInput
    """The reference pressure."""
    exponent: float
    """Exponent `B`."""


class ChopInBeadInput(TypedDict):
    """Chop in a bead that is squeezed."""

    glass: QuantityInput
    """Glass in the mix."""
    length: QuantityInput
    """Length the strand is cut to."""
    bed: NotRequired[FibreBedInput | Answer | None]
    """How the fibres carry load; [`FibreBed::random_mat`] unless given."""


class ClampLimit(Answer):
    """The hardest clamp that still leaves an edge thick enough."""

    __slots__ = ()
    _fields = {
        "force": quantity,
        "pressure": quantity,
        "why": part("Why"),
    }
    force: Quantity
    """Force on the joint (for a clamped seam: of each clamp)."""
    pressure: Quantity
    """Mean pressure on the faces."""
    why: Why
    """The chain behind it."""


class SqueezeOutInput(TypedDict):
    """A bead pressed between two faces until it gels."""

    joint: JointInput | Answer
    """The faces."""
    force: NotRequired[QuantityInput | None]
    """Force on them. Give this or `pressure`."""
    pressure: NotRequired[QuantityInput | None]
    """Mean pressure on them. Give this or `force`."""
    bead_height: QuantityInput
    """Height of the bead when the faces meet it."""
    bead_volume: NotRequired[QuantityInput | None]
    """Volume of the bead under the faces; unless given it covers them from the start."""
    viscosity: ViscosityHistoryInput | Answer
    """Plastic viscosity of the paste or pour (with its fillers) from closing to gel."""
    yield_stress: NotRequired[QuantityInput | None]
    """Yield stress; none unless given."""
    chop: NotRequired[ChopInBeadInput | Answer | None]
    """Chop in it; none unless given."""


class ChopLimit(Answer):
    """The least chop that still keeps an edge thick enough."""

    __slots__ = ()
    _fields = {
        "glass": quantity,
        "thickness_without": quantity,
        "why": part("Why"),
    }
    glass: Quantity
    """Glass in the mix."""
    thickness_without: Quantity
    """Thickness without any chop."""
    why: Why
    """The chain behind it."""


class SeamPressure(Answer):
    """Pressure along a clamped seam."""

    __slots__ = ()
    _fields = {
        "mean": quantity,
        "under_clamp": quantity,
        "pressed_length": quantity,
        "even": plain,
        "widest_even_spacing": quantity,
        "why": part("Why"),
    }
    mean: Quantity
    """Mean pressure, the force of a clamp on the flange over a spacing."""
    under_clamp: Quantity
    """Pressure under a clamp, its force on the length it spreads to."""
    pressed_length: Quantity
    """Length a clamp presses on: the pad and 45 deg through the flange, at most the spacing."""
    even: bool
    """The clamps press the seam without a gap between them."""
    widest_even_spacing: Quantity
    """Widest spacing that does."""
    why: Why
    """The chain behind it."""


class Settled(Answer):
    """What has settled at gel."""

    __slots__ = ()
    _fields = {
        "clear_layer": quantity,
        "clear_fraction": plain,
        "packed_layer": quantity,
        "complete": plain,
        "rises": plain,
        "held": plain,
        "yield_stress_to_hold": quantity,
        "extrapolated": plain,
        "why": part("Why"),
    }
    clear_layer: Quantity
    """Way of the front between clear resin and filled resin: down for sinking, up for rising filler."""
    clear_fraction: float
    """That as a fraction of the depth, 0 to 1."""
    packed_layer: Quantity
    """Thickness of the packed layer at the bottom (or top)."""
    complete: bool
    """The filler has settled as far as it can."""
    rises: bool
    """The filler rises (hollow spheres) instead of sinking."""
    held: bool
    """The yield stress holds the grains."""
    yield_stress_to_hold: Quantity
    """Yield stress that would hold them."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


def viscosity(
    *,
    readings: Sequence[ViscosityReadingInput | Answer],
    temperature: QuantityInput,
    solids: QuantityInput | None = None,
    packing: QuantityInput | None = None,
    chop: ChopInput | Answer | None = None,
    model: SuspensionModelInput | Answer | None = None,
) -> MixViscosityAnswer:
    """Viscosity of a resin at a temperature from two readings, and of the mix with fillers or chop in it.

    Parameters
    ----------
    readings : Sequence[ViscosityReadingInput]
        Two readings of the liquid resin.
    temperature : quantity
        Temperature asked for.
    solids : quantity | None
        Solids in the mix; none unless given.
    packing : quantity | None
        Their packing fraction; spheres (64 vol%) or what the chop packs to, unless given.
    chop : ChopInput | None
        The chop, if the solids are chop.
    model : SuspensionModelInput | None
        How the solids thicken; Krieger-Dougherty for spheres, Maron-Pierce for chop, unless given.
    """
    return ask_as(
        "flow.viscosity",
        {
            "readings": readings,
            "temperature": temperature,
            "solids": solids,
            "packing": packing,
            "chop": chop,
            "model": model,
        },
        MixViscosityAnswer,
    )


def chop_packing(
    *,
    length: QuantityInput,
    filament: QuantityInput,
    filaments: int,
    glass_in_strand: QuantityInput | None = None,
) -> ChopPackingAnswer:
    """Glass content at which chopped strands in a pour jam, from their length and strand.

    Parameters
    ----------
    length : quantity
        Length the strand is cut to.
    filament : quantity
        Filament diameter.
    filaments : int
        Filaments that stay together in a strand; 1 where the strands open.
    glass_in_strand : quantity | None
        Glass within the strand; 60 vol% unless given, 100 vol% for single filaments.
    """
    return ask_as(
        "flow.chop_packing",
        {
            "length": length,
            "filament": filament,
            "filaments": filaments,
            "glass_in_strand": glass_in_strand,
        },
        ChopPackingAnswer,
    )


def viscosity_rise(
    *,
    model: ChemoViscosityInput | Answer,
    time_s: Sequence[float],
    conversion: Sequence[float],
    temperature_K: Sequence[float],
    wet_out_limit: QuantityInput | None = None,
) -> ViscosityRiseAnswer:
    """Viscosity over time to gel from conversion and temperature over time (Castro-Macosko), and until
    when the batch wets out mat.

    Parameters
    ----------
    model : ChemoViscosityInput
        Viscosity against temperature and conversion.
    time_s : Sequence[float]
        Times, s.
    conversion : Sequence[float]
        Conversion at those times, 0 to 1.
    temperature_K : Sequence[float]
        Temperature at those times, K.
    wet_out_limit : quantity | None
        Viscosity above which it no longer wets out mat; 1 Pa s unless given.
    """
    return ask_as(
        "flow.viscosity_rise",
        {
            "model": model,
            "time_s": time_s,
            "conversion": conversion,
            "temperature_K": temperature_K,
            "wet_out_limit": wet_out_limit,
        },
        ViscosityRiseAnswer,
    )


def wet_out(
    *,
    viscosity: ViscosityHistoryInput | Answer,
    limit: QuantityInput | None = None,
) -> WetOut:
    """Until when a batch wets out mat, and when its viscosity has doubled.

    Parameters
    ----------
    viscosity : ViscosityHistoryInput
        The batch's viscosity over time.
    limit : quantity | None
        Viscosity above which it no longer wets out; 1 Pa s unless given.
    """
    return ask_as(
        "flow.wet_out",
        {
            "viscosity": viscosity,
            "limit": limit,
        },
        WetOut,
    )


def paste(
    *,
    silica: QuantityInput,
    law: YieldLawChoiceInput | Answer | None = None,
) -> Paste:
    """Yield stress and consistency of resin thickened with fumed silica.

    Parameters
    ----------
    silica : quantity
        Silica as a mass fraction of the paste.
    law : YieldLawChoiceInput
        Law of yield stress against silica; common practice unless given. Default: common_practice.
    """
    return ask_as(
        "flow.paste",
        {
            "silica": silica,
            "law": law,
        },
        Paste,
    )


def yield_test(
    *,
    test: YieldTestInput | Answer,
    density: QuantityInput,
) -> YieldTestAnswer:
    """Yield stress of a paste from a slump, a spread or the thickest coat that stays.

    Parameters
    ----------
    test : YieldTestInput
        The test and its readings.
    density : quantity
        Density of the paste.
    """
    return ask_as(
        "flow.yield_test",
        {
            "test": test,
            "density": density,
        },
        YieldTestAnswer,
    )


def silica_for_bead(
    *,
    height: QuantityInput,
    slope: QuantityInput,
    density: QuantityInput,
    margin: float | None = None,
    law: YieldLawChoiceInput | Answer | None = None,
) -> SilicaForBead:
    """Fumed silica that keeps a bead from sagging at a height and slope.

    Parameters
    ----------
    height : quantity
        Height of the bead above the face.
    slope : quantity
        Slope of the face from the horizontal, 90 deg for a wall.
    density : quantity
        Density of the paste.
    margin : float
        Yield stress over the stress at the foot of the bead; 1.5 unless given. Default: 1.5.
    law : YieldLawChoiceInput
        Law of yield stress against silica; common practice unless given. Default: common_practice.
    """
    return ask_as(
        "flow.silica_for_bead",
        {
            "height": height,
            "slope": slope,
            "density": density,
            "margin": margin,
            "law": law,
        },
        SilicaForBead,
    )


def sag(
    *,
    silica: QuantityInput,
    height: QuantityInput,
    slope: QuantityInput,
    density: QuantityInput,
    margin: float | None = None,
    law: YieldLawChoiceInput | Answer | None = None,
) -> Sag:
    """Whether a bead of thickened resin stays on a slope, and how high one would.

    Parameters
    ----------
    silica : quantity
        Silica as a mass fraction of the paste.
    height : quantity
        Height of the bead above the face.
    slope : quantity
        Slope of the face from the horizontal, 90 deg for a wall.
    density : quantity
        Density of the paste.
    margin : float
        Margin asked for; 1.5 unless given. Default: 1.5.
    law : YieldLawChoiceInput
        Law of yield stress against silica; common practice unless given. Default: common_practice.
    """
    return ask_as(
        "flow.sag",
        {
            "silica": silica,
            "height": height,
            "slope": slope,
            "density": density,
            "margin": margin,
            "law": law,
        },
        Sag,
    )


def seam_paste(
    *,
    seam: QuantityInput,
    bead: BeadSectionInput | Answer,
    silica: QuantityInput,
    resin_density: QuantityInput,
    silica_bulk_density: QuantityInput | None = None,
    spare: float | None = None,
) -> SeamPasteBatch:
    """Paste, resin and silica for a bead along a seam, the silica by mass and as scooped.

    Parameters
    ----------
    seam : quantity
        Length of the seam.
    bead : BeadSectionInput
        Section of the bead.
    silica : quantity
        Silica as a mass fraction of the paste.
    resin_density : quantity
        Density of the liquid resin.
    silica_bulk_density : quantity | None
        Bulk density of the silica as it comes; 50 g/L unless given ([`silica_bulk_density`]).
    spare : float
        Added for what stays in the cup and the nozzle, as a fraction of the bead: 0.1 is a tenth more. 0
        unless given. Default: 0.0.
    """
    return ask_as(
        "flow.seam_paste",
        {
            "seam": seam,
            "bead": bead,
            "silica": silica,
            "resin_density": resin_density,
            "silica_bulk_density": silica_bulk_density,
            "spare": spare,
        },
        SeamPasteBatch,
    )


def drain(
    *,
    thickness: QuantityInput,
    slope: QuantityInput,
    face: QuantityInput,
    density: QuantityInput,
    viscosity: ViscosityHistoryInput | Answer,
    yield_stress: QuantityInput | None = None,
) -> Drained:
    """What stays of a coat on a steep face when it gels, and how much runs off.

    Parameters
    ----------
    thickness : quantity
        Thickness the coat is put on with.
    slope : quantity
        Slope from the horizontal, 90 deg for a wall.
    face : quantity
        Length of the face along the slope.
    density : quantity
        Density of the resin.
    viscosity : ViscosityHistoryInput
        Its viscosity until gel.
    yield_stress : quantity | None
        Its yield stress; none unless given.
    """
    return ask_as(
        "flow.drain",
        {
            "thickness": thickness,
            "slope": slope,
            "face": face,
            "density": density,
            "viscosity": viscosity,
            "yield_stress": yield_stress,
        },
        Drained,
    )


def levelling(
    *,
    thickness: QuantityInput,
    spacing: QuantityInput,
    surface_tension: QuantityInput,
    viscosity: ViscosityHistoryInput | Answer,
) -> Levelled:
    """How far brush marks in a coat flow out before it gels.

    Parameters
    ----------
    thickness : quantity
        Mean thickness of the coat.
    spacing : quantity
        Distance from brush mark to brush mark.
    surface_tension : quantity
        Surface tension of the resin, about 30 mN/m.
    viscosity : ViscosityHistoryInput
        Its viscosity until gel.
    """
    return ask_as(
        "flow.levelling",
        {
            "thickness": thickness,
            "spacing": spacing,
            "surface_tension": surface_tension,
            "viscosity": viscosity,
        },
        Levelled,
    )


def squeeze_out(
    *,
    joint: JointInput | Answer,
    bead_height: QuantityInput,
    viscosity: ViscosityHistoryInput | Answer,
    force: QuantityInput | None = None,
    pressure: QuantityInput | None = None,
    bead_volume: QuantityInput | None = None,
    yield_stress: QuantityInput | None = None,
    chop: ChopInBeadInput | Answer | None = None,
) -> Squeezed:
    """Thickness of a clamped joint or edge when it gels, and what is squeezed out.

    Parameters
    ----------
    joint : JointInput
        The faces.
    bead_height : quantity
        Height of the bead when the faces meet it.
    viscosity : ViscosityHistoryInput
        Plastic viscosity of the paste or pour (with its fillers) from closing to gel.
    force : quantity | None
        Force on them. Give this or `pressure`.
    pressure : quantity | None
        Mean pressure on them. Give this or `force`.
    bead_volume : quantity | None
        Volume of the bead under the faces; unless given it covers them from the start.
    yield_stress : quantity | None
        Yield stress; none unless given.
    chop : ChopInBeadInput | None
        Chop in it; none unless given.
    """
    return ask_as(
        "flow.squeeze_out",
        {
            "joint": joint,
            "bead_height": bead_height,
            "viscosity": viscosity,
            "force": force,
            "pressure": pressure,
            "bead_volume": bead_volume,
            "yield_stress": yield_stress,
            "chop": chop,
        },
        Squeezed,
    )


def clamp_for_edge(
    *,
    squeeze: SqueezeOutInput | Answer,
    at_least: QuantityInput,
) -> ClampLimit:
    """The hardest clamp that leaves a joint or edge at least so thick when it gels.

    Parameters
    ----------
    squeeze : SqueezeOutInput
        The joint as it is pressed; its force or pressure may be left out.
    at_least : quantity
        Thickness the edge must keep.
    """
    return ask_as(
        "flow.clamp_for_edge",
        {
            "squeeze": squeeze,
            "at_least": at_least,
        },
        ClampLimit,
    )


def chop_for_edge(
    *,
    squeeze: SqueezeOutInput | Answer,
    chop_length: QuantityInput,
    at_least: QuantityInput,
    bed: FibreBedInput | Answer | None = None,
) -> ChopLimit:
    """The least chop that keeps a clamped edge at least so thick.

    Parameters
    ----------
    squeeze : SqueezeOutInput
        The joint as it is pressed; chop given in it is ignored.
    chop_length : quantity
        Length the chop is cut to.
    at_least : quantity
        Thickness the edge must keep.
    bed : FibreBedInput | None
        How the fibres carry load; a random mat of strands unless given.
    """
    return ask_as(
        "flow.chop_for_edge",
        {
            "squeeze": squeeze,
            "chop_length": chop_length,
            "at_least": at_least,
            "bed": bed,
        },
        ChopLimit,
    )


def seam_pressure(
    *,
    force: QuantityInput,
    spacing: QuantityInput,
    flange_width: QuantityInput,
    flange_thickness: QuantityInput,
    pad: QuantityInput,
) -> SeamPressure:
    """Mean pressure along a clamped seam, pressure under a clamp, and the widest even spacing.

    Parameters
    ----------
    force : quantity
        Force of each clamp.
    spacing : quantity
        Distance from clamp to clamp.
    flange_width : quantity
        Width of the flange.
    flange_thickness : quantity
        Thickness of the mould flange (with any batten) under the clamp pad.
    pad : quantity
        Length of the clamp pad along the seam.
    """
    return ask_as(
        "flow.seam_pressure",
        {
            "force": force,
            "spacing": spacing,
            "flange_width": flange_width,
            "flange_thickness": flange_thickness,
            "pad": pad,
        },
        SeamPressure,
    )


def settling(
    *,
    diameter: QuantityInput,
    grain_density: QuantityInput,
    resin_density: QuantityInput,
    filler: QuantityInput,
    depth: QuantityInput,
    viscosity: ViscosityHistoryInput | Answer,
    yield_stress: QuantityInput | None = None,
    settled_packing: QuantityInput | None = None,
) -> Settled:
    """How far a filler sinks, or hollow spheres rise, before gel.

    Parameters
    ----------
    diameter : quantity
        Diameter of a grain.
    grain_density : quantity
        Density of a grain; below the resin's it rises.
    resin_density : quantity
        Density of the liquid resin.
    filler : quantity
        Filler in the mix.
    depth : quantity
        Depth of the pour.
    viscosity : ViscosityHistoryInput
        Viscosity of the resin without the filler, until gel.
    yield_stress : quantity | None
        Yield stress of the resin; none unless given.
    settled_packing : quantity | None
        Packing of the settled filler; 60 vol% unless given (loose grains; common practice).
    """
    return ask_as(
        "flow.settling",
        {
            "diameter": diameter,
            "grain_density": grain_density,
            "resin_density": resin_density,
            "filler": filler,
            "depth": depth,
            "viscosity": viscosity,
            "yield_stress": yield_stress,
            "settled_packing": settled_packing,
        },
        Settled,
    )


ANSWERS: dict[str, type[Answer]] = {
    "flow.viscosity": MixViscosityAnswer,
    "flow.chop_packing": ChopPackingAnswer,
    "flow.viscosity_rise": ViscosityRiseAnswer,
    "flow.wet_out": WetOut,
    "flow.paste": Paste,
    "flow.yield_test": YieldTestAnswer,
    "flow.silica_for_bead": SilicaForBead,
    "flow.sag": Sag,
    "flow.seam_paste": SeamPasteBatch,
    "flow.drain": Drained,
    "flow.levelling": Levelled,
    "flow.squeeze_out": Squeezed,
    "flow.clamp_for_edge": ClampLimit,
    "flow.chop_for_edge": ChopLimit,
    "flow.seam_pressure": SeamPressure,
    "flow.settling": Settled,
}
"""The class of the answer to each question."""
