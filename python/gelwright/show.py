"""How nouns are shown: as text in a terminal, as HTML in a notebook, as columns of a frame."""

from __future__ import annotations

import html
import math
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
    "s": ((7200.0, "h", 1 / 3600), (120.0, "min", 1 / 60)),
    "min": ((120.0, "h", 1 / 60),),
    "kg": ((1.0, "kg", 1.0), (0.0, "g", 1e3)),
    "g": ((1000.0, "kg", 1e-3),),
    "m": ((1.0, "m", 1.0), (1e-4, "mm", 1e3), (0.0, "um", 1e6)),
    "m^2": ((1.0, "m^2", 1.0), (0.0, "cm^2", 1e4)),
    "mL": ((1000.0, "L", 1e-3),),
    "Pa": ((1e9, "GPa", 1e-9), (1e6, "MPa", 1e-6), (1e3, "kPa", 1e-3)),
    "Pa*s": ((1.0, "Pa*s", 1.0), (0.0, "mPa*s", 1e3)),
    "kg/m^3": ((0.0, "g/mL", 1e-3),),
    "J/kg": ((1000.0, "kJ/kg", 1e-3),),
}


def workshop(text: str) -> str:
    """Write a quantity in the units of the bench, to four figures."""
    number, unit = units.split(text)
    for least, other, factor in _WORKSHOP.get(unit, ()):
        if abs(number) >= least:
            number, unit = number * factor, other
            break
    return f"{number:.4g} {unit}".rstrip()


def _brief(of: Noun, name: str) -> str:
    """Write a field within a line."""
    raw = of._raw.get(name, of._defaults.get(name)) if isinstance(of._raw, dict) else None
    made = type(of)._fields.get(name)
    if isinstance(raw, str):
        if made is noun.quantity:
            return workshop(raw)
        return repr(raw if len(raw) <= 60 else raw[:59] + "…")
    if isinstance(raw, float):
        return f"{raw:.4g}"
    value = of[name]
    if isinstance(value, noun.Noun):
        whole = _line(value)
        return whole if len(whole) <= 60 else f"{type(value).__name__}(...)"
    if isinstance(value, np.ndarray):
        series = cast("Any", value)
        return f"{len(series)} values, {series.min():.4g} to {series.max():.4g}" if series.size else "no values"
    if isinstance(value, tuple):
        items = cast("tuple[Any, ...]", value)
        kinds = {type(v).__name__ for v in items}
        if items and isinstance(items[0], noun.Noun):
            return f"[{len(items)} {kinds.pop()}]"
        return repr(raw) if len(repr(raw)) <= 60 else f"[{len(items)} of them]"
    if isinstance(value, dict):
        return f"{{{len(cast('dict[str, Any]', value))} by name}}"
    return str(value)


def _told(of: Noun) -> list[str]:
    return [k for k in of.keys() if k != "why" and of[k] is not None and not (isinstance(of[k], tuple) and not of[k])]


def _line(of: Noun) -> str:
    if isinstance(of, noun.Choice):
        if of['kind'] not in of._variants:
            return repr(of._raw)
        rest = ", ".join(f"{k}={_piece(of, k)}" for k in of.keys() if k != "kind" and of[k] is not None)
        return f"{type(of).__name__}.{of['kind']}({rest})"
    return f"{type(of).__name__}({', '.join(f'{k}={_brief(of, k)}' for k in _told(of))})"


def _piece(of: Noun, name: str) -> str:
    value = of[name]
    return _line(value) if isinstance(value, noun.Noun) else str(value)


def text(of: Noun) -> str:
    """Write a noun: on one line where it fits, else a line a field."""
    line = _line(of)
    if len(line) <= WIDTH or isinstance(of, noun.Choice):
        return line
    names = _told(of)
    kept = names if len(names) <= LINES else names[: LINES - 1]
    wide = max(len(k) for k in kept)
    lines = [type(of).__name__, *(f"  {k:<{wide}}  {_brief(of, k)}" for k in kept)]
    if len(kept) < len(names):
        lines.append(f"  and {', '.join(names[len(kept) :])}")
    return "\n".join(cut if len(cut) <= 110 else cut[:109] + "…" for cut in lines)


def columns(table: Table[Any]) -> dict[str, list[Any]]:
    """Give the rows as columns: a quantity is a column of numbers with the unit in its name."""
    found: dict[str, list[Any]] = {}
    rows_flat = [dict(_flat(row, "")) for row in table]
    for name in dict.fromkeys(k for row in rows_flat for k in row):
        cells = [row.get(name) for row in rows_flat]
        tagged = [c for c in cells if isinstance(c, _Tagged)]
        if tagged and (not tagged[0].currency or len({c.unit for c in tagged}) == 1):
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
        self.currency = len(self.unit) == 3 and self.unit.isupper()

    def number_in(self, unit: str) -> float:
        if unit == self.unit:
            return self.number
        wanted = units.quantity(f"1 {unit}").units
        return float(units.quantity(self.text).to(wanted).magnitude)


def _flat(row: Noun, prefix: str) -> Iterator[tuple[str, Any]]:
    """Yield the cells of a row; the fields of an answer inside go by a dotted name; the chain is left out."""
    for name in row.keys():
        raw = row._raw.get(name)
        made = type(row)._fields.get(name, noun.plain)
        if made in (noun.quantity, noun.money) and raw is not None:
            yield prefix + name, _Tagged(cast("str", raw))
            continue
        value = row[name]
        if hasattr(value, 'chain'):
            continue
        if isinstance(value, noun.Noun):
            yield from _flat(value, f"{prefix}{name}.")
        else:
            yield prefix + name, value


_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def _shown(text: str) -> str:
    """Write a quantity for reading: six figures, powers raised."""
    number, unit = units.split(text)
    head, *powers = unit.split("^")
    for p in powers:
        n = len(p) - len(p.lstrip("-0123456789"))
        head += p[:n].translate(_POWERS) + p[n:]
    return f"{number:.6g} {head.replace('*', '·')}".rstrip()


def _cell(answer: Noun, name: str) -> str:
    value = answer[name]
    made = type(answer)._fields.get(name, noun.plain)
    if value is None:
        return ""
    if made is noun.quantity:
        return html.escape(_shown(answer._raw[name]))
    if hasattr(value, 'chain'):
        return f"<details><summary>why</summary>{value._repr_html_()}</details>"
    if isinstance(value, noun.Table):
        return rows(cast("Table[Noun]", value))
    if isinstance(value, noun.Noun):
        return table(value)
    if isinstance(value, np.ndarray):
        series = cast("Any", value)
        return f"{len(series)} values, {series.min():.6g} to {series.max():.6g}" if len(series) else "no values"
    if isinstance(value, tuple):
        return "<br>".join(html.escape(str(v)) for v in cast("tuple[Any, ...]", value))
    return html.escape(f"{value:.6g}" if isinstance(value, float) else str(value))


def table(answer: Noun) -> str:
    lines = "".join(
        f"<tr><th style='text-align:left'>{html.escape(name.replace('_', ' '))}</th>"
        f"<td style='text-align:left'>{_cell(answer, name)}</td></tr>"
        for name in answer.keys()
        if answer[name] is not None
    )
    return f"<table>{lines}</table>"


def rows(of: Table[Any]) -> str:
    names = list(dict.fromkeys(name for row in of for name in cast("Noun", row).keys()))
    head = "".join(f"<th>{html.escape(n.replace('_', ' '))}</th>" for n in names)
    body = "".join(
        "<tr>" + "".join(f"<td>{_cell(row, n) if n in row else ''}</td>" for n in names) + "</tr>" for row in of
    )
    return f"<table><tr>{head}</tr>{body}</table>"


