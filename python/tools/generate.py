"""Writes the modules of python/gelwright that are made from the tables of the Rust library.

    python generate.py PATH/TO/libgelwright.so [--face FILE]

One module a room, a class a noun, a method a question. The build runs this (python/build_backend.py, `cargo xtask py`);
what it writes is not kept. ``--face`` writes the list of names and signatures as well, which is.
"""

from __future__ import annotations

import argparse
import difflib
import json
import pprint
import re
import sys
import textwrap
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent))
from calls import Examples
from tables import Field, Noun, Question, Schema, Tables, identifier, read, without_null

HERE = Path(__file__).resolve().parent.parent
PACKAGE = HERE / "gelwright"
MARK = "# Made by the build from the tables of the Rust library: do not edit, do not commit."
# Nouns whose class says more than its table: its base in faces.py.
FACES = {
    ("source", "Why"): "WhyFace",
    ("plan", "Casting"): "CastingFace",
    ("plan", "BenchRecord"): "BenchRecordFace",
    ("plan", "Plan"): "PlanFace",
    ("plan", "CupToday"): "CupFace",
    ("plan", "Comparison"): "ComparisonFace",
    ("plan", "AirOfDay"): "AirOfDayFace",
    ("card", "Card"): "CardFace",
    ("risk", "Risk"): "RiskFace",
    ("mix", "Recipe"): "RecipeFace",
    ("mix", "Batch"): "BatchFace",
    ("limit", "Finding"): "FindingFace",
    ("heat", "Profiles"): "ProfilesFace",
    ("quantity", "Band"): "BandFace",
}
# Fields that a face gives itself.
OWN_FIELDS = {("mix", "Batch"): {"why"}}
# Nouns whose face writes its own signature.
OWN_SIGNATURE = {"Recipe"}
WIDTH = 116
# The kinds of refusal.
KINDS = re.findall(r"class (\w+)Error\(GelwrightError", (PACKAGE / "errors.py").read_text(encoding="utf-8"))


def docstring(text: str, indent: int) -> str:
    pad = " " * indent
    if "\n" not in text and len(text) < WIDTH - indent and not text.endswith(('"', "\\")):
        return f'{pad}"""{text}"""'
    lines: list[str] = []
    for line in text.split("\n"):
        inner = len(line) - len(line.lstrip())
        head = " " * inner
        if line.strip().startswith((">>>", "...", "|", "```")) or len(line) <= WIDTH - indent:
            lines.append((pad + line).rstrip())
        else:
            lines += textwrap.wrap(
                line.strip(), WIDTH - indent, initial_indent=pad + head, subsequent_indent=pad + head
            )
    first = lines[0].strip()
    return "\n".join([f'{pad}"""{first}', *lines[1:], f'{pad}"""'])


class Room:
    """One generated module."""

    def __init__(self, name: str, tables: Tables, examples: Examples) -> None:
        self.name = name
        self.tables = tables
        self.examples = examples
        self.typing: set[tuple[str, str]] = set()
        self.imports: set[tuple[str, str]] = set()
        self.makers: set[str] = set()
        self.face: list[str] = []

    def noun(self, schema: Schema) -> Noun | None:
        return self.tables.nouns[tuple(schema["noun"])] if "noun" in schema else None

    def named(self, noun: Noun) -> str:
        if noun.room != self.name:
            self.typing.add((f".{noun.room}", noun.name))
        return noun.name

    def use(self, module: str, name: str) -> str:
        self.imports.add((module, name))
        return name

    def hint(self, module: str, name: str) -> str:
        self.typing.add((module, name))
        return name

    # What is given

    def given(self, schema: Any) -> str:
        """Write the type of what may be given."""
        bare, nullable = without_null(schema)
        written = self._given(bare)
        return f"{written} | None" if nullable and written != "Any" else written

    def _given(self, schema: Schema) -> str:
        if (noun := self.noun(schema)) is not None:
            if noun.text:
                return self.hint(".units", "TextInput")
            if noun.words is not None:
                return self.literal(noun.words)
            words = [v.name for v in noun.variants if v.fields is None and v.one is None]
            self.hint("collections.abc", "Mapping")
            extra = f" | {self.literal(words)}" if words else ""
            extra += f" | {self.hint('.units', 'QuantityInput')}" if noun.measured else ""
            return f"{self.named(noun)} | Mapping[str, Any]{extra}"
        if schema.get("format") == "quantity":
            return self.hint(".units", "QuantityInput")
        match schema.get("type"):
            case "string":
                return "str"
            case "number":
                return "float"
            case "integer":
                return "int"
            case "boolean":
                return "bool"
            case "array":
                self.hint("collections.abc", "Sequence")
                return f"Sequence[{self.given(schema.get('items', {}))}]"
            case "object" if isinstance(schema.get("additionalProperties"), dict):
                self.hint("collections.abc", "Mapping")
                return f"Mapping[str, {self.given(schema['additionalProperties'])}]"
            case _:
                return "Any"

    def literal(self, words: list[str]) -> str:
        self.hint("typing", "Literal")
        return f"Literal[{', '.join(json.dumps(w, ensure_ascii=False) for w in words)}]"

    # What is answered

    def answered(self, schema: Any) -> tuple[str, str]:
        """Write the type of a field, and how it is made."""
        bare, nullable = without_null(schema)
        kind, maker = self._answered(bare)
        return (f"{kind} | None" if nullable and kind != "Any" else kind), maker

    def make(self, name: str) -> str:
        self.makers.add(name)
        return name

    def _answered(self, schema: Schema) -> tuple[str, str]:
        if (noun := self.noun(schema)) is not None:
            if noun.name == "QuantityText":
                return self.hint(".units", "Quantity"), self.make("quantity")
            if noun.name == "Money":
                return self.hint(".units", "Money"), self.make("money")
            if noun.text:
                return "str", self.make("plain")
            if noun.words is not None:
                return self.literal(noun.words), self.make("plain")
            return self.named(noun), f'{self.make("part")}("{noun.room}", "{noun.name}")'
        if schema.get("format") == "quantity":
            return self.hint(".units", "Quantity"), self.make("quantity")
        match schema.get("type"):
            case "string":
                return "str", self.make("plain")
            case "number":
                return "float", self.make("plain")
            case "integer":
                return "int", self.make("plain")
            case "boolean":
                return "bool", self.make("plain")
            case "array":
                return self.array(schema)
            case "object" if isinstance(schema.get("additionalProperties"), dict):
                kind, maker = self.answered(schema["additionalProperties"])
                return f"dict[str, {kind}]", f"{self.make('named')}({maker})"
            case _:
                return "Any", self.make("plain")

    def array(self, schema: Schema) -> tuple[str, str]:
        items, _ = without_null(schema.get("items", {}))
        if items.get("type") == "number":
            self.hint("numpy.typing", "NDArray")
            return "NDArray[Any]", self.make("array")
        kind, maker = self.answered(items)
        if maker.startswith("part("):
            self.hint(".noun", "Table")
            return f"Table[{kind}]", self.make("rows") + maker.removeprefix("part")
        return f"tuple[{kind}, ...]", f"{self.make('several')}({maker})"

    # Text

    def parameter(self, f: Field) -> str:
        """Describe a field or parameter as numpydoc does."""
        bare = f.bare
        noun = self.noun(bare)
        kind = {"number": "float", "integer": "int", "boolean": "bool", "string": "str", "array": "list"}.get(
            str(bare.get("type")), "dict"
        )
        if isinstance(bare.get("additionalProperties"), dict):
            held = self.noun(without_null(bare["additionalProperties"])[0])
            kind = f"dict of {held.name}" if held is not None and not held.text else kind
        example = None
        if bare.get("format") == "quantity":
            kind = f"quantity ({str(bare.get('quantity', '')).replace('_', ' ')})"
            example = (bare.get("examples") or [None])[0]
        elif noun is not None:
            kind = "str" if noun.text or noun.words else noun.name
            example = (noun.schema.get("examples") or [None])[0] if noun.text else None
            if noun.words:
                kind = "{" + ", ".join(noun.words) + "}"
        if bare.get("type") == "array" and (inner := self.noun(without_null(bare.get("items", {}))[0])) is not None:
            kind = f"list of {'str' if inner.text or inner.words else inner.name}"
        said = [f.doc] if f.doc else [noun.doc.partition("\n\n")[0]] if noun is not None else []
        if f.default is not None and not isinstance(f.default, dict | list):
            said.append(f"Default: {f.default}.")
        if "allowed" in f.schema:
            said.append(f"Allowed: {f.schema['allowed']}.")
        if example and f.required:
            said.append(f'For example "{example}".')
        optional = "" if f.required else ", optional"
        return f"{f.attribute} : {kind}{optional}\n    {' '.join(said)}".rstrip()

    @staticmethod
    def about(text: str) -> tuple[str, str]:
        """Split a Rust comment into what is said and what is refused."""
        head, _, errors = text.partition("# Errors")
        head = head.split("\n# ")[0]
        paragraphs = [" ".join(p.split()) for p in head.strip().split("\n\n")]
        return "\n\n".join(p for p in paragraphs if p), " ".join(errors.split("\n# ")[0].split())

    def method_doc(self, q: Question, returned: str) -> str:
        said, errors = self.about(q.about)
        parts = [said or q.name]
        if q.parameters:
            parts.append("Parameters\n----------\n" + "\n".join(self.parameter(f) for f in q.parameters))
        parts.append(f"Returns\n-------\n{returned}")
        refused = "What can not be answered; `gelwright.errors` has a class for each kind of mistake."
        parts.append(f"Raises\n------\nGelwrightError\n    {errors or refused}")
        example = self.examples.of(q)
        if example:
            parts.append("Examples\n--------\n" + example.replace("\\", "\\\\"))
        return "\n\n".join(parts)

    def in_python(self, text: str) -> str:
        """Write Rust's names in a text as Python's."""
        methods = {(q.noun[1], q.method) for q in self.tables.questions if q.noun}
        methods |= {(n.name, v.name) for n in self.tables.nouns.values() for v in [*n.variants, *n.fields]}

        def name(found: re.Match[str]) -> str:
            owner, of = found.groups()
            return f"`{owner}.{of}`" if (owner, of) in methods else f"`{owner}`"

        text = re.sub(rf"`(?:ErrorKind::)?({'|'.join(KINDS)})`", r"`\1Error`", text)
        text = re.sub(r"`([A-Z]\w+)::(\w+)`", name, text)
        text = re.sub(r"\s*`cancel` is asked before [^.]*\.", "", text)
        text = re.sub(r"\bnull where\b", "NaN where", text)
        text = re.sub(r"`(?:[a-z_]+::)+(\w+)`", r"`\1`", text)
        return text.replace("`true`", "`True`").replace("`false`", "`False`")

    # Code

    def signature(self, fields: list[Field], first: str | None) -> tuple[str, str, str]:
        """Give parameters, the mapping that is asked, and the parameters on one line for the list of names."""
        parts = [first] if first else []
        brief = []
        seen_optional = False
        passed = []
        for f in fields:
            kind = self.given(f.schema)
            if f.required:
                parts.append(f"{f.attribute}: {kind}")
            else:
                if not seen_optional:
                    parts.append("*")
                    brief.append("*")
                    seen_optional = True
                nullable = kind if kind == "Any" or kind.endswith("| None") else f"{kind} | None"
                parts.append(f"{f.attribute}: {nullable} = None")
            shown = f"{f.attribute}: {kind.removesuffix(' | None').replace(' | Mapping[str, Any]', '')}"
            default = f.default if not isinstance(f.default, dict | list) else "..."
            brief.append(shown if f.required else f"{shown} = {default}")
            passed.append(f'"{f.name}": {f.attribute}')
        return ", ".join(parts), "{" + ", ".join(passed) + "}", ", ".join(brief)

    def method(self, q: Question, indent: int) -> str:
        kind, maker = self.answered(self.tables.answer_of(q))
        name = q.called
        is_self = q.subject is not None
        first = "self" if is_self else ("cls" if q.noun else None)
        parameters, mapping, brief = self.signature(q.parameters, first)
        if q.subject == "":
            mapping = "self"
        elif q.subject is not None:
            mapping = '{"' + q.subject + '": self, ' + mapping[1:]
        pad = " " * indent
        decorated = f"{pad}@classmethod\n" if first == "cls" else ""
        asked = self.use(".noun", "asked")
        doc = docstring(self.method_doc(q, kind), indent + 4)
        owner = f"{q.noun[1]}." if q.noun else ""
        self.face.append(f"{self.name}.{owner}{name}({brief}) -> {kind}")
        return (
            f"{decorated}{pad}def {name}({parameters}) -> {kind}:\n{doc}\n"
            f'{pad}    return {asked}("{q.name}", {mapping}, {maker})\n'
        )

    def methods(self, noun: Noun) -> list[str]:
        key = (noun.room, noun.name)
        return [self.method(q, 4) for q in self.tables.questions if q.noun == key]

    def attribute(self, f: Field, taken: set[str]) -> tuple[str, str]:
        kind, maker = self.answered(f.schema)
        if not f.required and f.default is None and not kind.endswith("| None") and kind != "Any":
            kind += " | None"
        line = "" if f.attribute in taken else f"    {f.attribute}: {kind}"
        if line and f.doc:
            line += "\n" + docstring(f.doc, 4)
        return line, f'"{f.name}": {maker}'

    def klass(self, noun: Noun) -> str:
        return self.choice(noun) if noun.variants else self.struct(noun)

    def struct(self, noun: Noun) -> str:
        base = (
            self.use(".faces", FACES[noun.room, noun.name])
            if (noun.room, noun.name) in FACES
            else self.use(".noun", "Noun")
        )
        methods = self.methods(noun)
        taken = {q.method for q in self.tables.questions if q.noun == (noun.room, noun.name)} & {
            f.attribute for f in noun.fields
        } | OWN_FIELDS.get((noun.room, noun.name), set())
        attributes = [self.attribute(f, taken) for f in noun.fields]
        body = ["    __slots__ = ()", f'    _noun = "{noun.name}"']
        if attributes:
            body.append("    _shape = {" + ", ".join(m for _, m in attributes) + "}")
        renamed = {f.attribute: f.name for f in noun.fields if f.attribute != f.name}
        if renamed:
            body.append(f"    _renamed = {json.dumps(renamed)}")
        defaults = {f.name: f.default for f in noun.fields if f.default is not None}
        if defaults:
            body.append(f"    _defaults = {defaults!r}")
        said, _ = self.about(noun.doc)
        if noun.given and noun.fields and noun.name not in OWN_SIGNATURE:
            parameters, mapping, brief = self.signature(noun.fields, "self")
            self.face.append(f"{self.name}.{noun.name}({brief})")
            said += "\n\nParameters\n----------\n" + "\n".join(self.parameter(f) for f in noun.fields)
            init = f"    def __init__({parameters}) -> None:\n        super().__init__({mapping})\n"
        else:
            self.face.append(f"{self.name}.{noun.name}: {', '.join(f.attribute for f in noun.fields)}")
            init = ""
            told = [f"{f.attribute} : {self.answered(f.schema)[0]}\n    {f.doc}".rstrip() for f in noun.fields]
            said += "\n\nAttributes\n----------\n" + "\n".join(told)
        lines = [a for a, _ in attributes if a]
        return "\n".join([f"class {noun.name}({base}):", docstring(said, 4), "", *body, *lines, "", init, *methods])

    def choice(self, noun: Noun) -> str:
        base = self.use(".noun", "Choice")
        methods = self.methods(noun)
        constructors = {identifier(v.name) for v in noun.variants}
        self.hint("typing", "Literal")
        kinds = self.literal([v.name for v in noun.variants])
        made, shown, makers_of = [], {}, []
        ones: list[str] = []
        for v in noun.variants:
            name = identifier(v.name)
            if v.fields is not None:
                parameters, mapping, brief = self.signature(v.fields, "cls")
                doc = v.doc or f"{v.name}."
                if v.fields:
                    doc += "\n\nParameters\n----------\n" + "\n".join(self.parameter(f) for f in v.fields)
                made.append(
                    f"    @classmethod\n    def {name}({parameters}) -> Self:\n{docstring(doc, 8)}\n"
                    f'        return cls._chosen("{v.name}", {mapping})\n'
                )
                fields = []
                for f in v.fields:
                    kind, maker = self.answered(f.schema)
                    fields.append(f'"{f.name}": {maker}')
                    if f.attribute not in constructors:
                        shown.setdefault(f.attribute, (set(), f.doc))[0].add(kind.removesuffix(" | None"))
                makers_of.append(f'"{v.name}": {{{", ".join(fields)}}}')
            elif v.one is not None:
                kind, maker = self.answered(v.one)
                ones.append(kind)
                brief = self.given(v.one)
                made.append(
                    f"    @classmethod\n    def {name}(cls, content: {brief}, /) -> Self:\n"
                    f'{docstring(v.doc or v.name + ".", 8)}\n        return cls._chosen("{v.name}", content)\n'
                )
                makers_of.append(f'"{v.name}": {maker}')
                brief = brief.replace(" | Mapping[str, Any]", "")
            else:
                brief = ""
                made.append(
                    f"    @classmethod\n    def {name}(cls) -> Self:\n{docstring(v.doc or v.name + '.', 8)}\n"
                    f'        return cls._chosen("{v.name}", None)\n'
                )
                makers_of.append(f'"{v.name}": None')
            self.face.append(f"{self.name}.{noun.name}.{name}({brief})")
        self.hint("typing", "Self")
        tag = f'    _tag = "{noun.tag}"\n' if noun.tag else ""
        lines = [f"    kind: {kinds}", '    """Which it is."""']
        if ones:
            lines += [
                f"    content: {' | '.join(dict.fromkeys(ones))}",
                '    """What it holds, where it is one thing."""',
            ]
        for name, (types, doc) in shown.items():
            kind = " | ".join(sorted(types)) if "Any" not in types else "Any"
            lines.append(f"    {name}: {kind}{'' if kind == 'Any' else ' | None'}")
            if doc:
                lines.append(docstring(doc, 4))
        said, _ = self.about(noun.doc)
        said += "\n\nOne of: " + ", ".join(identifier(v.name) for v in noun.variants) + "."
        if noun.measured:
            said += " A quantity alone will do, where it tells which."
        return "\n".join(
            [
                f"class {noun.name}({base}):",
                docstring(said, 4),
                "",
                "    __slots__ = ()",
                f'    _noun = "{noun.name}"',
                "    _variants = {" + ", ".join(makers_of) + "}",
                tag,
                *lines,
                "",
                *made,
                *methods,
            ]
        )

    def write(self) -> str:
        """Write the module."""
        nouns = [n for n in self.tables.nouns.values() if n.room == self.name and not n.text and n.words is None]
        nouns = [n for n in nouns if n.given or n.answered]
        classes = [self.klass(n) for n in nouns]
        functions = [self.method(q, 0) for q in self.tables.questions if q.noun is None and q.room == self.name]
        names = sorted(n.name for n in nouns)
        body = self.in_python("\n\n".join([*classes, *functions]))
        # `part` may have been asked for and then become part of another maker: a table of a noun's rows.
        self.imports |= {(".noun", maker) for maker in self.makers if maker != "part" or 'part("' in body}
        lines = [
            f'"""What the library knows of {self.name}."""',
            "",
            MARK,
            "# ruff: noqa",
            "",
            "from __future__ import annotations",
            "",
        ]
        for module in sorted({m for m, _ in self.imports}):
            lines.append(f"from {module} import {', '.join(sorted(n for m, n in self.imports if m == module))}")
        self.typing.add(("typing", "Any"))
        lines += [f"from typing import TYPE_CHECKING{', Any' if 'Any' in body else ''}", "", "if TYPE_CHECKING:"]
        typed = {(m, n) for m, n in self.typing if (m, n) != ("typing", "Any")}
        if not typed:
            lines.append("    pass")
        for module in sorted({m for m, _ in typed}):
            lines.append(f"    from {module} import {', '.join(sorted(n for m, n in typed if m == module))}")
        lines += ["", f"__all__ = {names!r}", "", "", body]
        return "\n".join(lines)


def main() -> None:
    given = argparse.ArgumentParser()
    given.add_argument("library")
    given.add_argument("--face", type=Path)
    given.add_argument("--check", action="store_true", help="compare the list of names, do not write it")
    arguments = given.parse_args()
    tables = read(arguments.library)
    examples = Examples(tables)
    rooms = sorted({n.room for n in tables.nouns.values()} | {q.room for q in tables.questions})
    listed: list[str] = []
    homes: dict[str, str] = {}
    for name in rooms:
        room = Room(name, tables, examples)
        text = room.write()
        write(PACKAGE / f"{name}.py", text)
        listed += room.face
        for n in tables.nouns.values():
            if n.room == name and not n.text and n.words is None:
                homes.setdefault(n.name, name)
    subjects = sorted({q.room for q in tables.questions} | {"source"})
    write(
        PACKAGE / "_rooms.py",
        f'"""Where each noun stands."""\n\n{MARK}\n\nROOMS = {subjects!r}\nHOMES = {json.dumps(homes, indent=4)}\n'
        f"QUESTIONS = {pprint.pformat({q.name: maker(tables, q) for q in tables.questions})}\n",
    )
    if arguments.face is not None:
        text = "\n".join(sorted(listed)) + "\n"
        if not arguments.check:
            write(arguments.face, text)
        elif (kept := arguments.face.read_text(encoding="utf-8")) != text:
            changed = difflib.unified_diff(kept.splitlines(), text.splitlines(), "kept", "made", lineterm="", n=0)
            sys.exit("the public face is another one:\n" + "\n".join(list(changed)[:40]))


def maker(tables: Tables, q: Question) -> list[str] | None:
    """Tell the class of a question's answer, for `ask`."""
    schema = tables.answer_of(q)
    return list(schema["noun"]) if "noun" in schema else None


def write(path: Path, text: str) -> None:
    if not path.exists() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")
        print(f"wrote {path}")


if __name__ == "__main__":
    main()
