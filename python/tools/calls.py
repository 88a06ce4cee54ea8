"""Requests as JSON written as calls of the Python face: for the examples in docstrings, and for the type checker."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tables import Noun, Question, Schema, Tables, identifier, without_null

VECTORS = Path(__file__).resolve().parents[2] / "tests" / "vectors"


class Calls:
    """Writes values as their nouns' constructors."""

    def __init__(self, tables: Tables, prefix: str = "gw.") -> None:
        self.tables = tables
        self.prefix = prefix

    def value(self, schema: Any, value: Any) -> str:
        """Write a value of a shape."""
        if value is None:
            return "None"
        bare, _ = without_null(schema)
        if "noun" in bare:
            return self.noun(self.tables.nouns[tuple(bare["noun"])], value)
        if isinstance(value, list):
            return "[" + ", ".join(self.value(bare.get("items", {}), v) for v in value) + "]"
        if isinstance(value, dict) and isinstance(bare.get("additionalProperties"), dict):
            inner = bare["additionalProperties"]
            return "{" + ", ".join(f"{k!r}: {self.value(inner, v)}" for k, v in value.items()) + "}"
        return repr(value)

    def noun(self, noun: Noun, value: Any) -> str:
        """Write a noun."""
        name = f"{self.prefix}{noun.name}"
        if noun.text or noun.words is not None or (isinstance(value, str) and not noun.variants):
            return repr(value)
        if noun.variants:
            if isinstance(value, str):
                return repr(value)
            if noun.tag:
                chosen, inner = value[noun.tag], {k: v for k, v in value.items() if k != noun.tag}
            else:
                chosen, inner = next(iter(value.items()))
            v = next(v for v in noun.variants if v.name == chosen)
            if v.fields is not None:
                return f"{name}.{identifier(chosen)}({self.arguments(v.fields, inner)})"
            return f"{name}.{identifier(chosen)}({self.value(v.one, inner) if v.one is not None else ''})"
        if noun.name == "Recipe":
            given = {p["material"]: p["dose"] for p in value.get("parts", [])}
            if len(given) == len(value.get("parts", [])) and all(
                m.isidentifier() and identifier(m) == m for m in given
            ):
                return f"{name}({', '.join([repr(value['resin']), *(f'{m}={d!r}' for m, d in given.items())])})"
            parts = [self.value({"noun": ("mix", "Part")}, p) for p in value.get("parts", [])]
            return f"{name}({value['resin']!r}, [{', '.join(parts)}])" if parts else f"{name}({value['resin']!r})"
        return f"{name}({self.arguments(noun.fields, value)})"

    def arguments(self, fields: list[Any], value: dict[str, Any]) -> str:
        known = {f.name: f for f in fields}
        return ", ".join(
            f"{identifier(k)}={self.value(known[k].schema if k in known else {}, v)}"
            for k, v in value.items()
            if v is not None or known[k].required
        )

    def question(self, q: Question, request: dict[str, Any]) -> str:
        """Write a question."""
        if q.noun is None:
            return f"{self.prefix}{q.room}.{q.called}({self.arguments(q.parameters, request)})"
        owner = self.tables.nouns[q.noun]
        method = q.called
        if q.subject is None:
            return f"{self.prefix}{owner.name}.{method}({self.arguments(q.parameters, request)})"
        subject = request if q.subject == "" else request[q.subject]
        rest = {} if q.subject == "" else {k: v for k, v in request.items() if k != q.subject}
        return f"{self.noun(owner, subject)}.{method}({self.arguments(q.parameters, rest)})"


def cases() -> list[dict[str, Any]]:
    """List the cases of tests/vectors that are answered."""
    return [
        case
        for f in sorted(VECTORS.glob("*.json"))
        for case in json.loads(f.read_text(encoding="utf-8"))
        if "expect" in case
    ]


class Examples:
    """An example of each question: the shortest of its cases."""

    LONGEST = 900

    def __init__(self, tables: Tables) -> None:
        self.calls = Calls(tables)
        self.cases: dict[str, list[Schema]] = {}
        if VECTORS.exists():
            for case in cases():
                self.cases.setdefault(case["question"], []).append(case)

    def of(self, q: Question) -> str | None:
        """Give a doctest of a question."""
        written = [self.calls.question(q, c["request"]) for c in self.cases.get(q.name, [])]
        if not written or len(shortest := min(written, key=len)) > self.LONGEST:
            return None
        return f">>> import gelwright as gw\n>>> answer = {wrapped(shortest)}"


def wrapped(call: str) -> str:
    """Break a long call after commas."""
    lines, line, depth = [], "", 0
    quoted = ""
    for i, c in enumerate(call):
        line += c
        if quoted:
            quoted = "" if c == quoted and call[i - 1] != "\\" else quoted
        elif c in "'\"":
            quoted = c
        elif c in "([{":
            depth += 1
        elif c in ")]}":
            depth -= 1
        elif c == "," and depth and len(line) > 70:
            lines.append(line.strip())
            line = ""
    lines.append(line.strip())
    return "\n...     ".join(lines)
