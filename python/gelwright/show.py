"""How nouns are shown: as text in a terminal, as HTML in a notebook, as columns of a frame."""

from __future__ import annotations

import html
import math
from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from . import noun, units

if TYPE_CHECKING:
    from .noun import Noun, Table

# Lines and columns that a noun takes at most where it is shown as text.
LINES = 18
WIDTH = 100

# A unit that says little at the bench: from which number on which other unit is shown, and its factor.
_WORKSHOP: dict[str, tuple[tuple[float, str, float], ...]] = {
    "s": ((259200.0, "d", 1 / 86400), (7200.0, "h", 1 / 3600), (120.0, "min", 1 / 60)),
    "min": ((120.0, "h", 1 / 60),),
    "h": ((72.0, "d", 1 / 24),),
    "kg": ((1.0, "kg", 1.0), (0.0, "g", 1e3)),
    "g": ((1000.0, "kg", 1e-3),),
    "m": ((1.0, "m", 1.0), (1e-4, "mm", 1e3), (0.0, "um", 1e6)),
    "mm": ((1000.0, "m", 1e-3), (0.1, "mm", 1.0), (0.0, "um", 1e3)),
    "m^2": ((1.0, "m^2", 1.0), (0.0, "cm^2", 1e4)),
    "mL": ((1000.0, "L", 1e-3),),
    "Pa": ((1e9, "GPa", 1e-9), (1e6, "MPa", 1e-6), (1e3, "kPa", 1e-3)),
    "Pa*s": ((1.0, "Pa*s", 1.0), (0.0, "mPa*s", 1e3)),
    "kg/m^3": ((0.0, "g/mL", 1e-3),),
    "N/m": ((1.0, "N/m", 1.0), (0.0, "mN/m", 1e3)),
    "J": ((1000.0, "kJ", 1e-3),),
    "J/kg": ((1000.0, "kJ/kg", 1e-3),),
}


def workshop(text: str) -> str:
    """Write a quantity in the units of the bench, to four figures; one with its spread as it was given."""
    if units.is_spread(text):
        return text
    number, unit = units.split(text)
    for least, other, factor in _WORKSHOP.get(unit, ()):
        if number and abs(number) >= least:
            number, unit = number * factor, other
            break
    return f"{number:.4g} {unit}".rstrip()


def measured(text: str) -> str | None:
    """Write a text that is a number with a unit, or money, as the bench does; nothing for any other text."""
    try:
        number, unit = units.split(text)
    except ValueError:
        return None
    if units.is_currency(unit):
        return f"{number:.2f} {unit}"
    return workshop(text) if units.is_unit(unit) else None


def _series(series: Any) -> str:
    """Write how many values there are, and between which those that are there lie."""
    known = series[np.isfinite(series)]
    if not known.size:
        return "no values"
    return f"{known.size} value{'s' if known.size > 1 else ''}, {known.min():.4g} to {known.max():.4g}"


def _cut(text: str, room: int) -> str:
    return text if len(text) <= room else text[: max(room - 1, 0)] + "…"


def _value(raw: Any, value: Any, made: Any, room: int) -> str:
    """Write a value within so many characters."""
    if isinstance(raw, str) and not isinstance(value, noun.Noun):
        told = workshop(raw) if made is noun.quantity else measured(raw)
        return told if told is not None else repr(_cut(raw, room - 2))
    if isinstance(value, noun.Noun):
        return _line(value, room)
    if isinstance(raw, float):
        return f"{raw:.4g}"
    if isinstance(value, np.ndarray):
        return _series(cast("Any", value))
    if isinstance(value, tuple):
        return _listed(cast("tuple[Any, ...]", value), raw, room)
    if isinstance(value, dict):
        names = [str(k) for k in cast("dict[str, Any]", value)]
        return "{" + _as_many(names, room - 2) + "}"
    return _cut(str(value), room)


def _as_many(pieces: list[str], room: int) -> str:
    """Join what fits; "..." stands for the rest."""
    kept: list[str] = []
    left = room
    for i, piece in enumerate(pieces):
        last = i + 1 == len(pieces)
        if len(piece) + (0 if last else 5) > left:
            return ", ".join([*kept, "..."])
        kept.append(piece)
        left -= len(piece) + 2
    return ", ".join(kept)


def _listed(items: tuple[Any, ...], raw: Any, room: int) -> str:
    """Write a list: what the rows are called, or how many there are."""
    if not items or not isinstance(items[0], noun.Noun):
        pieces = [_value(r, v, None, room) for r, v in zip(raw or (), items, strict=True)]
        told = _as_many(pieces, room - 2)
        return f"[{told}]" if told != "..." else f"[{len(items)} of them]"
    rows_ = cast("tuple[Noun, ...]", items)
    kind = type(rows_[0]).__name__
    if "severity" in rows_[0]._shape:
        counts = Counter(str(row["severity"]) for row in rows_)
        return f"{len(rows_)} {kind}: " + ", ".join(f"{n} {severity}" for severity, n in counts.items())
    names = [_name(row) for row in rows_]
    told = _as_many([n or "" for n in names], room - len(kind) - 6)
    return f"{len(names)} {kind}: {told}" if all(names) and told != "..." else f"{len(names)} {kind}"


# What a row of a table goes by, the first of these that it has.
_NAMES = ("name", "zone", "seam", "casting", "material", "about", "recipe")


def _name(row: Noun) -> str | None:
    found = [_given(row, k) for k in _NAMES if k in row._shape]
    return found[0] if found and isinstance(found[0], str) else None


def _given(of: Noun, name: str) -> Any:
    """Give a field as it was given."""
    raw = cast("Any", of._raw)
    return cast("dict[str, Any]", raw).get(name) if isinstance(raw, dict) else None


def _attribute(of: Noun, name: str) -> str:
    """Give the name that is typed for a field."""
    return next((a for a, n in type(of)._renamed.items() if n == name), name)


def _brief(of: Noun, name: str, room: int) -> str:
    """Write a field within so many characters."""
    raw = of._raw.get(name, of._defaults.get(name))
    return _value(raw, of[name], type(of)._shape.get(name), room)


def _told(of: Noun) -> list[str]:
    """List the fields that say something."""
    return [k for k in of.keys() if k != "why" and not _empty(of[k])]


def _empty(value: Any) -> bool:
    return value is None or (isinstance(value, tuple) and all(v is None for v in cast("tuple[Any, ...]", value)))


def _line(of: Noun, room: int) -> str:
    """Write a noun as it is made, as many of its fields as fit."""
    if isinstance(of, noun.Choice):
        return _chosen(of, room)
    head = type(of).__name__
    room -= len(head) + 2
    pieces = [f"{_attribute(of, k)}={_brief(of, k, room // 2)}" for k in _told(of)]
    return f"{head}({_as_many(pieces, room)})"


def _chosen(of: noun.Choice, room: int) -> str:
    kind, made = of["kind"], type(of)._variants.get(of["kind"])
    head = f"{type(of).__name__}.{kind}"
    if kind not in type(of)._variants:  # a number with its unit alone
        return _value(of._raw, None, None, room)
    if made is None:
        return f"{head}()"
    room -= len(head) + 2
    if callable(made):
        return f"{head}({_value(next(iter(of._raw.values())), of['content'], made, room)})"
    inner = of._inner()
    pieces = [
        f"{k}={_value(inner[k], of[k], made[k], room // 2)}" for k in of.keys() if k != "kind" and of[k] is not None
    ]
    return f"{head}({_as_many(pieces, room)})"


def text(of: Noun) -> str:
    """Write a noun: on one line where it fits, else a line a field."""
    if len(line := _line(of, 100 * WIDTH)) <= WIDTH:
        return line
    if isinstance(of, noun.Choice):
        return _line(of, WIDTH)
    names = _told(of)
    kept = names if len(names) <= LINES else names[: LINES - 1]
    wide = max(len(_attribute(of, k)) for k in kept)
    room = WIDTH - wide - 4
    lines = [type(of).__name__, *(f"  {_attribute(of, k):<{wide}}  {_brief(of, k, room)}" for k in kept)]
    if len(kept) < len(names):
        lines.append(_cut(f"  and {', '.join(names[len(kept) :])}", WIDTH))
    return "\n".join(lines)


def listing(of: Table[Any]) -> str:
    """Write a table of nouns: a row each, as many columns as fit."""
    if not of:
        return "no rows"
    first = cast("Noun", of[0])
    shown = cast("list[Noun]", list(of if len(of) <= LINES - 2 else of[: LINES - 3]))
    lines, left, missing = ["  ", *(f"{i:>2}" for i in range(len(shown)))], WIDTH - 2, list[str]()
    names = [k for k in type(first)._columns or first.keys() if k != "why"]
    for k in names:
        cells = [_attribute(first, k), *(_entry(row, k, left - 2 if k == names[-1] else WIDTH // 3) for row in shown)]
        wide = max(map(len, cells))
        inside = any(isinstance(row[k], noun.Noun) for row in shown if k in row)
        if not inside and not any(cells[1:]):
            continue
        if inside or wide + 2 > left:
            missing.append(cells[0])
            continue
        lines = [f"{line}  {cell:<{wide}}" for line, cell in zip(lines, cells, strict=True)]
        left -= wide + 2
    lines.insert(0, f"{len(of)} {type(first).__name__}")
    if len(shown) < len(of):
        lines.append(f"  and {len(of) - len(shown)} more")
    if missing:
        lines.append(_cut(f"  of each also: {', '.join(missing)}", WIDTH))
    return "\n".join(line.rstrip() for line in lines)


def _entry(row: Noun, name: str, room: int) -> str:
    """Write a cell of a table."""
    if name not in row or row[name] is None:
        return ""
    raw = _given(row, name)
    if isinstance(raw, str) and not isinstance(row[name], noun.Noun):
        return measured(raw) or _cut(raw, room)
    if isinstance(raw, list) and all(isinstance(r, str) for r in cast("list[Any]", raw)):
        return _as_many([measured(r) or r for r in cast("list[str]", raw)], room)
    return _value(raw, row[name], type(row)._shape.get(name), room)


def columns(table: Table[Any]) -> dict[str, list[Any]]:
    """Give the rows as columns: a quantity is a column of numbers with the unit in its name."""
    found: dict[str, list[Any]] = {}
    rows_flat = [dict(_flat(row, "")) for row in table]
    for name in dict.fromkeys(k for row in rows_flat for k in row):
        cells = [row.get(name) for row in rows_flat]
        tagged = [c for c in cells if isinstance(c, _Tagged)]
        if tagged and (len({c.unit for c in tagged}) == 1 or all(c.like(tagged[0]) for c in tagged)):
            unit = tagged[0].unit
            found[f"{name} [{unit}]" if unit else name] = [
                c.number_in(unit) if isinstance(c, _Tagged) else math.nan for c in cells
            ]
        else:
            found[name] = [c.text if isinstance(c, _Tagged) else c for c in cells]
    return found


class _Tagged:
    """A quantity or an amount of money as text, split."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.number, self.unit = units.split(text)
        self.currency = units.is_currency(self.unit)

    def like(self, other: _Tagged) -> bool:
        """Whether both measure the same; two currencies do not."""
        if self.currency or other.currency:
            return self.unit == other.unit
        return units.quantity(self.text).is_compatible_with(units.quantity(other.text))

    def number_in(self, unit: str) -> float:
        if unit == self.unit:
            return self.number
        wanted = units.quantity(f"1 {unit}").units
        return float(units.quantity(self.text).to(wanted).magnitude)


def _flat(row: Noun, prefix: str) -> Iterator[tuple[str, Any]]:
    """Yield the cells of a row; the fields of an answer inside go by a dotted name; the chain is left out."""
    for name in row.keys():
        raw = row._raw.get(name)
        made = type(row)._shape.get(name, noun.plain)
        if made in (noun.quantity, noun.money) and raw is not None and not units.is_spread(raw):
            yield prefix + name, _Tagged(cast("str", raw))
            continue
        value = row[name]
        if hasattr(value, "chain"):
            continue
        if isinstance(value, noun.Noun):
            yield from _flat(value, f"{prefix}{name}.")
        else:
            yield prefix + name, value


_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def _shown(text: str) -> str:
    """Write a quantity for reading: in the units of the bench, powers raised."""
    if units.is_spread(text):
        return text
    number, unit = units.split(workshop(text))
    head, *powers = unit.split("^")
    for p in powers:
        n = len(p) - len(p.lstrip("-0123456789"))
        head += p[:n].translate(_POWERS) + p[n:]
    return f"{number:.4g} {head.replace('*', '·')}".rstrip()


def _cell(answer: Noun, name: str) -> str:
    value = answer[name]
    made = type(answer)._shape.get(name, noun.plain)
    if value is None:
        return ""
    if made is noun.quantity:
        return html.escape(_shown(answer._raw[name]))
    if hasattr(value, "chain"):
        return f"<details><summary>why</summary>{value._repr_html_()}</details>"
    if isinstance(value, noun.Table):
        return rows(cast("Table[Noun]", value))
    if isinstance(value, noun.Noun):
        return table(value)
    if isinstance(value, np.ndarray):
        return _series(cast("Any", value))
    if isinstance(value, tuple):
        return "<br>".join(html.escape(str(v)) for v in cast("tuple[Any, ...]", value))
    if isinstance(value, str):
        return html.escape(value if measured(value) is None else _shown(value))
    return html.escape(f"{value:.4g}" if isinstance(value, float) else str(value))


def table(answer: Noun) -> str:
    """Write a noun as an HTML table, a row a field."""
    lines = "".join(
        f"<tr><th style='text-align:left'>{html.escape(name.replace('_', ' '))}</th>"
        f"<td style='text-align:left'>{_cell(answer, name)}</td></tr>"
        for name in answer.keys()
        if answer[name] is not None
    )
    return f"<table>{lines}</table>"


def rows(of: Table[Any]) -> str:
    """Write a table of nouns as an HTML table, a row each."""
    names = list(dict.fromkeys(name for row in of for name in cast("Noun", row).keys()))
    head = "".join(f"<th>{html.escape(n.replace('_', ' '))}</th>" for n in names)
    body = "".join(
        "<tr>" + "".join(f"<td>{_cell(row, n) if n in row else ''}</td>" for n in names) + "</tr>" for row in of
    )
    return f"<table><tr>{head}</tr>{body}</table>"
