"""The cases of tests/vectors, answered from Python; see tests/vectors/main.rs for what a case holds."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

import gelwright as gw
from gelwright import _core

SCHEMAS = {q["name"]: q["answer"] for q in json.loads(_core.questions())}
FOLDER = Path(__file__).resolve().parents[2] / "tests" / "vectors"
CASES = [(f.stem, case) for f in sorted(FOLDER.glob("*.json")) for case in json.loads(f.read_text())]


def at(value, path):
    for part in filter(None, re.split(r"[.\[\]]", path)):
        if isinstance(value, list):
            value = value[int(part)] if int(part) < len(value) else None
        else:
            value = value.get(part) if isinstance(value, dict) else None
    return value


def split(text):
    found = re.match(r"[-+]?[\d.]+(?:[eE][-+]?\d+)?", text)
    return (float(found[0]), text[found.end() :].strip()) if found else None


def same(found, expected, rtol, atol):
    def near(a, b):
        return abs(a - b) <= atol + rtol * abs(b)

    match expected:
        case bool() | None:
            return found is expected
        case int() | float():
            return isinstance(found, int | float) and near(found, expected)
        case str():
            if not isinstance(found, str):
                return False
            if found == expected:
                return True
            a, b = split(found), split(expected)
            if not a or not b:
                return False
            if a[1] != b[1]:
                try:
                    return near(gw.quantity.convert(found, b[1]).number, b[0])
                except gw.GelwrightError:
                    return False
            return near(a[0], b[0])
        case list():
            return (
                isinstance(found, list)
                and len(found) == len(expected)
                and all(same(f, e, rtol, atol) for f, e in zip(found, expected, strict=True))
            )
        case dict():
            return isinstance(found, dict) and all(same(at(found, k), e, rtol, atol) for k, e in expected.items())
    return False


@pytest.mark.parametrize(("file", "case"), CASES, ids=[f"{f}: {c['name']}" for f, c in CASES])
def test_case(file, case):
    assert case["source"]
    if "error" in case:
        expected = case["error"]
        with pytest.raises(gw.GelwrightError) as caught:
            gw.ask(case["question"], **case["request"])
        assert caught.value.kind == expected.get("kind", caught.value.kind), caught.value
        assert type(caught.value) is gw.errors.KINDS[caught.value.kind]
        assert caught.value.field == expected.get("field", caught.value.field), caught.value
        assert expected.get("says", "") in str(caught.value)
        return
    answer = json.loads(_core.ask(case["question"], json.dumps(case["request"])))
    jsonschema.validate(answer, SCHEMAS[case["question"]])
    assert answer["made_with"]["library"] == gw.__version__
    assert case["expect"]
    for path, expected in case["expect"].items():
        found = at(answer, path)
        assert same(found, expected, case.get("rtol", 1e-9), case.get("atol", 0.0)), (path, found, expected)


def test_a_wrong_expectation_is_noticed():
    assert same("1 in", "25.4 mm", 1e-9, 0.0)
    assert not same("1 in", "25.5 mm", 1e-9, 0.0)
    assert not same("1 in", "25.4 g", 1e-9, 0.0)
    assert not same(None, 1.0, 1e-9, 0.0)
    assert not same([1.0], [1.0, 2.0], 1e-9, 0.0)
