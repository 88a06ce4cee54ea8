# Written by `cargo xtask py` from the questions of the Rust library: do not edit.
"""Questions about limit."""

from __future__ import annotations

from typing import Literal

from .answer import Answer, Table, ask_as, part, plain, rows, several
from .common import Source

__all__ = [
    "Limit",
    "LimitList",
    "list",
]


class Limit(Answer):
    """A bound on a quantity, for some subjects, from a source."""

    __slots__ = ()
    _fields = {
        "id": plain,
        "quantity": plain,
        "applies_to": several(plain),
        "low": plain,
        "high": plain,
        "severity": plain,
        "message": plain,
        "way_out": plain,
        "source": part("Source"),
    }
    id: str
    """Its name."""
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
    """What it bounds."""
    applies_to: tuple[str, ...] | None
    """Materials, resin families or acts it is for; none: all."""
    low: str | None
    """Not below, with unit."""
    high: str | None
    """Not above, with unit."""
    severity: Literal["advice", "warning", "stop"]
    """How bad it is to break it."""
    message: str
    """What goes wrong."""
    way_out: str
    """What to do instead."""
    source: Source
    """On whose word."""


class LimitList(Answer):
    """Limits with their sources."""

    __slots__ = ()
    _fields = {
        "limits": rows("Limit"),
    }
    limits: Table[Limit]
    """The limits."""


def list(
    *,
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
    | None = None,
    applies_to: str | None = None,
) -> LimitList:
    """The limits that come with the library, each with its source and standing.

    Parameters
    ----------
    quantity : str, one of the words of its type
        Only limits of this quantity.
    applies_to : str | None
        Only limits that apply to this material, resin family or act.
    """
    return ask_as(
        "limit.list",
        {
            "quantity": quantity,
            "applies_to": applies_to,
        },
        LimitList,
    )


ANSWERS: dict[str, type[Answer]] = {
    "limit.list": LimitList,
}
"""The class of the answer to each question."""
