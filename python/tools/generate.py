"""Writes the modules of python/gelwright that are made from the questions' JSON schemas.

    python generate.py PATH/TO/libgelwright.so [--check]

One module per subject, a function per question, a class per kind of answer. ``cargo xtask py`` runs this, and
``cargo xtask test`` checks that the files are as it writes them.
"""

from __future__ import annotations

import ctypes
import json
import keyword
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent.parent
PACKAGE = HERE / "gelwright"
MARK = "# Written by `cargo xtask py` from the questions of the Rust library: do not edit.\n# ruff: noqa: D205"
SHARED = "common"
# Classes whose base says more than Answer does.
BASES = {"Why": (".answer", "Chain"), "Plan": (".casting", "PlanFace")}
# Attributes that an answer has anyway.
TAKEN = {"keys", "frame", "plot", "raw"}

Schema = dict[str, Any]


def questions(library: str) -> list[dict[str, Any]]:
    """List the questions of the C library."""
    lib = ctypes.CDLL(library)
    text = ctypes.c_char_p()
    if lib.gw_questions(ctypes.byref(text), None) != 0 or text.value is None:
        sys.exit(f"{library} does not list its questions")
    found = json.loads(text.value.decode())
    lib.gw_string_free.argtypes = [ctypes.c_char_p]
    lib.gw_string_free(text)
    return found


def identifier(name: str) -> str:
    """Give a name that Python allows."""
    name = "".join(c if c.isalnum() or c == "_" else "_" for c in name)
    return f"{name}_" if keyword.iskeyword(name) or name in TAKEN else name


def camel(name: str) -> str:
    return "".join(part[:1].upper() + part[1:] for part in name.replace(".", "_").split("_"))


def without_null(schema: Any) -> tuple[Schema, bool]:
    """Give the schema without its null alternative, and whether it had one."""
    if schema is True or not isinstance(schema, dict):
        return {}, False
    if isinstance(schema.get("type"), list) and "null" in schema["type"]:
        kinds = [t for t in schema["type"] if t != "null"]
        return {**schema, "type": kinds[0] if len(kinds) == 1 else kinds}, True
    for key in ("anyOf", "oneOf"):
        if key in schema:
            rest = [s for s in schema[key] if s != {"type": "null"}]
            if len(rest) < len(schema[key]):
                outer = {k: v for k, v in schema.items() if k != key}
                return ({**outer, **rest[0]} if len(rest) == 1 else {**outer, key: rest}), True
    return schema, False


def literals(schema: Schema) -> list[str] | None:
    """List the words of a schema that allows only certain words."""
    if "const" in schema:
        return [schema["const"]] if isinstance(schema["const"], str) else None
    if "enum" in schema:
        return schema["enum"] if all(isinstance(e, str) for e in schema["enum"]) else None
    parts = schema.get("oneOf") or schema.get("anyOf")
    if not parts:
        return None
    words: list[str] = []
    for part in parts:
        inner = literals(part)
        if inner is None:
            return None
        words += inner
    return words


def prose(schema: Schema) -> str:
    return " ".join(str(schema.get("description", "")).replace("\\", "\\\\").split("\n\n")[0].split())


def variants(schema: Schema) -> list[tuple[str, Schema]] | None:
    """List the shapes of a choice with the name of each: words, `{name: ...}` or `{tag: name, ...}`."""
    found: list[tuple[str, Schema]] = []
    for variant in schema.get("oneOf") or schema.get("anyOf") or []:
        words = literals(variant)
        properties: Schema = variant.get("properties", {})
        tags = [p["const"] for p in properties.values() if isinstance(p, dict) and isinstance(p.get("const"), str)]
        if words is not None:
            found += [(word, {"const": word}) for word in words]
        elif tags:
            found.append((tags[0], variant))
        elif len(properties) == 1:
            found.append((next(iter(properties)), variant))
        else:
            return None
    return found or None


class Names:
    """Which module and class each definition of the schemas gets, in one direction (request or answer)."""

    def __init__(self, side: str, all_questions: list[dict[str, Any]]) -> None:
        self.side = side
        self.suffix = "Input" if side == "request" else ""
        shapes: dict[str, dict[str, tuple[str, Schema]]] = {}
        for q in all_questions:
            module = q["name"].split(".")[0]
            for name, schema in q[side].get("$defs", {}).items():
                shape = json.dumps(schema, sort_keys=True)
                modules = shapes.setdefault(name, {})
                modules.setdefault(module + "|" + shape, (module, schema))
        # (module of use, definition) -> (home module, class name, schema)
        self.home: dict[tuple[str, str], tuple[str, str, Schema]] = {}
        for name, uses in shapes.items():
            distinct = {key.split("|", 1)[1] for key in uses}
            if len(distinct) == 1:
                modules = sorted({module for module, _ in uses.values()})
                home = modules[0] if len(modules) == 1 else SHARED
                for module, schema in uses.values():
                    self.home[module, name] = (home, camel(name) + self.suffix, schema)
            else:
                for module, schema in uses.values():
                    self.home[module, name] = (module, camel(name) + self.suffix, schema)
        # A definition in the shared module may only use what is there too.
        moved = True
        while moved:
            moved = False
            for home, _, schema in list(self.home.values()):
                if home != SHARED:
                    continue
                for inner in refs(schema):
                    for (module, name), (where, cls, s) in list(self.home.items()):
                        if name == inner and where != SHARED:
                            self.home[module, name] = (SHARED, cls, s)
                            moved = True


def refs(schema: Any) -> set[str]:
    """List the definitions that a schema names."""
    found: set[str] = set()
    if isinstance(schema, dict):
        if "$ref" in schema:
            found.add(schema["$ref"].split("/")[-1])
        for key, value in schema.items():
            if key != "$defs":
                found |= refs(value)
    elif isinstance(schema, list):
        for value in schema:
            found |= refs(value)
    return found


class Module:
    """One generated module."""

    def __init__(self, name: str, requests: Names, answers: Names) -> None:
        self.name = name
        self.names = {"request": requests, "answer": answers}
        self.imports: dict[str, set[str]] = {}
        self.classes: dict[str, str] = {}
        self.functions: list[str] = []
        self.answers: list[tuple[str, str]] = []
        self.exported: list[str] = []
        self.makers: set[str] = set()

    def use(self, module: str, name: str) -> str:
        self.imports.setdefault(module, set()).add(name)
        return name

    def resolve(self, schema: Schema, side: str) -> tuple[str, str, Schema] | None:
        """Find the definition that a reference names."""
        if "$ref" not in schema:
            return None
        name = schema["$ref"].split("/")[-1]
        names = self.names[side]
        if self.name == SHARED:
            return next((v for (_, n), v in names.home.items() if n == name and v[0] == SHARED), None)
        return names.home.get((self.name, name))

    # What is given

    def given(self, schema: Any, hint: str = "") -> str:
        """Write the type of a request's field; `hint` names what has no name of its own."""
        schema, optional = without_null(schema)
        written = self._given(schema, hint)
        return f"{written} | None" if optional and written != "Any" else written

    def _given(self, schema: Schema, hint: str) -> str:
        if (found := self.resolve(schema, "request")) is not None:
            home, cls, inner = found
            is_object = inner.get("type") == "object" and "properties" in inner
            if literals(inner) is not None or not (is_object or variants(inner)):
                return self.given(inner, cls)
            if home != self.name:
                self.use(f".{home}", cls)
            elif is_object:
                self.typed_dict(cls, inner)
            else:
                self.union(cls, inner)
            # an answer's part of the same name can be given back
            return f"{cls} | Answer"
        if schema.get("format") == "quantity":
            return self.use(".units", "QuantityInput")
        if (words := literals(schema)) is not None:
            return self.literal(words)
        if schema.get("type") == "object" and "properties" in schema and hint:
            self.typed_dict(hint, schema)
            return hint
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
                self.use("collections.abc", "Sequence")
                return f"Sequence[{self.given(schema.get('items', {}), hint)}]"
            case "object" if isinstance(schema.get("additionalProperties"), dict):
                self.use("collections.abc", "Mapping")
                return f"Mapping[str, {self.given(schema['additionalProperties'], hint)}]"
            case _:
                return self.use("typing", "Any")

    def union(self, cls: str, schema: Schema) -> None:
        """Write the alias of a choice between several shapes."""
        if cls in self.classes:
            return
        self.classes[cls] = ""
        parts = []
        for name, variant in variants(schema) or []:
            inner = f"{cls.removesuffix('Input')}{camel(name)}Input"
            parts.append(self.literal([name]) if literals(variant) else self.given(variant, inner))
        self.use("typing", "TypeAlias")
        self.classes.pop(cls)
        written = "\n    | ".join(dict.fromkeys(parts))
        about = docstring(prose(schema) or "One of these.", 0)
        self.classes[cls] = f"{cls}: TypeAlias = (\n    {written}\n)\n{about}\n"

    def literal(self, words: list[str]) -> str:
        self.use("typing", "Literal")
        return f"Literal[{', '.join(json.dumps(w, ensure_ascii=False) for w in words)}]"

    def typed_dict(self, cls: str, schema: Schema) -> None:
        if cls in self.classes:
            return
        self.classes[cls] = ""  # reserves its place; a recursive reference stops here
        required = schema.get("required", [])
        self.use("typing", "TypedDict")
        about = docstring(prose(schema) or "Part of a request.", 4)
        lines, quoted = [], []
        for name, field in schema["properties"].items():
            kind = self.given(field, f"{cls.removesuffix('Input')}{camel(name)}Input")
            if name not in required:
                self.use("typing", "NotRequired")
                kind = f"NotRequired[{kind}]"
            lines.append(f"    {name}: {kind}")
            quoted.append(f"        {json.dumps(name)}: {json.dumps(kind)},")
            if prose(field):
                lines.append(docstring(prose(field), 4))
        self.classes.pop(cls)
        if all(name.isidentifier() and not keyword.iskeyword(name) for name in schema["properties"]):
            self.classes[cls] = "\n".join([f"class {cls}(TypedDict):", about, "", *lines, ""])
        else:
            body = "\n".join(quoted)
            self.classes[cls] = f'{cls} = TypedDict(\n    "{cls}",\n    {{\n{body}\n    }},\n)\n{about.strip()}\n'

    # What is answered

    def answered(self, schema: Any, hint: str = "") -> tuple[str, str]:
        """Write the type of an answer's field, and how it is made; `hint` names what has no name of its own."""
        schema, optional = without_null(schema)
        kind, maker = self._answered(schema, hint)
        return (f"{kind} | None" if optional and kind != "Any" else kind), maker

    def make(self, name: str) -> str:
        self.makers.add(name)
        return name

    def _answered(self, schema: Schema, hint: str) -> tuple[str, str]:
        if (found := self.resolve(schema, "answer")) is not None:
            home, cls, inner = found
            if cls == "Money":
                return self.use(".units", "Money"), self.make("money")
            if inner.get("type") == "object" and "properties" in inner:
                if home == self.name:
                    self.answer_class(cls, inner)
                else:
                    self.use(f".{home}", cls)
                return cls, f'{self.make("part")}("{cls}")'
            return self.answered(inner, cls)
        if schema.get("format") == "quantity":
            return self.use(".units", "Quantity"), self.make("quantity")
        if (words := literals(schema)) is not None:
            return self.literal(words), self.make("plain")
        if schema.get("type") == "object" and "properties" in schema and hint:
            self.answer_class(hint, schema)
            return hint, f'{self.make("part")}("{hint}")'
        if (choices := variants(schema)) is not None and hint:
            return self.answered_union(choices, hint)
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
                return self.answered_array(schema, hint)
            case "object" if isinstance(schema.get("additionalProperties"), dict):
                kind, maker = self.answered(schema["additionalProperties"], hint)
                return f"dict[str, {kind}]", f"{self.make('named')}({maker})"
            case _:
                return self.use("typing", "Any"), self.make("plain")

    def answered_union(self, choices: list[tuple[str, Schema]], hint: str) -> tuple[str, str]:
        kinds, makers = [], []
        for name, variant in choices:
            if literals(variant) is not None:
                kinds.append(self.literal([name]))
                continue
            cls = hint + camel(name)
            self.answer_class(cls, variant)
            kinds.append(cls)
            makers.append(f'"{name}": {self.make("part")}("{cls}")')
        return " | ".join(kinds), f"{self.make('one_of')}({{{', '.join(makers)}}})"

    def answered_array(self, schema: Schema, hint: str) -> tuple[str, str]:
        items, _ = without_null(schema.get("items", {}))
        if items.get("type") == "number":
            self.use("numpy.typing", "NDArray")
            self.imports.setdefault("", set()).add("numpy as np")
            return "NDArray[np.float64]", self.make("array")
        kind, maker = self.answered(schema.get("items", {}), hint)
        if maker.startswith("part("):
            self.use(".answer", "Table")
            return f"Table[{kind}]", f'{self.make("rows")}("{kind}")'
        return f"tuple[{kind}, ...]", f"{self.make('several')}({maker})"

    def answer_class(self, cls: str, schema: Schema) -> None:
        if cls in self.classes:
            return
        self.classes[cls] = ""
        base = self.use(*BASES.get(cls, (".answer", "Answer")))
        lines, makers, renamed = [], [], []
        for name, field in schema.get("properties", {}).items():
            kind, maker = self.answered(field, cls + camel(name))
            attribute = identifier(name)
            if attribute != name:
                renamed.append(f'"{attribute}": "{name}"')
            optional = name not in schema.get("required", []) and "None" not in kind and kind != "Any"
            lines.append(f"    {attribute}: {kind}{' | None' if optional else ''}")
            target = field if "description" in field else self.defined(field)
            if prose(target):
                lines.append(docstring(prose(target), 4))
            makers.append(f'        "{name}": {maker},')
        about = prose(schema) or f"Answer: {cls}."
        body = ["    __slots__ = ()"]
        if makers:
            body += ["    _fields = {", *makers, "    }"]
        if renamed:
            body.append(f"    _renamed = {{{', '.join(renamed)}}}")
        self.classes.pop(cls)
        self.classes[cls] = "\n".join([f"class {cls}({base}):", docstring(about, 4), "", *body, *lines, ""])

    def defined(self, schema: Schema) -> Schema:
        inner, _ = without_null(schema)
        found = self.resolve(inner, "answer")
        return found[2] if found else {}

    # Functions

    def function(self, question: dict[str, Any]) -> None:
        noun = identifier(question["name"].split(".", 1)[1])
        request, answer = question["request"], question["answer"]
        if answer.get("type") == "object" and "properties" in answer:
            cls = camel(str(answer.get("title") or noun))
            home = self.names["answer"].home
            if (self.name, cls) in home and home[self.name, cls][0] != self.name:
                self.use(f".{home[self.name, cls][0]}", cls)
            else:
                self.answer_class(cls, answer)
        else:
            cls = self.use(".answer", "Answer")
        self.use(".answer", "ask_as")
        self.answers.append((question["name"], cls))
        self.exported.append(noun)
        about = " ".join(question["about"].split())
        if request.get("type") != "object" or any(k in request for k in ("oneOf", "anyOf")):
            self.use("typing", "Any")
            self.functions.append(
                f"def {noun}(**request: Any) -> {cls}:\n{docstring(about, 4)}\n"
                f'    return ask_as("{question["name"]}", request, {cls})\n'
            )
            return
        required = request.get("required", [])
        properties = sorted(request.get("properties", {}).items(), key=lambda p: p[0] not in required)
        parameters, described, passed = [], [], []
        for name, field in properties:
            kind = self.given(field, f"{camel(noun)}{camel(name)}Input")
            parameter = identifier(name)
            if name in required:
                parameters.append(f"    {parameter}: {kind},")
            else:
                nullable = kind if kind == "Any" or kind.endswith("| None") else f"{kind} | None"
                parameters.append(f"    {parameter}: {nullable} = None,")
            said = prose(field)
            default = field.get("default") if isinstance(field, dict) else None
            if default is not None and name not in required and not isinstance(default, dict | list):
                said = f"{said} Default: {default}.".strip()
            described.append(f"{parameter} : {readable(kind)}\n    {said or 'See the schema.'}")
            passed.append(f'            "{name}": {parameter},')
        doc = about
        if described:
            doc += "\n\nParameters\n----------\n" + "\n".join(described)
        head = (
            f"def {noun}(\n    *,\n" + "\n".join(parameters) + f"\n) -> {cls}:"
            if parameters
            else f"def {noun}() -> {cls}:"
        )
        call = "{\n" + "\n".join(passed) + "\n        }" if passed else "{}"
        self.functions.append(
            f'{head}\n{docstring(doc, 4)}\n    return ask_as(\n        "{question["name"]}",\n'
            f"        {call},\n        {cls},\n    )\n"
        )

    def text(self) -> str:
        """Write the module."""
        for maker in self.makers:
            self.use(".answer", maker)
        body = "\n\n".join([*(c for c in self.classes.values() if c), *self.functions])
        if "| Answer" in body or "(Answer)" in body:
            self.use(".answer", "Answer")
        lines = []
        for module, names in sorted(self.imports.items()):
            if module == "":
                lines += [f"import {n}" for n in sorted(names)]
            else:
                lines.append(f"from {module} import {', '.join(sorted(names))}")
        title = f"Questions about {self.name}." if self.functions else "Parts that answers of several subjects share."
        table = ""
        if self.answers:
            self.use(".answer", "Answer")
            rows = "\n".join(f'    "{q}": {cls},' for q, cls in self.answers)
            lines = [line for line in lines if not line.startswith("from .answer import")]
            lines.append(f"from .answer import {', '.join(sorted(self.imports['.answer']))}")
            table = (
                f"\n\nANSWERS: dict[str, type[Answer]] = {{\n{rows}\n}}\n"
                '"""The class of the answer to each question."""\n'
            )
        exported = sorted({*self.exported, *self.classes})
        names = "\n".join(f'    "{n}",' for n in exported)
        return (
            f'{MARK}\n"""{title}"""\n\nfrom __future__ import annotations\n\n'
            + "\n".join(lines)
            + f"\n\n__all__ = [\n{names}\n]\n\n\n{body}{table}"
        )


def readable(kind: str) -> str:
    """Write a type for a docstring."""
    if kind.startswith("Literal[") and len(kind) > 60:
        return "str, one of the words of its type"
    return kind.replace("QuantityInput", "quantity").replace(" | Answer", "")


def docstring(text: str, indent: int) -> str:
    """Write a docstring, wrapped."""
    width = 108 - indent
    lines: list[str] = []
    for i, line in enumerate(text.replace('"""', "'''").split("\n")):
        lead = line[: len(line) - len(line.lstrip())]
        if i == 0 and len(line) + 8 > width:
            sentence, dot, rest = line.partition(". ")
            if dot and len(sentence) + 8 <= width:
                lines += [sentence + ".", "", *textwrap.wrap(rest, width)]
            else:
                lines += textwrap.wrap(line, width - 4)
        else:
            lines += textwrap.wrap(line.strip(), width, initial_indent=lead, subsequent_indent=lead) or [""]
    pad = " " * indent
    if len(lines) == 1:
        return f'{pad}"""{lines[0]}"""'
    return f'{pad}"""' + f"\n{pad}".join(lines).replace(f"\n{pad}\n", "\n\n") + f'\n{pad}"""'


def package(all_questions: list[dict[str, Any]]) -> dict[Path, str]:
    """Write every generated file."""
    requests, answers = Names("request", all_questions), Names("answer", all_questions)
    modules: dict[str, Module] = {}
    for q in all_questions:
        name = q["name"].split(".")[0]
        modules.setdefault(name, Module(name, requests, answers)).function(q)
    shared = Module(SHARED, requests, answers)
    for side in ("request", "answer"):
        done: set[str] = set()
        for home, cls, schema in {id(v[2]): v for v in (requests, answers)[side == "answer"].home.values()}.values():
            plain_object = schema.get("type") == "object" and "properties" in schema
            if home != SHARED or cls in done or literals(schema) is not None:
                continue
            done.add(cls)
            if side == "answer" and plain_object:
                shared.answer_class(cls, schema)
            elif side == "request" and plain_object:
                shared.typed_dict(cls, schema)
            elif side == "request" and variants(schema):
                shared.union(cls, schema)
    if shared.classes:
        modules[SHARED] = shared
    files = {PACKAGE / f"{name}.py": module.text() for name, module in modules.items()}
    subjects = "\n".join(f"from . import {name} as {name}" for name in modules)
    listed = "\n".join(f'    "{name}",' for name in sorted(modules))
    files[PACKAGE / "_subjects.py"] = (
        f'{MARK}\n"""The subjects, a module each."""\n\n{subjects}\n\n__all__ = [\n{listed}\n]\n'
    )
    return files


def formatted(files: dict[Path, str]) -> dict[Path, str]:
    """Give the files as ruff writes them."""
    ruff = Path(sys.executable).parent / "ruff"
    done = {}
    for path, text in files.items():
        for command in (["check", "--fix-only", "--quiet"], ["format", "--quiet"]):
            run = subprocess.run(
                [ruff, *command, "--stdin-filename", path, "-"], input=text, capture_output=True, text=True, cwd=HERE
            )
            if run.returncode != 0:
                sys.exit(f"{path.name} can not be formatted:\n{run.stderr}\n{text}")
            text = run.stdout
        done[path] = text
    return done


def main() -> None:
    """Write the files, or compare them."""
    files = formatted(package(questions(sys.argv[1])))
    stale = [p for p in PACKAGE.glob("*.py") if p not in files and p.read_text().startswith(MARK)]
    changed = [p for p, text in files.items() if not p.exists() or p.read_text() != text]
    if "--check" in sys.argv:
        if stale or changed:
            sys.exit(f"not as the questions say: {', '.join(p.name for p in stale + changed)}")
        return
    for path in stale:
        path.unlink()
    for path in changed:
        path.write_text(files[path])
        print(f"wrote python/gelwright/{path.name}")


if __name__ == "__main__":
    main()
