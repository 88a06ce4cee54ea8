"""Hypothesis strategies of the nouns: what a workshop's recipes and programs are property-tested with.

They are made from the tables that the library describes its nouns by (unit, range, default), as the strategies of the
Rust library are, and draw documents that the library reads. A quantity is drawn in steps of its workshop unit and
shrinks to a short one: "12 degC", "0.6 phr".

    >>> from hypothesis import given
    >>> import gelwright as gw
    >>> @given(gw.strategies.recipes("ortho_polyester"), gw.strategies.rooms())
    ... def test_what_we_mix(recipe, room): ...

Needs the extra ``hypothesis``: ``pip install gelwright[hypothesis]``.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar, cast

from . import _core, units
from .errors import GelwrightError, UnknownNameError
from .noun import Noun, asked, meant

try:
    from hypothesis import strategies as st
except ImportError as e:
    raise ImportError("gelwright.strategies needs Hypothesis: pip install gelwright[hypothesis]") from e

if TYPE_CHECKING:
    from hypothesis.strategies import SearchStrategy

    from .air import Room
    from .mix import Amount, Bench, Recipe
    from .plan import Casting, Shop

__all__ = [
    "amounts",
    "benches",
    "castings",
    "cold_shops",
    "documents",
    "nouns",
    "quantities",
    "recipes",
    "rooms",
    "shops",
]

N = TypeVar("N", bound=Noun)
Schema = dict[str, Any]
# Nouns within one another, beyond which what may be left out is.
_DEEPEST = 6
# A range as wide as this is drawn evenly over its powers of ten.
_WIDE = 100.0


@cache
def _tables() -> dict[str, Schema]:
    """Give the table of every noun that can be given, by its name."""
    found: dict[str, Schema] = {}
    for question in json.loads(_core.questions()):
        request = question["request"]
        for name, schema in request.get("$defs", {}).items():
            found.setdefault(name, schema)
        title = request.get("title", "")
        if title and "." not in title:
            own = {k: v for k, v in request.items() if k not in ("$defs", "$schema", "title")}
            own["properties"] = {k: v for k, v in own.get("properties", {}).items() if k != "spread_sampling"}
            found.setdefault(title, own)
    return found


def _written(number: Decimal, unit: str) -> str:
    plain = format(number.normalize(), "f")
    return f"{'0' if plain == '-0' else plain} {unit}"


def _number(text: str, unit: str) -> float:
    """Give the number of a text in another unit."""
    number, own = units.split(text)
    if own == unit:
        return number
    return float(units.quantity(text).m_as(units.quantity(f"1 {unit}").units))


def quantities(start: str, end: str, *, step: float | str | None = None) -> SearchStrategy[str]:
    """Draw quantities from one to another, in steps of the first one's unit; they shrink towards the first.

    Parameters
    ----------
    start : str
        The first, which may be the greater one: "20 degC".
    end : str
        The last: "6 degC".
    step : float, optional
        Between two, in the unit of ``start``. Default: a hundredth of the range, rounded to 1, 2 or 5.
    """
    first, unit = units.split(start)
    last = _number(end, unit)
    size = Decimal(str(step)) if step is not None else _round_step(abs(last - first) / 100)
    if size <= 0:
        raise ValueError(f"step: {size}; give a step above zero, in {unit}")
    begin = Decimal(str(first))
    count = math.floor(abs(Decimal(str(last)) - begin) / size)
    towards = 1 if last >= first else -1
    return st.integers(0, count).map(lambda k: _written(begin + towards * k * size, unit))


def _round_step(rough: float) -> Decimal:
    if rough <= 0:
        return Decimal(1)
    power = math.floor(math.log10(rough))
    digit = next(d for d in (1, 2, 5, 10) if d * 10.0**power >= rough * (1 - 1e-9))
    return Decimal(digit).scaleb(power)


def _quantity(schema: Schema) -> SearchStrategy[str]:
    """Draw a quantity of a field: within its range; where that is open, about the unit's own example."""
    example, unit = units.split(schema["examples"][0])
    open_low = schema.get("formatExclusiveMinimum")
    open_high = schema.get("formatExclusiveMaximum")
    low, high = schema.get("formatMinimum", open_low), schema.get("formatMaximum", open_high)
    lowest = None if low is None else _number(low, unit)
    highest = None if high is None else _number(high, unit)
    if highest is None:
        highest = max(lowest or 0.0, abs(example)) * 10
    if lowest is None:
        lowest = min(highest, abs(example)) / 100
    lowest = min(lowest, highest)
    if lowest > 0 and highest / lowest > _WIDE:
        return _over_powers(lowest, highest, unit)
    step = _round_step((highest - lowest) / 100)
    # To the next whole step inside; an end that is not allowed itself is kept away from.
    first = math.ceil(Decimal(str(lowest)) / step - Decimal("1e-9")) + (open_low is not None)
    last = math.floor(Decimal(str(highest)) / step + Decimal("1e-9")) - (open_high is not None)
    if first > last:
        return st.just(_written(Decimal(str((lowest + highest) / 2)), unit))
    near = min(max(first, 0), last)
    shrunk = st.integers(near, last) if near == first else st.one_of(st.integers(near, last), st.integers(first, near))
    return shrunk.map(lambda k: _written(k * step, unit))


def _over_powers(low: float, high: float, unit: str) -> SearchStrategy[str]:
    """Draw numbers of two digits, evenly over the powers of ten."""
    first, last = math.floor(math.log10(low)), math.floor(math.log10(high))
    least, most = Decimal(str(low)), Decimal(str(high))

    def made(power: int, digits: int) -> str:
        number = Decimal(digits).scaleb(power - 1)
        return _written(min(max(number, least), most), unit)

    return st.builds(made, st.integers(first, last), st.integers(10, 99))


def _of(schema: Any, deep: int) -> SearchStrategy[Any]:
    """Draw what a schema describes."""
    if not schema:
        return st.just(cast("Any", {}))
    if "$ref" in schema:
        return _of(_tables()[schema["$ref"].split("/")[-1]], deep)
    kinds = schema.get("type")
    if "anyOf" in schema:
        inner = [s for s in schema["anyOf"] if s != {"type": "null"}]
        return _or_none(inner[0], deep)
    if isinstance(kinds, list):
        named = cast("list[str]", kinds)
        return _or_none({**schema, "type": next(k for k in named if k != "null")}, deep)
    if "oneOf" in schema:
        # A number with its unit alone stands for one of the others.
        return st.one_of([_of(s, deep) for s in schema["oneOf"] if "pattern" not in s])
    if "const" in schema:
        return st.just(schema["const"])
    if schema.get("format") in ("quantity", "spread"):
        return _quantity(schema)
    match kinds:
        case "string" if schema.get("examples"):
            return st.sampled_from(schema["examples"])
        case "string":
            return st.text("abcdefghijklmnopqrstuvwxyz_", min_size=1, max_size=8)
        case "boolean":
            return st.booleans()
        case "integer":
            least = schema.get("minimum", 0)
            return st.integers(int(least), int(schema.get("maximum", least + 5)))
        case "number":
            return _plain_number(schema)
        case "array":
            least, most = schema.get("minItems", 0), schema.get("maxItems", 0 if deep >= _DEEPEST else 3)
            return st.lists(_of(schema.get("items", {}), deep + 1), min_size=least, max_size=max(least, most))
        case _:
            return _table(schema, deep)


def _plain_number(schema: Schema) -> SearchStrategy[float]:
    low = schema.get("minimum", schema.get("exclusiveMinimum", 0.0))
    high = schema.get("maximum", schema.get("exclusiveMaximum", max(low + 10.0, 10.0)))
    return st.floats(
        low,
        high,
        exclude_min="exclusiveMinimum" in schema,
        exclude_max="exclusiveMaximum" in schema,
    )


def _or_none(schema: Schema, deep: int) -> SearchStrategy[Any]:
    return st.none() if deep >= _DEEPEST else st.none() | _of(schema, deep + 1)


def _table(schema: Schema, deep: int, own: Mapping[str, SearchStrategy[Any]] | None = None) -> SearchStrategy[Any]:
    fields = schema.get("properties")
    if fields is None:
        inner = schema.get("additionalProperties", {})
        names = st.text("abcdefghijklmnopqrstuvwxyz_", min_size=1, max_size=8)
        return st.dictionaries(names, _of(inner, deep + 1), max_size=0 if deep >= _DEEPEST else 2)
    given = own or {}
    required = set(schema.get("required", []))
    wanted = required | set(given)
    drawn = {name: given[name] if name in given else _of(s, deep + 1) for name, s in fields.items() if name in wanted}
    rest = {name: _of(s, deep + 1) for name, s in fields.items() if name not in drawn}
    return st.fixed_dictionaries(drawn, optional={} if deep >= _DEEPEST else rest)


def _is_read(noun: str, document: Any) -> bool:
    try:
        _core.check(noun, json.dumps(document, allow_nan=False))
    except GelwrightError:
        return False
    return True


def documents(noun: str | type[Noun], /, **fields: Any) -> SearchStrategy[Any]:
    """Draw documents of a noun, as JSON: each field within its range, what has a default given now and then.

    Parameters
    ----------
    noun : str or class
        The noun, by its name or its class: "Room", ``gw.Room``.
    **fields
        Fields that are to be drawn otherwise: a strategy, or a value.
    """
    name = noun if isinstance(noun, str) else noun._noun
    tables = _tables()
    if name not in tables:
        raise UnknownNameError(
            f"noun: '{name}'; {meant(name, tables)}", "noun", f"'{name}'", way_out=meant(name, tables)
        )
    schema = tables[name]
    known = schema.get("properties", {})
    for field in fields:
        if field not in known:
            raise UnknownNameError(f"{field}: {name} has no such field; {meant(field, known)}", field)
    own: dict[str, SearchStrategy[Any]] = {}
    for field, value in fields.items():
        drawn_so = cast("SearchStrategy[Any]", value) if isinstance(value, st.SearchStrategy) else st.just(value)
        own[field] = drawn_so.map(_raw)
    drawn = _table(schema, 0, own) if "properties" in schema else _of(schema, 0)
    return drawn.filter(lambda d: _is_read(name, d))


def _raw(value: Any) -> Any:
    """Give the JSON of a noun, and of what holds nouns."""
    if isinstance(value, Noun):
        return value.raw
    if isinstance(value, Mapping):
        return {k: _raw(v) for k, v in cast("Mapping[str, Any]", value).items()}
    if isinstance(value, list | tuple):
        return [_raw(v) for v in cast("list[Any]", value)]
    return value


def nouns(noun: type[N], /, **fields: Any) -> SearchStrategy[N]:
    """Draw values of a noun's class, as :func:`documents` does."""
    return documents(noun, **fields).map(noun._of)


def recipes(family: str = "ortho_polyester") -> SearchStrategy[Recipe]:
    """Draw recipes of the generic catalogue's resins of a family, dosed inside what every published rule allows.

    Some hold fumed silica, talc or milled fibre too.
    """
    from .mix import Recipe

    allowed = asked("limit.allowed_doses", {"family": family}, lambda raw: raw)
    if not allowed:
        raise UnknownNameError(f"family: no resin of the family '{family}' with a cure", "family", f"'{family}'")

    def doses(of: Mapping[str, str]) -> SearchStrategy[tuple[str, str, str]]:
        step = Decimal("0.1")
        least, most = (Decimal(of[end].split()[0]) for end in ("least", "most"))
        tenths = st.integers(math.ceil(least / step), math.floor(most / step))
        return st.tuples(st.just(of["resin"]), st.just(of["cure"]), tenths.map(lambda k: _written(k * step, "phr")))

    fillers = st.one_of(
        st.none(),
        st.tuples(st.just("fumed_silica"), quantities("0.5 phr", "6 phr", step=0.5)),
        st.tuples(st.just("talc"), quantities("1 phr", "30 phr", step=1)),
        st.tuples(st.just("milled_glass_fibre"), quantities("1 phr", "8 phr", step=1)),
    )

    def made(base: tuple[str, str, str], filler: tuple[str, str] | None) -> Recipe:
        resin, cure, dose = base
        parts = [{"material": cure, "dose": dose}]
        if filler is not None:
            parts.append({"material": filler[0], "dose": filler[1]})
        return Recipe(resin, parts)

    return st.builds(made, st.one_of([doses(of) for of in allowed]), fillers)


def amounts() -> SearchStrategy[Amount]:
    """Draw amounts that a bench mixes in one cup: 20 g to 2 kg of the mix or of its resin."""
    from .mix import Amount

    grams = quantities("20 g", "2000 g", step=10)
    return st.one_of(grams.map(Amount.mass), grams.map(Amount.resin_mass))


def benches() -> SearchStrategy[Bench]:
    """Draw benches: a scale that shows 0.01, 0.1 or 1 g, without a dropper or with one that nobody has calibrated."""
    from .mix import Bench, Scale

    def made(step: str, dropper: Any) -> Bench:
        return Bench(Scale(step), dropper=dropper)

    steps, droppers = ["0.01 g", "0.1 g", "1 g"], [None, {"calibrated": False}]
    return st.builds(made, st.sampled_from(steps), st.sampled_from(droppers))


def rooms() -> SearchStrategy[Room]:
    """Draw rooms with their air changes, hood and near field, from the table of the noun."""
    from .air import Room

    return nouns(Room)


def shops(warmest: str = "24 degC", coldest: str = "16 degC") -> SearchStrategy[Shop]:
    """Draw shops in which people work, from the warmest to the coldest; they shrink towards the warmest."""
    from .plan import Shop

    def clock(hour: int, quarter: int) -> str:
        return f"{hour:02}:{15 * quarter:02}"

    def made(temperature: str, humidity: str, start: str, bench: Bench) -> Shop:
        return Shop(temperature, humidity, start, bench)

    return st.builds(
        made,
        quantities(warmest, coldest, step=0.5),
        quantities("50 %", "70 %", step=5) | quantities("35 %", "50 %", step=5),
        st.builds(clock, st.integers(7, 10), st.integers(0, 3)),
        benches(),
    )


def cold_shops() -> SearchStrategy[Shop]:
    """Draw shops in winter: 16 to 6 °C."""
    return shops("16 degC", "6 degC")


def castings(**fields: Any) -> SearchStrategy[Casting]:
    """Draw castings that can be planned: one to three zones of gel coat with a laminate, a pour, or both behind it.

    Parameters
    ----------
    **fields
        Fields that are to be drawn otherwise: a strategy, or a value (``shop=cold_shops()``).
    """
    from .plan import Casting

    def coat(film: str) -> Any:
        return {"gel_coat": {"recipe": "coat", "wet_thickness": film}}

    def laminate(plies: list[str]) -> Any:
        return {"laminate": {"recipe": "wall", "plies": plies}}

    def pour(depth: str) -> Any:
        return {"pour": {"recipe": "fill", "thickness": depth}}

    def zone(area: str, first: Any, behind: list[Any]) -> dict[str, Any]:
        return {"area": area, "layers": [first, *behind]}

    def named(zones: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [{"name": f"zone {i + 1}", **of} for i, of in enumerate(zones)]

    plies = st.lists(st.sampled_from(["csm_225", "csm_300", "csm_450"]), min_size=1, max_size=3).map(laminate)
    depths = quantities("1 mm", "6 mm", step=1).map(pour)
    behind = st.lists(plies, min_size=1, max_size=1) | st.lists(depths, min_size=1, max_size=1)
    behind = behind | st.tuples(plies, depths).map(list)
    coats = quantities("0.4 mm", "0.6 mm", step=0.05).map(coat)
    each = st.builds(zone, quantities("50 cm^2", "2000 cm^2", step=50), coats, behind)
    zones = st.lists(each, min_size=1, max_size=3).map(named)
    wall = {"wall": "grp_mould", "release": [{"material": "release_wax", "coats": 4}]}
    given: dict[str, SearchStrategy[Any]] = {
        "version": st.just(2),
        "name": st.just("a casting of the strategies"),
        "shop": shops(),
        "mould": st.just(wall),
        "recipes": st.fixed_dictionaries(
            {"coat": recipes("gel_coat"), "wall": recipes("ortho_polyester"), "fill": recipes("iso_polyester")}
        ),
        "zones": zones,
    }
    for name, value in fields.items():
        given[name] = value if isinstance(value, st.SearchStrategy) else st.just(value)
    return st.fixed_dictionaries(given).map(lambda d: Casting._of(Casting._checked({k: _raw(v) for k, v in d.items()})))
