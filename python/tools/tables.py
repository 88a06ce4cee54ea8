"""The tables of nouns and questions that the Rust library gives (`gw_questions`), as Python objects."""

from __future__ import annotations

import ctypes
import json
import keyword
import re
import sys
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

Schema = dict[str, Any]
# Attributes that a noun has anyway.
TAKEN = {"keys", "frame", "plot", "raw", "changed", "kind", "content"}
# Rooms of the crate that are no subject of their own in Python.
ROOMS = {
    "source": "source",
    "quantity": "quantity",
    "random": "source",
    "error": "source",
    "noun": "source",
    "propagate": "quantity",
    "uncertain": "quantity",
    "measurement": "mix",
}
# What the door takes of every request and adds to every answer: no noun's own.
DOOR = {"spread_sampling", "made_with", "band"}


def identifier(name: str) -> str:
    """Give a name that Python allows."""
    name = "".join(c if c.isalnum() or c == "_" else "_" for c in name)
    return f"{name}_" if keyword.iskeyword(name) or name in TAKEN else name


def camel(name: str) -> str:
    return "".join(part[:1].upper() + part[1:] for part in re.split(r"[._ ]", name))


def without_null(schema: Any) -> tuple[Schema, bool]:
    """Give the schema without its null alternative, and whether it had one."""
    if not isinstance(schema, dict):
        return {}, False
    if isinstance(schema.get("type"), list) and "null" in schema["type"]:
        kinds = [t for t in schema["type"] if t != "null"]
        return {**schema, "type": kinds[0]}, True
    if "anyOf" in schema:
        rest = [s for s in schema["anyOf"] if s != {"type": "null"}]
        outer = {k: v for k, v in schema.items() if k != "anyOf"}
        return {**rest[0], **outer}, len(rest) < len(schema["anyOf"])
    return schema, False


def prose(text: str) -> str:
    """Give a Rust comment as a docstring has it: links as plain names, no headings."""
    text = re.sub(r"\[(`[^`\]]+`)\](\([^)]*\)|\[[^\]]*\])?", r"\1", text)
    text = re.sub(r"\[([^\]`]+)\]\((?!https?:)[^)]*\)", r"\1", text)
    return text.replace("\\", "\\\\").replace('"""', "'''").strip()


@dataclass
class Field:
    """A field of a noun, or a parameter of a question."""

    name: str
    schema: Schema
    required: bool

    @cached_property
    def bare(self) -> Schema:
        return without_null(self.schema)[0]

    @property
    def attribute(self) -> str:
        return identifier(self.name)

    @property
    def doc(self) -> str:
        return " ".join(prose(str(self.schema.get("description", ""))).split())

    @property
    def default(self) -> Any:
        return self.schema.get("default")


@dataclass
class Variant:
    """One of several shapes of a choice."""

    name: str
    doc: str
    # its fields; or the one schema it holds; a word alone has neither
    fields: list[Field] | None = None
    one: Schema | None = None


@dataclass
class Noun:
    """A type with a name."""

    name: str
    room: str
    schema: Schema
    given: bool = False
    answered: bool = False
    fields: list[Field] = field(default_factory=list)
    variants: list[Variant] = field(default_factory=list)
    tag: str | None = None

    @property
    def measured(self) -> bool:
        """Whether a number with its unit alone tells one of its shapes."""
        return any(v.get("format") == "quantity" for v in self.schema.get("oneOf", []))

    @property
    def words(self) -> list[str] | None:
        """The words, where it is nothing but one of several words."""
        plain = [v.name for v in self.variants if v.fields is None and v.one is None]
        return plain if self.variants and len(plain) == len(self.variants) else None

    @property
    def text(self) -> bool:
        return self.schema.get("type") == "string"

    @property
    def doc(self) -> str:
        return prose(str(self.schema.get("description", ""))) or f"{self.name}."


@dataclass
class Question:
    """A question: whose method it is, what it takes, what it gives."""

    name: str
    about: str
    noun: tuple[str, str] | None
    subject: str | None
    method: str
    parameters: list[Field]
    request: Schema
    answer: Schema

    @property
    def room(self) -> str:
        return self.name.partition(".")[0]

    @property
    def called(self) -> str:
        """What Python calls it: a method by its own name, a function by the question's."""
        return identifier(self.method if self.noun else self.name.partition(".")[2])


class Tables:
    """All of them."""

    def __init__(self, described: list[dict[str, Any]]) -> None:
        self.nouns: dict[tuple[str, str], Noun] = {}
        self.questions: list[Question] = []
        for q in described:
            for side in ("request", "answer"):
                root = q[side]
                defs = root.get("$defs", {})
                for name, schema in defs.items():
                    self.add(name, schema, defs)
                title = root.get("title")
                if title is not None and "." not in title and "room" in root:
                    plain = {k: v for k, v in root.items() if k not in ("$defs", "$schema", "title")}
                    if "properties" in plain:
                        plain["properties"] = {k: v for k, v in plain["properties"].items() if k not in DOOR}
                    self.add(title, plain, defs)
        self.questions = [self.question(q) for q in described]
        self.reach()

    @staticmethod
    def room(schema: Schema) -> str:
        room = str(schema.get("room", "source"))
        return ROOMS.get(room, room)

    def add(self, name: str, schema: Schema, defs: Schema) -> None:
        key = (self.room(schema), name)
        if key in self.nouns:
            return
        made = Noun(name, key[0], self.local(schema, defs))
        self.nouns[key] = made
        if "oneOf" in schema:
            made.variants, made.tag = self.variants(made.schema)
        elif "properties" in schema:
            made.fields = fields_of(made.schema)

    def local(self, schema: Any, defs: Schema) -> Any:
        """Give the schema with its references told by room and name."""
        if isinstance(schema, dict):
            if "$ref" in schema:
                name = schema["$ref"].split("/")[-1]
                rest = {k: v for k, v in schema.items() if k != "$ref"}
                return {**rest, "noun": (self.room(defs[name]), name)}
            return {k: self.local(v, defs) for k, v in schema.items()}
        if isinstance(schema, list):
            return [self.local(v, defs) for v in schema]
        return schema

    @staticmethod
    def variants(schema: Schema) -> tuple[list[Variant], str | None]:
        found: list[Variant] = []
        tag = None
        for v in schema["oneOf"]:
            doc = " ".join(prose(str(v.get("description", ""))).split())
            if v.get("format") == "quantity":
                continue  # a number with its unit alone
            if "const" in v:
                found.append(Variant(v["const"], doc))
                continue
            tags = [k for k, p in v["properties"].items() if isinstance(p, dict) and "const" in p]
            if tags:
                tag = tags[0]
                inner = [f for f in fields_of(v) if f.name != tag]
                found.append(Variant(v["properties"][tag]["const"], doc, fields=inner))
                continue
            name, inner = next(iter(v["properties"].items()))
            if "noun" not in inner and inner.get("type") == "object" and "properties" in inner:
                found.append(Variant(name, doc, fields=fields_of(inner)))
            else:
                found.append(Variant(name, doc, one=inner))
        return found, tag

    def question(self, q: dict[str, Any]) -> Question:
        defs_of = {side: q[side].get("$defs", {}) for side in ("request", "answer")}
        request = self.local({k: v for k, v in q["request"].items() if k != "$defs"}, defs_of["request"])
        answer = self.local({k: v for k, v in q["answer"].items() if k != "$defs"}, defs_of["answer"])
        noun = None
        if q["noun"] is not None:
            if q["subject"] == "":
                noun = (self.room(q["request"]), q["noun"])
            elif q["subject"] is not None:
                noun = without_null(request["properties"][q["subject"]])[0]["noun"]
            else:
                noun = next((k for k in self.nouns if k[1] == q["noun"]), None)
        parameters = [] if q["subject"] == "" else [f for f in fields_of(request) if f.name != q["subject"]]
        return Question(q["name"], prose(q["about"]), noun, q["subject"], q["method"], parameters, request, answer)

    def answer_of(self, q: Question) -> Schema:
        """Give the schema of what a method returns."""
        if "title" in q.answer and "room" in q.answer:
            return {"noun": (self.room(q.answer), q.answer["title"])}
        return q.answer["properties"]["value"]

    def reach(self) -> None:
        """Mark which nouns are given and which are answered."""
        for q in self.questions:
            if q.noun:
                self.mark({"noun": q.noun}, "given")
            for p in q.parameters:
                self.mark(p.schema, "given")
            self.mark(self.answer_of(q), "answered")
        self.mark({"noun": ("quantity", "Band")}, "answered")

    def mark(self, schema: Any, side: str) -> None:
        if isinstance(schema, dict):
            if "noun" in schema:
                noun = self.nouns[tuple(schema["noun"])]
                if getattr(noun, side):
                    return
                setattr(noun, side, True)
                self.mark({k: v for k, v in noun.schema.items() if k != "noun"}, side)
            for v in schema.values():
                self.mark(v, side)
        elif isinstance(schema, list):
            for v in schema:
                self.mark(v, side)


def fields_of(schema: Schema) -> list[Field]:
    required = schema.get("required", [])
    found = [Field(n, s, n in required) for n, s in schema.get("properties", {}).items() if n not in DOOR]
    return sorted(found, key=lambda f: not f.required)


def read(source: str) -> Tables:
    """Read the tables from a file of them, or from the C library."""
    if source.endswith(".json"):
        return Tables(json.loads(Path(source).read_text(encoding="utf-8")))
    lib = ctypes.CDLL(source)
    text = ctypes.c_char_p()
    if lib.gw_questions(ctypes.byref(text), None) != 0 or text.value is None:
        sys.exit(f"{source} does not list its questions")
    found = json.loads(text.value.decode())
    lib.gw_string_free.argtypes = [ctypes.c_char_p]
    lib.gw_string_free(text)
    return Tables(found)
