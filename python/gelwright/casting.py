"""Castings and their plans: thin faces over the questions of :mod:`gelwright.plan`."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .answer import Answer, Chain, Table, ask_as
from .errors import DocumentError, UnknownNameError

if TYPE_CHECKING:
    from .plan import Need, Plan

__all__ = ["Casting", "PlanFace"]


class Casting(Answer):
    """A casting before any resin is mixed: mould, zones, recipes, shop.

    Made of the document's fields (quantities as text with their units), of its TOML text, or of a file. It can not
    be changed; :meth:`changed` gives another one. The library checks it when it is planned.
    """

    __slots__ = ()

    @classmethod
    def from_toml(cls, text: str) -> Casting:
        """Read a casting from the text of its TOML document."""
        try:
            return cls(tomllib.loads(text))
        except tomllib.TOMLDecodeError as e:
            raise DocumentError(
                f"the casting can not be read: {e}", "", str(e), way_out="mend the syntax at the place named"
            ) from e

    @classmethod
    def load(cls, path: str | Path) -> Casting:
        """Read a casting from a TOML file."""
        return cls.from_toml(Path(path).read_text(encoding="utf-8"))

    def changed(self, changes: Mapping[str, Any]) -> Casting:
        """Give another casting with some fields changed, each named by its path.

        >>> casting.changed({"shop.temperature": "21 degC", "zones[0].area": "0.03 m^2"})
        """
        raw = self.raw
        for path, value in changes.items():
            steps: list[Any] = [int(p) if p.isdigit() else p for p in re.split(r"[.\[\]]+", path.rstrip("]"))]
            *way, last = steps
            at: Any = raw
            try:
                for step in way:
                    at = at[step]
                at[last] = copy.deepcopy(value)
            except (KeyError, IndexError, TypeError) as e:
                raise UnknownNameError(
                    f"{path}: the casting has nothing there; write a path such as 'shop.temperature'",
                    path,
                    way_out="write a path such as 'shop.temperature' or 'zones[0].area'",
                ) from e
        return Casting(raw)

    def plan(self) -> Plan:
        """Plan it: batches, steps, shot list, findings, cost, cautions."""
        from .plan import Plan

        return ask_as("plan.make", {"casting": self}, Plan)


class PlanFace(Answer):
    """What a plan does besides telling its fields."""

    __slots__ = ()

    @property
    def shot_list(self) -> Table[Need]:
        """What the casting takes of each material."""
        return self["needs"]

    def why(self, name: str) -> Chain:
        """Give the chain behind a batch's catalyst (by the batch's name) or a need (by its material).

        Raises :class:`~gelwright.errors.UnknownNameError` for a name that the plan does not have.
        """
        known: dict[str, Chain] = {b.name: b.batch.why for b in self["batches"]}
        known |= {f"gel time of {b.name}": b.gel_time.why for b in self["batches"] if b.gel_time is not None}
        known |= {n.material: n.why for n in self["needs"]}
        if name not in known:
            raise UnknownNameError(
                f"'{name}' is not in the plan; it has {', '.join(known)}",
                "name",
                f"'{name}'",
                ", ".join(known),
                "name a batch or a material of the plan",
            )
        return known[name]

    def sheet(self) -> str:
        """Give the plan as plain text for the bench."""
        return ask_as("plan.sheet", {"plan": self}, Answer)["text"]

    def page(self) -> str:
        """Give the plan as an HTML page that needs no network and prints."""
        return ask_as("plan.page", {"plans": [self]}, Answer)["html"]

    def _repr_html_(self) -> str:
        return ask_as("plan.page", {"plans": [self]}, Answer)["fragments"][0]
