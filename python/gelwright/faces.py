"""What some nouns do besides what their tables say: thin faces over the questions of the library."""

from __future__ import annotations

import html
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self, cast

import numpy as np

from . import show
from .errors import UnknownNameError
from .noun import Noun, asked, meant, part, plain

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

    from .mix import Part
    from .quantity import NumberBand
    from .source import Why
    from .units import TextInput

__all__ = [
    "AirOfDayFace",
    "BandFace",
    "BatchFace",
    "CardFace",
    "CastingFace",
    "ComparisonFace",
    "CupFace",
    "FindingFace",
    "PlanFace",
    "ProfilesFace",
    "RecipeFace",
    "WhyFace",
]


class WhyFace(Noun):
    """What a value was computed from, on whose word; printed as an indented chain.

    Called with a word it gives the part of the chain that is about it: ``cup.why("mekp_9")``.
    """

    # What else the subjects of the chain go by: the names of materials by their ids.
    __slots__ = ("_called",)
    _called: Mapping[str, str]

    def called(self, names: Mapping[str, str]) -> Self:
        """Give it with other names for what its subjects hold."""
        made = type(self)._of(self._raw)
        object.__setattr__(made, "_called", names)
        return made

    def __call__(self, word: str) -> Why:
        """Give the first part of the chain, outermost first, whose subject holds the word (or the material's id)."""
        called: Mapping[str, str] = getattr(self, "_called", {})
        wanted = called.get(word, word).lower()
        waiting: list[WhyFace] = [self]
        for one in waiting:
            if wanted in str(one["what"]).lower():
                return cast("Why", one)
            waiting.extend(one["from"] or ())
        raise UnknownNameError(
            f"'{word}' is in no part of this chain; it has: {'; '.join(str(w['what']) for w in waiting)}",
            "word",
            f"'{word}'",
            "; ".join(str(w["what"]) for w in waiting),
            "name what stands before an equals sign of the chain",
        )

    def chain(self) -> list[str]:
        """Give the lines of the chain."""
        return list(_chain(self._raw, 0))

    def __str__(self) -> str:
        return "\n".join(self.chain())

    def __repr__(self) -> str:
        return str(self)

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(str(self))}</pre>"


def _chain(why: Mapping[str, Any], depth: int) -> Iterator[str]:
    line = f"{'  ' * depth}{why['what']} = {why['value']}"
    if why.get("equation"):
        line += f"   [{why['equation']}]"
    if why.get("source"):
        line += f"   ({_source(why['source'])})"
    if why.get("note"):
        line += f"   note: {why['note']}"
    yield line
    for inner in why.get("from", ()):
        yield from _chain(inner, depth + 1)


def _source(source: Mapping[str, Any]) -> str:
    said = f"{source['author']}, " if source.get("author") else ""
    said += str(source.get("title", ""))
    if source.get("year"):
        said += f" ({source['year']})"
    if source.get("locator"):
        said += f", {source['locator']}"
    return f"{said} [{str(source.get('standing', '')).replace('_', ' ')}]"


class RecipeFace(Noun):
    """A recipe is written as the bench says it: the resin, and each part with its dose."""

    __slots__ = ()

    def __init__(self, resin: str, parts: Sequence[Part | Mapping[str, Any]] = (), /, **doses: TextInput) -> None:
        """Make a recipe of a resin and its parts by their names: ``Recipe("white_gel_coat", mekp_9="2 wt% on resin")``.

        Parameters
        ----------
        resin : str
            The resin, a material's id.
        parts : list of Part, optional
            The parts in order, where a name is no Python name.
        **doses : text
            Each part's dose with its basis, by the part's material: "2 wt% on resin", "20 mL/kg".
        """
        from .mix import Part

        named = [Part(material=name, dose=dose) for name, dose in doses.items()]
        super().__init__({"resin": resin, "parts": [*parts, *named]})


class CastingFace(Noun):
    """A casting is read from its file."""

    __slots__ = ()

    @classmethod
    def from_toml(cls, text: str) -> Self:
        """Read a casting from the text of its TOML document."""
        return cls._of(asked("plan.read_casting", {"text": text}, lambda raw: raw))

    @classmethod
    def load(cls, path: str | Path) -> Self:
        """Read a casting from a TOML file."""
        return cls.from_toml(Path(path).read_text(encoding="utf-8"))

    def measured(self) -> Self:
        """Give it with the thermometer's spread on those of the shop's temperatures that have none of their own."""
        return type(self)._of(asked("plan.as_measured", {"casting": self}, lambda raw: raw))


class BenchRecordFace(Noun):
    """A record of a day is read from its file."""

    __slots__ = ()

    @classmethod
    def from_toml(cls, text: str) -> Self:
        """Read a record from the text of its TOML document."""
        return cls._of(asked("plan.read_record", {"text": text}, lambda raw: raw))

    @classmethod
    def load(cls, path: str | Path) -> Self:
        """Read a record from a TOML file."""
        return cls.from_toml(Path(path).read_text(encoding="utf-8"))


class PlanFace(Noun):
    """What a plan does besides telling its fields."""

    __slots__ = ()

    def why(self, name: str) -> Why:
        """Give the chain behind a batch's catalyst (by the batch's name) or a need (by its material).

        Raises :class:`~gelwright.errors.UnknownNameError` for a name that the plan does not have.
        """
        known: dict[str, Why] = {b.name: b.batch.why for b in self["batches"]}
        known |= {f"gel time of {b.name}": b.gel_time.why for b in self["batches"] if b.gel_time is not None}
        known |= {n.material: n.why for n in self["needs"]}
        if name not in known:
            raise UnknownNameError(
                f"'{name}' is not in the plan; {meant(name, known)}",
                "name",
                f"'{name}'",
                ", ".join(known),
                "name a batch or a material of the plan",
            )
        return known[name]

    def page(self, *, language: str = "english") -> str:
        """Give the plan as an HTML page that needs no network and prints; `gelwright.card.page` takes several plans.

        Parameters
        ----------
        language : str, optional
            The language of its card: "english" or "german".
        """
        return asked("card.page", {"plans": [self], "language": language}, plain)

    def _repr_html_(self) -> str:
        return asked("card.fragment", {"plan": self}, plain)


class CardFace(Noun):
    """A card is printed as it is read."""

    __slots__ = ()

    def __str__(self) -> str:
        return asked("card.text", self, plain)


class RiskFace(Noun):
    """The chance that a part comes out is printed in a few lines."""

    __slots__ = ()

    def __str__(self) -> str:
        return asked("card.risk", self, plain)


class ComparisonFace(Noun):
    """Castings side by side are printed as a table and drawn as bars."""

    __slots__ = ()

    def __str__(self) -> str:
        return asked("card.compared", self, plain)

    def _repr_svg_(self) -> str:
        return asked("card.compared_picture", self, plain)


class BatchFace(Noun):
    """What a batch does besides telling its fields."""

    __slots__ = ()

    @property
    def why(self) -> Why:
        """The chain behind its catalyst (its mass, where there is none); called with a material, the part about it."""
        made = part("source", "Why")(self._raw["why"])
        return made.called({p.material: p.name for p in self["parts"]})


class FindingFace(Noun):
    """What a limit says, as a sentence."""

    __slots__ = ()
    _columns = ("severity", "quantity", "subject", "value", "low", "high")

    def __str__(self) -> str:
        return "\n".join(_said(self))

    def __repr__(self) -> str:
        return str(self)


def _said(of: Noun) -> Iterator[str]:
    def told(raw: str) -> str:
        return show.measured(raw) or raw

    raw = of._raw
    bounds = [f"{word} {told(raw[name])}" for name, word in (("low", "at least"), ("high", "at most")) if name in raw]
    value = told(raw["value"]) if "value" in raw else "nobody can tell"
    severity = of["severity"] if of["broken"] else "kept"
    yield f"{severity}: {of['quantity'].replace('_', ' ')}, {of['subject']}: {value}" + (
        f" ({', '.join(bounds)})" if bounds else ""
    )
    if of["broken"]:
        yield f"  {of['message']}"
        yield f"  way out: {of['way_out']}"
    if of["slip"] is not None:
        yield f"  a slip of ten? {told(raw['slip']['meant'])} would be inside"
    if of["set_aside"]:
        yield "  set aside: the product's data sheet or this shop's measurement says otherwise"
    yield f"  says: {_source(of._raw['source'])}"


class BandFace(Noun):
    """How sure the numbers of an answer are, as a frame and as a list of what makes it."""

    __slots__ = ()

    def of(self, path: str) -> NumberBand | None:
        """Give the band of the number at a path ("batches[0].gel_time.time"); none where it does not move."""
        return next((n for n in self["numbers"] if n.path == path), None)

    def frame(self) -> pd.DataFrame:
        """Give the bands as a frame: a row a number, its path the index, quantities as text with their units."""
        import pandas as pd

        rows = [
            {
                "value": raw.get("value"),
                "standard_uncertainty": raw.get("standard_uncertainty"),
                "low": raw.get("low"),
                "high": raw.get("high"),
                "straightness": raw.get("straightness"),
                "settled": raw.get("settled"),
                "absent": raw.get("absent"),
                "drivers": ", ".join(f"{b['input']} {100 * b['part']:.0f} %" for b in raw["budget"]),
            }
            for raw in self._raw["numbers"]
        ]
        return pd.DataFrame(rows, index=pd.Index([raw["path"] for raw in self._raw["numbers"]], name="path"))

    def drivers(self, path: str | None = None) -> dict[str, float]:
        """Give what makes the band: each input's part of the variance, the largest first.

        Of the number at ``path``; without one the mean over all numbers that move.
        """
        numbers: list[Mapping[str, Any]] = [n for n in self._raw["numbers"] if path is None or n["path"] == path]
        if path is not None and not numbers:
            known = [str(n["path"]) for n in self._raw["numbers"]]
            raise UnknownNameError(
                f"'{path}' does not move; {meant(path, known)}",
                "path",
                f"'{path}'",
                ", ".join(known),
                "name a number that moves",
            )
        parts: dict[str, float] = {}
        for line in (line for n in numbers for line in n["budget"]):
            parts[line["input"]] = parts.get(line["input"], 0.0) + line["part"] / len(numbers)
        return dict(sorted(parts.items(), key=lambda item: -item[1]))

    def __repr__(self) -> str:
        lines = [f"{i['path']} = {i['written']}" for i in self._raw["inputs"]]
        raws = self._raw["numbers"]
        lines += [_banded(raw) for raw in raws[: show.LINES]]
        if len(raws) > show.LINES:
            lines.append(f"and {len(raws) - show.LINES} numbers more")
        if (refused := self._raw.get("refused")) is not None:
            lines.append(f"refused in {refused['share']} of the runs: {refused['first']}")
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        return f"<pre>{html.escape(repr(self))}</pre>"


def _banded(raw: Mapping[str, Any]) -> str:
    def told(name: str) -> str:
        return show.measured(raw[name]) or raw[name]

    said = f"{raw['path']}: " if raw["path"] else ""
    said += told("value") if "value" in raw else "none at the values"
    if "low" in raw and "high" in raw:
        said += f" ({told('low')} to {told('high')})"
    if "absent" in raw:
        said += f", absent in {told('absent')} of the runs"
    return said


class ProfilesFace(Noun):
    """Temperature and conversion over time and depth, as a frame and as a picture."""

    __slots__ = ()

    def frame(self) -> pd.DataFrame:
        """Give the temperatures, K: a row a time (s), a column a layer and a depth (m) in it."""
        import pandas as pd

        across = pd.MultiIndex.from_arrays([self["layer"], self["depth_m"]], names=["layer", "depth_m"])
        rows = np.array(self["temperature_k"], dtype=float).reshape(len(self["time_s"]), len(across))
        return pd.DataFrame(rows, index=pd.Index(self["time_s"], name="time_s"), columns=across)

    def plot(self, *names: str, x: str | None = None, ax: Axes | None = None) -> Axes:
        """Plot the temperature, °C, over hours and over millimetres from the first face."""
        import matplotlib.pyplot as plt

        if names or x is not None:
            raise ValueError("a profile is plotted whole: name no series")
        axes = plt.subplots()[1] if ax is None else ax
        celsius = self.frame().to_numpy().T - 273.15
        hours, depth = self["time_s"] / 3600, self["depth_m"] * 1000
        picture = axes.pcolormesh(hours, depth, celsius, shading="nearest", cmap="magma")
        axes.set_xlabel("hours")
        axes.set_ylabel("depth, mm")
        axes.figure.colorbar(picture, ax=axes, label="°C")
        return axes


class AirOfDayFace(Noun):
    """What is breathed over the day, as a picture."""

    __slots__ = ()

    def plot(self, *names: str, x: str | None = None, ax: Axes | None = None) -> Axes:
        """Plot one vapour's concentration over the clock, with its means over 15 min and 8 h and their limits.

        The name is an agent's id; the vapour nearest to a limit, where none is given. Solid lines are what is
        breathed (the near field) and its means, dotted ones the rest of the room and the same with the extraction off,
        dashed ones limits; a vertical line is the moment that breaks one. Computed, not measured.
        """
        import matplotlib.pyplot as plt
        from matplotlib.ticker import FuncFormatter, MultipleLocator

        if len(names) > 1 or x is not None:
            raise ValueError("the air is plotted over the clock, one vapour at a time: name one agent")
        told = self._exposure(names[0] if names else None)
        exposure, start = told["exposure"], self["start"]
        axes = plt.subplots(figsize=(9, 5), layout="constrained")[1] if ax is None else ax
        begins = _minutes(start)
        curve = exposure["curve"]
        hours = (begins + curve["minutes"]) / 60
        has_near = self["room"]["near_field"] is not None
        breathed = "at the work (near field)" if has_near else "in the room"
        shown = _shown(curve)
        axes.plot(hours, curve["ppm"], color="#1a1a1a", lw=1.6, label=breathed)
        if has_near:
            axes.plot(hours, curve["room_ppm"], color="#1a1a1a", lw=1.2, ls=":", label="rest of the room (far field)")
        axes.plot(hours, curve["mean_15_min_ppm"], color="#0b5fa5", lw=2, label="mean of the last 15 min")
        axes.plot(hours, curve["mean_8_h_ppm"], color="#b06000", lw=2, label="mean of the last 8 h")
        drawn = [curve["ppm"], curve["room_ppm"], curve["mean_15_min_ppm"], curve["mean_8_h_ppm"]]
        top = max(float(np.max(series)) for series in drawn if len(series))
        off = told["extraction_off"]
        if off is not None:
            highest = float(off["mean_15_min_ppm"].max())
            label = f"15 min mean, extraction off (up to {highest:.3g} ppm)"
            without = (begins + off["minutes"]) / 60
            axes.plot(without, off["mean_15_min_ppm"], color="#0b5fa5", lw=1.2, ls=(0, (1, 2)), label=label)
        above: list[str] = []
        before = -1.0
        for limit in sorted(exposure["limits"], key=lambda limit: float(limit["most"].m_as("ppm"))):
            level, over = limit["most"].m_as("ppm"), limit["over"]
            minutes = 0.0 if over is None else over.m_as("min")
            colour = "#0b5fa5" if 0 < minutes <= 15 else "#b06000" if minutes else "#6a6a6a"
            span = f"over {minutes:g} min" if minutes < 120 else f"over {minutes / 60:g} h"
            text = f"{limit['body']} {limit['year']}: {level:.3g} ppm {span if minutes else 'at any moment'}"
            if level > 2 * top:
                above.append(text)
                continue
            axes.axhline(level, color=colour, ls="--", lw=1)
            # One that lies close to the one before is named at the other end.
            close = before >= 0 and level - before < 0.05 * top
            where, align = (0.01, "left") if close else (0.99, "right")
            across = axes.get_yaxis_transform()
            named = axes.text(where, level, text, transform=across, ha=align, va="bottom", fontsize=8, color=colour)
            named.set_bbox({"facecolor": "white", "alpha": 0.8, "edgecolor": "none", "pad": 0.6})
            before = -1.0 if close else level
        for text in above:
            axes.plot([], [], " ", label=f"limit above the picture: {text}")
        if told["broken_at"] is not None:
            at = _minutes(told["broken_at"]) / 60
            axes.axvline(at, color="#b00020", lw=1.5, label=f"limit broken at {told['broken_at']}")
        within = [limit for limit in (float(m["most"].m_as("ppm")) for m in exposure["limits"]) if limit <= 2 * top]
        first, last = float(hours[shown[0]]), float(hours[shown[1]])
        axes.set_xlim(first, last)
        axes.set_ylim(0, 1.12 * max([top, *within]))
        step = next((s for s in (0.25, 0.5, 1, 2, 4, 8) if (last - first) / s <= 12), 24)
        axes.xaxis.set_major_locator(MultipleLocator(step))
        axes.xaxis.set_major_formatter(FuncFormatter(_clock))
        axes.set_xlabel("clock")
        axes.set_ylabel(f"{exposure['name']}, ppm")
        axes.set_title("Computed, not measured: no number here says that the air is safe", fontsize=9)
        axes.legend(fontsize=8, loc="upper center", bbox_to_anchor=(0.5, -0.12), ncols=2, frameon=False)
        return axes

    def _exposure(self, agent: str | None) -> Noun:
        """Give the exposure of an agent; of the one that comes nearest to a limit, where none is named."""
        told = list(self["exposures"])
        known = [e["exposure"]["agent"] for e in told]
        if agent is not None:
            if agent not in known:
                raise UnknownNameError(
                    f"agent: '{agent}'; known: {', '.join(known)}", "agent", agent, ", ".join(known), "name one of them"
                )
            return cast("Noun", told[known.index(agent)])
        if not told:
            raise ValueError("no vapour is followed in this air")

        def worst(exposure: Noun) -> float:
            limits = exposure["exposure"]["limits"]
            return max((float(limit["times"].m_as("")) for limit in limits), default=0.0)

        return cast("Noun", max(told, key=worst))


def _shown(curve: Noun) -> tuple[int, int]:
    """Give the points from just before the first vapour until a hundredth of it is left."""
    here = np.flatnonzero(curve["ppm"] > 0.01 * curve["ppm"].max())
    if not here.size:
        return 0, len(curve["ppm"]) - 1
    minutes = np.asarray(curve["minutes"], dtype=float)
    first = int(np.searchsorted(minutes, minutes[here[0]] - 15))
    last = int(np.searchsorted(minutes, minutes[here[-1]] + 15))
    return first, min(last, len(minutes) - 1)


def _clock(hours: float, _position: int | None = None) -> str:
    """Give the hours since midnight as a clock shows them."""
    return f"{int(hours) % 24:02d}:{round(hours % 1 * 60):02d}"


def _minutes(clock: Any) -> float:
    """Give the minutes from midnight of the first day of a text like '10:42' or '10:42 +1 d'."""
    time, _, days = str(clock).partition(" +")
    hours, _, minutes = time.partition(":")
    return float(hours) * 60 + float(minutes) + 1440 * float(days.removesuffix("d").strip() or 0)


class CupFace(Noun):
    """What a cup does besides telling its fields."""

    __slots__ = ()

    @property
    def why(self) -> Why:
        """The chain behind its catalyst; called with a word, the part that is about it."""
        return self["batch"].why
