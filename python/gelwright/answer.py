"""Answers: frozen, comparable, picklable, with quantities, arrays and tables made when they are asked for."""

from __future__ import annotations

import html
import json
import math
import sys
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn, SupportsIndex, TypeVar, cast

import numpy as np

from . import _core, units
from .errors import DocumentError, NotFiniteError

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

__all__ = ["Answer", "Chain", "Table", "ask_as"]

T = TypeVar("T", bound="Answer")
Made = Callable[[Any, "type[Answer]"], Any]


def plain(raw: Any, _owner: type[Answer]) -> Any:
    """Make a field of text, number or truth value; lists become tuples."""
    return tuple(cast("list[Any]", raw)) if isinstance(raw, list) else raw


def quantity(raw: Any, _owner: type[Answer]) -> Any:
    """Make a pint quantity."""
    return units.quantity(raw)


def money(raw: Any, _owner: type[Answer]) -> Any:
    """Make an amount of money."""
    return units.Money.read(raw)


def array(raw: Any, _owner: type[Answer]) -> Any:
    """Make a NumPy array that can not be written to."""
    made = np.asarray(raw, dtype=float)
    made.setflags(write=False)
    return made


def _class(name: str, owner: type[Answer]) -> type[Answer]:
    return cast("type[Answer]", getattr(sys.modules[owner.__module__], name))


def part(name: str) -> Made:
    """Make an answer inside an answer, of the class named."""
    return lambda raw, owner: _class(name, owner)(raw)


def rows(name: str) -> Made:
    """Make a table of answers, of the class named."""
    return lambda raw, owner: Table(_class(name, owner)(row) for row in raw)


def several(made: Made) -> Made:
    """Make a tuple."""
    return lambda raw, owner: tuple(made(r, owner) for r in raw)


def named(made: Made) -> Made:
    """Make a dictionary by name."""
    return lambda raw, owner: {k: made(r, owner) for k, r in cast("dict[str, Any]", raw).items()}


def one_of(makers: dict[str, Made]) -> Made:
    """Make one of several shapes, told by its only key or by the word in one of its fields."""

    def make(raw: Any, owner: type[Answer]) -> Any:
        if not isinstance(raw, dict):
            return raw
        given = cast("dict[str, Any]", raw)
        for name in (*given, *(v for v in given.values() if isinstance(v, str))):
            if name in makers:
                return makers[name](given, owner)
        return given

    return make


class Answer:
    """An answer of the library.

    Its fields are attributes and items alike (``a.mass``, ``a["mass"]``, ``dict(a)``). ``raw`` is the JSON that it
    was made of, quantities as text with their units. It can not be changed; two answers are equal if they are of
    one class and say the same.
    """

    __slots__ = ("_made", "_raw")
    _fields: ClassVar[Mapping[str, Made]] = {}
    _renamed: ClassVar[Mapping[str, str]] = {}
    _raw: dict[str, Any]
    _made: dict[str, Any]

    def __init__(self, raw: Mapping[str, Any], /) -> None:
        object.__setattr__(self, "_raw", dict(raw))
        object.__setattr__(self, "_made", {})

    @property
    def raw(self) -> dict[str, Any]:
        """A copy of the JSON that the answer was made of."""
        return json.loads(json.dumps(self._raw))

    def __getitem__(self, name: str) -> Any:
        """Give a field by its name."""
        if name not in self._made:
            if name not in self._raw and name not in self._fields:
                raise KeyError(name)
            found = self._raw.get(name)
            make = self._fields.get(name, plain)
            self._made[name] = None if found is None else make(found, type(self))
        return self._made[name]

    if not TYPE_CHECKING:  # a misspelt field is for the type checker to find

        def __getattr__(self, name: str) -> Any:
            if name.startswith("__"):
                raise AttributeError(name)
            try:
                return self[type(self)._renamed.get(name, name)]
            except KeyError:
                raise AttributeError(
                    f"{type(self).__name__} has no field '{name}'; it has {', '.join(self.keys())}", name=name, obj=self
                ) from None

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is an answer: it can not be changed")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is an answer: it can not be changed")

    def keys(self) -> tuple[str, ...]:
        """List the names of the fields."""
        return (*self._fields, *(k for k in self._raw if k not in self._fields))

    def __iter__(self) -> Iterator[str]:
        return iter(self.keys())

    def __len__(self) -> int:
        return len(self.keys())

    def __contains__(self, name: object) -> bool:
        return name in self.keys()

    def __dir__(self) -> list[str]:
        attributes = {original: attribute for attribute, original in self._renamed.items()}
        return sorted({*object.__dir__(self), *(attributes.get(k, k) for k in self.keys())})

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and self._raw == cast("Answer", other)._raw

    def __hash__(self) -> int:
        return hash((type(self), json.dumps(self._raw, sort_keys=True)))

    def __reduce__(self) -> tuple[type[Answer], tuple[dict[str, Any]]]:
        return type(self), (self._raw,)

    def __repr__(self) -> str:
        shown = ", ".join(f"{k}={_brief(v)}" for k, v in self._raw.items() if k != "why")
        return f"{type(self).__name__}({shown})"

    def _repr_html_(self) -> str:
        return _table_of(self)

    def frame(self) -> pd.DataFrame:
        """Give the series of the answer (arrays of one length) as a frame, a column each.

        Raises ``ValueError`` if the answer has no series.
        """
        import pandas as pd

        series = {k: self[k] for k in self.keys() if isinstance(self[k], np.ndarray)}
        lengths = {len(v) for v in series.values()}
        if len(lengths) != 1:
            raise ValueError(f"{type(self).__name__} has {len(series)} series, of lengths {sorted(lengths)}")
        return pd.DataFrame(series)

    def plot(self, *names: str, x: str | None = None, ax: Axes | None = None) -> Axes:
        """Plot series of the answer over the series ``x`` (the first one where none is named)."""
        import matplotlib.pyplot as plt

        data = self.frame()
        columns = [str(c) for c in data.columns]
        across = columns[0] if x is None else x
        axes = plt.subplots()[1] if ax is None else ax
        chosen = names or tuple(c for c in columns if c != across)
        for name in chosen:
            axes.plot(data[across].to_numpy(), data[name].to_numpy(), label=name)
        axes.set_xlabel(across)
        if len(chosen) == 1:
            axes.set_ylabel(chosen[0])
        else:
            axes.legend()
        return axes


class Chain(Answer):
    """What an answer was computed from, on whose word; printed as an indented chain."""

    __slots__ = ()

    def __str__(self) -> str:
        return "\n".join(_chain(self._raw, 0))

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


class Table(tuple[T, ...]):
    """Answers of one kind in a row: a tuple that becomes a pandas frame."""

    __slots__ = ()

    def __reduce_ex__(self, protocol: SupportsIndex) -> tuple[type[Table[T]], tuple[tuple[T, ...]]]:
        return type(self), (tuple(self),)

    def frame(self) -> pd.DataFrame:
        """Give the rows as a frame: a quantity is a column of numbers with the unit in its name."""
        import pandas as pd

        columns: dict[str, list[Any]] = {}
        rows_flat = [dict(_flat(row, "")) for row in self]
        for name in dict.fromkeys(k for row in rows_flat for k in row):
            cells = [row.get(name) for row in rows_flat]
            found = [c for c in cells if isinstance(c, _Tagged)]
            if found and (not found[0].currency or len({c.unit for c in found}) == 1):
                unit = found[0].unit
                columns[f"{name} [{unit}]" if unit else name] = [
                    c.number_in(unit) if isinstance(c, _Tagged) else math.nan for c in cells
                ]
            else:
                columns[name] = [c.text if isinstance(c, _Tagged) else c for c in cells]
        return pd.DataFrame(columns)

    def _repr_html_(self) -> str:
        return _rows_html(self)


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


def _flat(row: Answer, prefix: str) -> Iterator[tuple[str, Any]]:
    """Yield the cells of a row; the fields of an answer inside go by a dotted name; the chain is left out."""
    for name in row.keys():
        raw = row._raw.get(name)
        made = type(row)._fields.get(name, plain)
        if made in (quantity, money) and raw is not None:
            yield prefix + name, _Tagged(cast("str", raw))
            continue
        value = row[name]
        if isinstance(value, Chain):
            continue
        if isinstance(value, Answer):
            yield from _flat(value, f"{prefix}{name}.")
        else:
            yield prefix + name, value


def _brief(raw: Any) -> str:
    if isinstance(raw, list):
        return f"[{len(cast('list[Any]', raw))} of them]" if len(cast("list[Any]", raw)) > 6 else repr(cast("Any", raw))
    return "{...}" if isinstance(raw, dict) else repr(raw)


_POWERS = str.maketrans("0123456789-", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")


def _shown(text: str) -> str:
    """Write a quantity for reading: six figures, powers raised."""
    number, unit = units.split(text)
    head, *powers = unit.split("^")
    for p in powers:
        n = len(p) - len(p.lstrip("-0123456789"))
        head += p[:n].translate(_POWERS) + p[n:]
    return f"{number:.6g} {head.replace('*', '·')}".rstrip()


def _cell(answer: Answer, name: str) -> str:
    value = answer[name]
    made = type(answer)._fields.get(name, plain)
    if value is None:
        return ""
    if made is quantity:
        return html.escape(_shown(answer._raw[name]))
    if isinstance(value, Chain):
        return f"<details><summary>why</summary>{value._repr_html_()}</details>"
    if isinstance(value, Table):
        return _rows_html(cast("Table[Answer]", value))
    if isinstance(value, Answer):
        return _table_of(value)
    if isinstance(value, np.ndarray):
        series = cast("Any", value)
        return f"{len(series)} values, {series.min():.6g} to {series.max():.6g}" if len(series) else "no values"
    if isinstance(value, tuple):
        return "<br>".join(html.escape(str(v)) for v in cast("tuple[Any, ...]", value))
    return html.escape(f"{value:.6g}" if isinstance(value, float) else str(value))


def _table_of(answer: Answer) -> str:
    lines = "".join(
        f"<tr><th style='text-align:left'>{html.escape(name.replace('_', ' '))}</th>"
        f"<td style='text-align:left'>{_cell(answer, name)}</td></tr>"
        for name in answer.keys()
        if answer[name] is not None
    )
    return f"<table>{lines}</table>"


def _rows_html(table: Table[Any]) -> str:
    names = list(dict.fromkeys(name for row in table for name in cast("Answer", row).keys()))
    head = "".join(f"<th>{html.escape(n.replace('_', ' '))}</th>" for n in names)
    body = "".join(
        "<tr>" + "".join(f"<td>{_cell(row, n) if n in row else ''}</td>" for n in names) + "</tr>" for row in table
    )
    return f"<table><tr>{head}</tr>{body}</table>"


def _json(value: Any, field: str) -> Any:
    """Make JSON of what was given for a field."""
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        if not math.isfinite(value):
            raise NotFiniteError(
                f"{field}: {value} is not a finite number", field, str(value), way_out="give a finite number"
            )
        return value
    if isinstance(value, Answer):
        return value.raw
    if isinstance(value, Mapping):
        given = cast("Mapping[str, Any]", value)
        return {str(k): _json(v, f"{field}.{k}" if field else str(k)) for k, v in given.items() if v is not None}
    if isinstance(value, list | tuple):
        return [_json(v, f"{field}[{i}]") for i, v in enumerate(cast("list[Any]", value))]
    if isinstance(value, units.Money):
        return f"{value.amount!r} {value.currency}"
    if isinstance(value, units.HasUnit):
        return units.text(value, field)
    if isinstance(value, np.ndarray | np.generic):
        return _json(cast("Any", value).tolist(), field)
    raise DocumentError(
        f"{field}: a {type(value).__name__} can not be given here; give text, a number, a quantity, a list or a dict",
        field,
        repr(value),
        way_out="give text, a number, a quantity, a list or a dict",
    )


def ask_as(question: str, request: Mapping[str, Any], answer: type[T]) -> T:
    """Ask a question and give its answer in the class named. What is ``None`` counts as not given."""
    text = json.dumps(_json(request, ""), allow_nan=False)
    return answer(json.loads(_core.ask(question, text)))
