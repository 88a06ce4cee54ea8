"""Nouns: what is given to the library and what it answers, frozen, comparable, picklable."""

from __future__ import annotations

import difflib
import importlib
import json
import math
import re
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn, Self, SupportsIndex, TypeVar, cast

import numpy as np

from . import _core, show, units
from .errors import DocumentError, NotFiniteError, UnknownNameError

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

    from .quantity import Band

__all__ = ["Banded", "Choice", "Noun", "Table", "asked", "spread_sampling"]

T = TypeVar("T", bound="Noun")
Made = Callable[[Any], Any]


def plain(raw: Any) -> Any:
    """Make a field of text, number or truth value; lists become tuples."""
    return tuple(cast("list[Any]", raw)) if isinstance(raw, list) else raw


def quantity(raw: Any) -> Any:
    """Make a pint quantity; of one that was given with its spread what was given."""
    return units.given(raw)


def money(raw: Any) -> Any:
    """Make an amount of money."""
    return units.Money.read(raw)


def array(raw: Any) -> Any:
    """Make a NumPy array that can not be written to."""
    made = np.asarray(raw, dtype=float)
    made.setflags(write=False)
    return made


def _class(room: str, name: str) -> type[Noun]:
    return cast("type[Noun]", getattr(importlib.import_module(f"{__package__}.{room}"), name))


def part(room: str, name: str) -> Made:
    """Make a noun, of the class named."""
    return lambda raw: _class(room, name)._of(raw)


def rows(room: str, name: str) -> Made:
    """Make a table of nouns, of the class named."""
    return lambda raw: Table(_class(room, name)._of(row) for row in raw)


def several(made: Made) -> Made:
    """Make a tuple."""
    return lambda raw: tuple(made(r) for r in raw)


def named(made: Made) -> Made:
    """Make a dictionary by name."""
    return lambda raw: {k: made(r) for k, r in cast("dict[str, Any]", raw).items()}


def meant(name: str, known: Iterable[str]) -> str:
    """Say which of the known names was probably meant, and which there are."""
    names = list(known)
    near = difflib.get_close_matches(name, names, 1)
    guess = f"did you mean '{near[0]}'? it has " if near else "it has "
    return guess + (", ".join(names) or "none")


# What the door adds to an answer.
_DOOR = ("made_with", "band")


class Noun:
    """What is given to the library, or what it answers.

    Its fields are attributes and items alike (``a.mass``, ``a["mass"]``, ``dict(a)``). ``raw`` is the JSON that it
    is made of, quantities as text with their units. It can not be changed (:meth:`changed` gives another one); two
    are equal if they are of one class and say the same.
    """

    __slots__ = ("_made", "_raw")
    _shape: ClassVar[Mapping[str, Made]] = {}
    _renamed: ClassVar[Mapping[str, str]] = {}
    # The columns of a table of them, where not all are wanted.
    _columns: ClassVar[tuple[str, ...]] = ()
    _defaults: ClassVar[Mapping[str, Any]] = {}
    # What the library calls it; a class of a caller's own has no such name, and nothing to be checked by.
    _noun: ClassVar[str] = ""
    _raw: dict[str, Any]
    _made: dict[str, Any]

    def __init__(self, given: Mapping[str, Any], /) -> None:
        self._set(self._checked(_json({k: v for k, v in given.items() if v is not None}, "")))

    @classmethod
    def _checked(cls, raw: Any) -> Any:
        """Refuse what the noun's table does not allow, with all mistakes."""
        if cls._noun:
            _core.check(cls._noun, json.dumps(raw, allow_nan=False))
        return raw

    def _set(self, raw: Any) -> None:
        object.__setattr__(self, "_raw", raw)
        object.__setattr__(self, "_made", {})

    @classmethod
    def _of(cls, raw: Any) -> Self:
        """Make one of the JSON of the library."""
        made = cls.__new__(cls)
        made._set(raw)
        return made

    @property
    def raw(self) -> dict[str, Any]:
        """A copy of the JSON that it is made of."""
        return json.loads(json.dumps(self._raw))

    @property
    def band(self) -> Band | None:
        """How sure the numbers of this answer are, where quantities of what was asked had a spread; else ``None``."""
        raw: Any = self._raw
        return _band(raw.get("band")) if isinstance(raw, dict) else None

    def __getitem__(self, name: str) -> Any:
        """Give a field by its name."""
        if name not in self._made:
            if name not in self._raw and name not in self._shape:
                raise KeyError(name)
            found = self._raw.get(name, self._defaults.get(name))
            make = self._shape.get(name, plain)
            self._made[name] = None if found is None else make(found)
        return self._made[name]

    def changed(self, changes: Mapping[str, Any] | None = None, /, **fields: Any) -> Self:
        """Give another one with some fields changed: by name, or each named by its path; ``None`` leaves a field out.

        >>> wall.changed(profiles=400)  # doctest: +SKIP
        >>> casting.changed({"shop.temperature": "21 degC", "zones[0].area": "0.03 m^2"})  # doctest: +SKIP
        """
        raw = self.raw
        for name, value in fields.items():
            known = self._renamed.get(name, name)
            if known not in self._shape:
                raise UnknownNameError(
                    f"{name}: {type(self).__name__} has no such field; {meant(name, self.keys())}",
                    name,
                    allowed=", ".join(self.keys()),
                    way_out=meant(name, self.keys()),
                )
            raw[known] = _json(value, name)
            if value is None:
                del raw[known]
        for path, value in (changes or {}).items():
            steps: list[Any] = [int(p) if p.isdigit() else p for p in re.split(r"[.\[\]]+", path.rstrip("]"))]
            *way, last = steps
            at: Any = raw
            try:
                for step in way:
                    at = at[step]
                at[last] = _json(value, path)
            except (KeyError, IndexError, TypeError) as e:
                raise UnknownNameError(
                    f"{path}: there is nothing there; write a path such as 'shop.temperature'",
                    path,
                    way_out="write a path such as 'shop.temperature' or 'zones[0].area'",
                ) from e
        return type(self)._of(raw)

    if not TYPE_CHECKING:  # a misspelt field is for the type checker to find

        def __getattr__(self, name: str) -> Any:
            if name.startswith("__"):
                raise AttributeError(name)
            try:
                return self[type(self)._renamed.get(name, name)]
            except KeyError:
                raise AttributeError(
                    f"{type(self).__name__} has no field '{name}'; {meant(name, self.keys())}", name=name, obj=self
                ) from None

    def __setattr__(self, name: str, value: Any) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} can not be changed: take what .changed(...) gives")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} can not be changed: take what .changed(...) gives")

    def keys(self) -> tuple[str, ...]:
        """List the names of the fields."""
        return (*self._shape, *(k for k in self._raw if k not in self._shape and k not in _DOOR))

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
        return type(self) is type(other) and self._raw == cast("Noun", other)._raw

    def __hash__(self) -> int:
        return hash((type(self), json.dumps(self._raw, sort_keys=True)))

    def __reduce__(self) -> tuple[Any, tuple[type[Noun], Any]]:
        return _again, (type(self), self._raw)

    def __repr__(self) -> str:
        return show.text(self)

    def _repr_html_(self) -> str:
        return show.table(self)

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


class Choice(Noun):
    """One of several shapes: ``kind`` tells which, ``content`` what it holds where it is one thing."""

    __slots__ = ()
    _variants: ClassVar[Mapping[str, Any]] = {}
    _tag: ClassVar[str | None] = None
    _raw: Any

    @classmethod
    def _chosen(cls, name: str, content: Any) -> Self:
        if content is None:
            raw: Any = {cls._tag: name} if cls._tag else name
        else:
            inner = _json(content, name)
            if isinstance(content, Mapping):
                inner = {k: v for k, v in cast("dict[str, Any]", inner).items() if v is not None}
            raw = {cls._tag: name, **inner} if cls._tag else {name: inner}
        return cls._of(cls._checked(raw))

    def __init__(self, given: Any, /) -> None:
        self._set(self._checked(_json(given, "")))

    @property
    def raw(self) -> Any:
        """A copy of the JSON that it is made of."""
        return json.loads(json.dumps(self._raw))

    def _kind(self) -> str:
        if not isinstance(self._raw, dict):
            return str(self._raw)
        fields = cast("dict[str, Any]", self._raw)
        return str(fields[self._tag] if self._tag else next(iter(fields)))

    def _inner(self) -> dict[str, Any]:
        found: Any = self._raw
        if isinstance(found, dict) and not self._tag:
            found = next(iter(cast("dict[str, Any]", found).values()))
        fields = cast("dict[str, Any]", found if isinstance(found, dict) else {})
        return {k: v for k, v in fields.items() if k != self._tag}

    def __getitem__(self, name: str) -> Any:
        """Give a field by its name."""
        if name == "kind":
            return self._kind()
        make: Any = self._variants.get(self._kind())
        if name == "content":
            return make(next(iter(self._raw.values()))) if callable(make) else None
        if isinstance(make, dict):
            found = self._inner().get(name)
            if name in make:
                return None if found is None else cast("dict[str, Made]", make)[name](found)
        if any(isinstance(m, dict) and name in m for m in self._variants.values()):
            return None
        raise KeyError(name)

    def keys(self) -> tuple[str, ...]:
        """List the names of the fields."""
        make = self._variants.get(self._kind())
        if isinstance(make, dict):
            return ("kind", *cast("dict[str, Any]", make))
        return ("kind",) if make is None else ("kind", "content")


def _again(cls: type[Noun], raw: Any) -> Noun:
    return cls._of(raw)


class Table(tuple[T, ...]):
    """Nouns of one kind in a row: a tuple that becomes a pandas frame."""

    __slots__ = ()

    def __reduce_ex__(self, protocol: SupportsIndex) -> tuple[type[Table[T]], tuple[tuple[T, ...]]]:
        return type(self), (tuple(self),)

    def frame(self) -> pd.DataFrame:
        """Give the rows as a frame: a quantity is a column of numbers with the unit in its name."""
        import pandas as pd

        return pd.DataFrame(show.columns(self))

    def __repr__(self) -> str:
        return show.listing(self)

    def _repr_html_(self) -> str:
        return show.rows(self)


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
    if isinstance(value, Noun):
        return value.raw
    if isinstance(value, Mapping):
        given = cast("Mapping[str, Any]", value)
        return {str(k): _json(v, f"{field}.{k}" if field else str(k)) for k, v in given.items() if v is not None}
    if isinstance(value, list | tuple):
        return [_json(v, f"{field}[{i}]") for i, v in enumerate(cast("list[Any]", value))]
    if isinstance(value, units.Money):
        return f"{value.amount!r} {value.currency}"
    if isinstance(value, units.Spread):
        return value.text
    if isinstance(value, units.HasUnit):
        return units.spread_text(value, field)
    if isinstance(value, np.ndarray | np.generic):
        return _json(cast("Any", value).tolist(), field)
    if hasattr(value, "nominal_value"):
        # A field without a unit reads it; any other refuses it, and says what to write.
        return units.number_text(value, field)
    raise DocumentError(
        f"{field}: a {type(value).__name__} can not be given here; give text, a number, a quantity, a list or a dict",
        field,
        repr(value),
        way_out="give text, a number, a quantity, a list or a dict",
    )


@dataclass(frozen=True)
class Banded:
    """An answer that is no noun (one quantity, a list), with its band."""

    value: Any
    band: Band


def _band(raw: Any) -> Band | None:
    return None if raw is None else cast("Band", _class("quantity", "Band")._of(raw))


_sampling: ContextVar[Mapping[str, int | bool] | None] = ContextVar("_sampling", default=None)


@contextmanager
def spread_sampling(
    *,
    points: int | None = None,
    scramblings: int | None = None,
    seed: int | None = None,
    indices: bool | None = None,
    digits: int | None = None,
) -> Generator[None]:
    """Say how spreads are carried through to the answers of what is asked within.

    >>> with spread_sampling(points=256, seed=1):  # doctest: +SKIP
    ...     plan = casting.plan()

    Parameters
    ----------
    points : int, optional
        Points of each scrambling, a power of two, 64 at least; 0 for first order alone. 1024; where the question may
        take long 64.
    scramblings : int, optional
        Independent scramblings, 2 at least. 8; where the question may take long 4.
    seed : int, optional
        Where the scramblings come from: the same seed, the same answer. 0.
    indices : bool, optional
        Whether Sobol' indices are sampled, too: as many runs again for each spread, and once more. False.
    digits : int, optional
        Significant digits of the standard uncertainty that matter, 1 or 2. 1.
    """
    given = {"points": points, "scramblings": scramblings, "seed": seed, "indices": indices, "digits": digits}
    token = _sampling.set({k: v for k, v in given.items() if v is not None})
    try:
        yield
    finally:
        _sampling.reset(token)


def asked(question: str, request: Noun | Mapping[str, Any], made: Made) -> Any:
    """Ask a question and give its answer as `made` makes it. What is ``None`` counts as not given."""
    raw: Any = request._raw if isinstance(request, Noun) else _json(request, "")
    if (sampling := _sampling.get()) is not None and "spread_sampling" not in raw:
        raw = {**raw, "spread_sampling": sampling}
    answer = json.loads(_core.ask(question, json.dumps(raw, allow_nan=False)))
    if "value" not in answer or set(answer) - {"value", *_DOOR}:
        return made(answer)
    value = made(answer["value"])
    band = _band(answer.get("band"))
    return value if band is None or isinstance(value, Noun) else Banded(value, band)
