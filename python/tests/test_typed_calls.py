"""Every request of tests/vectors, written as a call of the nouns' methods: answered alike, and well typed."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import gelwright as gw
from gelwright import _core

TOOLS = Path(__file__).resolve().parents[1] / "tools"
sys.path.insert(0, str(TOOLS))
from calls import Calls, cases  # noqa: E402
from tables import Tables  # noqa: E402

TABLES = Tables(json.loads(_core.questions()))
QUESTIONS = {q.name: q for q in TABLES.questions}
CALLS = Calls(TABLES)
CASES = [c for c in cases() if c["question"] in QUESTIONS]


def raw(value):
    if isinstance(value, gw.Noun):
        return {k: v for k, v in value.raw.items() if k != "made_with"}
    if isinstance(value, tuple):
        return [raw(v) for v in value]
    return value


@pytest.mark.parametrize("case", CASES, ids=[f"{c['question']}: {c['name']}" for c in CASES])
def test_the_call_is_answered_as_the_question(case):
    call = CALLS.question(QUESTIONS[case["question"]], case["request"])
    found = eval(call, {"gw": gw})
    asked = gw.ask(case["question"], **case["request"])
    if isinstance(found, gw.Noun | tuple):
        assert raw(found) == raw(asked)
    else:
        assert found is not None


def test_every_call_is_well_typed(tmp_path):
    lines = ["import gelwright as gw", ""]
    lines += [f"a{i} = {CALLS.question(QUESTIONS[c['question']], c['request'])}" for i, c in enumerate(CASES)]
    # One that is wrong on purpose: else nothing says that the checker looks.
    lines.append("wrong = gw.quantity.convert(8, 'mL')")
    (tmp_path / "calls.py").write_text("\n".join(lines) + "\n", encoding="utf-8")
    settings = {"include": ["calls.py"], "typeCheckingMode": "standard", "pythonVersion": "3.11"}
    (tmp_path / "pyrightconfig.json").write_text(json.dumps(settings), encoding="utf-8")
    run = subprocess.run(
        [Path(sys.executable).parent / "pyright", "--outputjson", "--pythonpath", sys.executable, "-p", tmp_path],
        capture_output=True,
        text=True,
        check=False,
    )
    told = json.loads(run.stdout)["generalDiagnostics"]
    found = [f"{lines[d['range']['start']['line']][:160]}: {d['message']}" for d in told]
    assert len(found) == 1, "\n".join(found)
    assert found[0].startswith("wrong = ")
