# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
# ruff: noqa: D205
"""Questions about light."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NotRequired, TypedDict

from .answer import Answer, ask_as, part, plain, quantity, several
from .common import CoatOpticsInput, PigmentInput, Why
from .units import Quantity, QuantityInput

__all__ = [
    "BodyAndWingAnswer",
    "EdgeInput",
    "Hiding",
    "Layer",
    "ParticlesInput",
    "PigmentToHideAnswer",
    "TestPieceAnswer",
    "Translucency",
    "body_and_wing",
    "hiding",
    "pigment_to_hide",
    "test_piece",
    "translucency",
]


class Layer(Answer):
    """A layer that scatters and absorbs diffuse light: the two coefficients of Kubelka and Munk."""

    __slots__ = ()
    _fields = {
        "scattering": quantity,
        "absorption": quantity,
    }
    scattering: Quantity
    """Scattering coefficient `S`."""
    absorption: Quantity
    """Absorption coefficient `K`."""


class Hiding(Answer):
    """Whether a coat hides."""

    __slots__ = ()
    _fields = {
        "contrast_ratio": plain,
        "hides": plain,
        "hiding_thickness": quantity,
        "transmittance": plain,
        "over_black": plain,
        "over_white": plain,
        "layer": part("Layer"),
        "extrapolated": plain,
        "why": part("Why"),
        "cautions": several(plain),
    }
    contrast_ratio: float
    """Contrast ratio at this thickness."""
    hides: bool
    """It reaches the target."""
    hiding_thickness: Quantity | None
    """Thickness that reaches the target; none if no thickness does."""
    transmittance: float
    """Light that still comes through this thickness, 0 to 1."""
    over_black: float
    """Reflectance over black."""
    over_white: float
    """Reflectance over the white card."""
    layer: Layer
    """The coefficients used."""
    extrapolated: str | None
    """What is outside which fitted range, if anything is."""
    why: Why
    """The chain behind it."""
    cautions: tuple[str, ...]
    """What hiding does not say."""


class PigmentToHideAnswer(Answer):
    """The pigment that makes a coat hide."""

    __slots__ = ()
    _fields = {
        "pigment": quantity,
        "coat": part("Hiding"),
    }
    pigment: Quantity
    """Pigment as a mass fraction of the coat."""
    coat: Hiding
    """The coat with it."""


class Translucency(Answer):
    """What comes through an edge."""

    __slots__ = ()
    _fields = {
        "transmittance": plain,
        "straight": plain,
        "haze": plain,
        "filaments_crossed": plain,
        "layer": part("Layer"),
        "extrapolated": plain,
        "why": part("Why"),
    }
    transmittance: float
    """Part of the light that comes through in any direction, 0 to 1."""
    straight: float
    """Part that comes through straight: how clearly one sees through, 0 to 1."""
    haze: float
    """Scattered part of what comes through, 0 to 1."""
    filaments_crossed: float
    """Filaments that a ray crosses."""
    layer: Layer
    """The layer it amounts to."""
    extrapolated: str | None
    """What is outside which range, if anything is."""
    why: Why
    """The chain behind it."""


class ParticlesInput(TypedDict):
    """Round particles in an edge: bubbles (index 1), mineral filler, glass beads."""

    content: QuantityInput
    """Volume of them in the edge."""
    diameter: QuantityInput
    """Diameter."""
    index: float
    """Refractive index; 1 for air."""


class TestPieceAnswer(Answer):
    """The coefficients of a test piece."""

    __slots__ = ()
    _fields = {
        "layer": part("Layer"),
    }
    layer: Layer
    """To be given as an edge's `pigment` (`{"layer": ...}`) at other thicknesses."""


class BodyAndWingAnswer(Answer):
    """Whether the body stays opaque and the wing glows."""

    __slots__ = ()
    _fields = {
        "body_opaque": plain,
        "wing_lit": plain,
        "body_thickness_needed": quantity,
        "thickest_wing": quantity,
        "body": part("Hiding"),
        "wing": part("Translucency"),
        "why": part("Why"),
    }
    body_opaque: bool
    """The body hides (contrast ratio 0.98 over 0.80) and shows no more of the lamp than allowed."""
    wing_lit: bool
    """The wing lets through what is wanted."""
    body_thickness_needed: Quantity | None
    """Body coat that does both; none if no thickness does."""
    thickest_wing: Quantity | None
    """Thickest wing of this make that is lit; none if none is."""
    body: Hiding
    """The body's coat."""
    wing: Translucency
    """The wing."""
    why: Why
    """The chain behind it."""


class EdgeInput(TypedDict):
    """A cast edge."""

    thickness: QuantityInput
    """Thickness."""
    resin_index: float
    """Refractive index of the cured resin; polyester about 1.54 to 1.57, epoxy 1.50 to 1.57 (from memory)."""
    glass: NotRequired[QuantityInput | None]
    """Glass in it; none unless given."""
    filament: NotRequired[QuantityInput | None]
    """Filament diameter; 13 um unless given."""
    glass_index: NotRequired[float]
    """Refractive index of the glass; E-glass about 1.55 to 1.56 (from memory). 1.556 unless given."""
    particles: NotRequired[Sequence[ParticlesInput | Answer]]
    """Bubbles and fillers."""
    pigment: NotRequired[CoatOpticsInput | Answer | None]
    """Pigment in it, or a test piece's coefficients."""
    resin_absorption: NotRequired[QuantityInput | None]
    """Absorption of the resin itself (tint, cobalt); none unless given."""
    wavelength: NotRequired[QuantityInput | None]
    """Wavelength in air; 550 nm (green, where the eye sees best) unless given."""


def hiding(
    *,
    coat: CoatOpticsInput | Answer,
    thickness: QuantityInput,
    target: float | None = None,
    white: float | None = None,
) -> Hiding:
    """Contrast ratio of a pigmented coat, the thickness that hides, and the light it lets through
    (Kubelka-Munk).

    Parameters
    ----------
    coat : CoatOpticsInput
        The coat.
    thickness : quantity
        Its cured thickness.
    target : float
        Contrast ratio that counts as hiding; 0.98 unless given. Default: 0.98.
    white : float
        Reflectance of the white card; 0.80 unless given. Default: 0.8.
    """
    return ask_as(
        "light.hiding",
        {
            "coat": coat,
            "thickness": thickness,
            "target": target,
            "white": white,
        },
        Hiding,
    )


def pigment_to_hide(
    *,
    thickness: QuantityInput,
    resin_density: QuantityInput,
    reflectance: float | None = None,
    pigment: PigmentInput | Answer | None = None,
    target: float | None = None,
    white: float | None = None,
    lamp: float | None = None,
) -> PigmentToHideAnswer:
    """The least white pigment with which a coat of a thickness hides, or keeps a lamp in.

    Parameters
    ----------
    thickness : quantity
        Cured thickness of the coat.
    resin_density : quantity
        Density of the cured resin around the pigment.
    reflectance : float
        Reflectance of a thick block; 0.95 (white) unless given. Default: 0.95.
    pigment : PigmentInput | None
        The pigment; rutile unless given.
    target : float
        Contrast ratio that counts as hiding; 0.98 unless given. Default: 0.98.
    white : float
        Reflectance of the white card; 0.80 unless given. Default: 0.8.
    lamp : float | None
        Part of a lamp's light behind the coat that may show; not judged unless given.
    """
    return ask_as(
        "light.pigment_to_hide",
        {
            "thickness": thickness,
            "resin_density": resin_density,
            "reflectance": reflectance,
            "pigment": pigment,
            "target": target,
            "white": white,
            "lamp": lamp,
        },
        PigmentToHideAnswer,
    )


def translucency(
    *,
    thickness: QuantityInput,
    resin_index: float,
    glass: QuantityInput | None = None,
    filament: QuantityInput | None = None,
    glass_index: float | None = None,
    particles: Sequence[ParticlesInput | Answer] | None = None,
    pigment: CoatOpticsInput | Answer | None = None,
    resin_absorption: QuantityInput | None = None,
    wavelength: QuantityInput | None = None,
) -> Translucency:
    """Light through a cast edge of resin and glass: all of it, and the part that goes straight.

    Parameters
    ----------
    thickness : quantity
        Thickness.
    resin_index : float
        Refractive index of the cured resin; polyester about 1.54 to 1.57, epoxy 1.50 to 1.57 (from memory).
    glass : quantity | None
        Glass in it; none unless given.
    filament : quantity | None
        Filament diameter; 13 um unless given.
    glass_index : float
        Refractive index of the glass; E-glass about 1.55 to 1.56 (from memory). 1.556 unless given.
        Default: 1.556.
    particles : Sequence[ParticlesInput]
        Bubbles and fillers.
    pigment : CoatOpticsInput | None
        Pigment in it, or a test piece's coefficients.
    resin_absorption : quantity | None
        Absorption of the resin itself (tint, cobalt); none unless given.
    wavelength : quantity | None
        Wavelength in air; 550 nm (green, where the eye sees best) unless given.
    """
    return ask_as(
        "light.translucency",
        {
            "thickness": thickness,
            "resin_index": resin_index,
            "glass": glass,
            "filament": filament,
            "glass_index": glass_index,
            "particles": particles,
            "pigment": pigment,
            "resin_absorption": resin_absorption,
            "wavelength": wavelength,
        },
        Translucency,
    )


def test_piece(
    *,
    thickness: QuantityInput,
    transmittance: float,
    resin_index: float,
) -> TestPieceAnswer:
    """Scattering of a measured test piece, to carry over to other thicknesses.

    Parameters
    ----------
    thickness : quantity
        Its thickness.
    transmittance : float
        Part of the light it lets through in any direction, 0 to 1.
    resin_index : float
        Refractive index of the cured resin.
    """
    return ask_as(
        "light.test_piece",
        {
            "thickness": thickness,
            "transmittance": transmittance,
            "resin_index": resin_index,
        },
        TestPieceAnswer,
    )


def body_and_wing(
    *,
    body: CoatOpticsInput | Answer,
    body_thickness: QuantityInput,
    wing: EdgeInput | Answer,
    body_at_most: float | None = None,
    wing_at_least: float | None = None,
) -> BodyAndWingAnswer:
    """Which coat keeps a body opaque and which edge keeps a wing lit, with a lamp inside.

    Parameters
    ----------
    body : CoatOpticsInput
        Gel coat of the body.
    body_thickness : quantity
        Its thickness.
    wing : EdgeInput
        The wing.
    body_at_most : float
        Part of the lamp's light that may show through the body; 0.02 unless given. Default: 0.02.
    wing_at_least : float
        Part of the light that must come through the wing; 0.5 unless given. Default: 0.5.
    """
    return ask_as(
        "light.body_and_wing",
        {
            "body": body,
            "body_thickness": body_thickness,
            "wing": wing,
            "body_at_most": body_at_most,
            "wing_at_least": wing_at_least,
        },
        BodyAndWingAnswer,
    )


ANSWERS: dict[str, type[Answer]] = {
    "light.hiding": Hiding,
    "light.pigment_to_hide": PigmentToHideAnswer,
    "light.translucency": Translucency,
    "light.test_piece": TestPieceAnswer,
    "light.body_and_wing": BodyAndWingAnswer,
}
"""The class of the answer to each question."""
