"""Answers and refusals as Python objects."""

import copy
import json
import pickle
import threading

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import gelwright as gw
from gelwright import _core, answer, errors


class Part(answer.Answer):
    """A part to weigh."""

    __slots__ = ()
    _fields = {"name": answer.plain, "mass": answer.quantity}


class Sheet(answer.Answer):
    """An answer with one of everything."""

    __slots__ = ()
    _fields = {
        "total": answer.quantity,
        "parts": answer.rows("Part"),
        "time_s": answer.array,
        "temperature_K": answer.array,
        "why": answer.part("Reason"),
        "from": answer.plain,
        "note": answer.plain,
    }
    _renamed = {"from_": "from"}


class Reason(answer.Chain):
    __slots__ = ()


RAW = {
    "total": "150 g",
    "parts": [{"name": "resin", "mass": "147 g"}, {"name": "catalyst <b>", "mass": "3 g"}],
    "time_s": [0.0, 1.0, 2.0],
    "temperature_K": [290.0, 291.0, 293.0],
    "why": {
        "what": "total",
        "value": "150 g",
        "equation": "a + b",
        "from": [{"what": "resin", "value": "147 g", "source": {"title": "the scale", "standing": "measured_here"}}],
    },
    "from": "cup 1",
    "note": None,
}


@pytest.fixture
def sheet():
    return Sheet(RAW)


def test_fields_are_attributes_and_items(sheet):
    assert sheet.total.to("kg").magnitude == pytest.approx(0.15)
    assert sheet["total"] == sheet.total
    assert sheet.from_ == sheet["from"] == "cup 1"
    assert sheet.note is None
    assert set(dict(sheet)) == set(RAW)
    assert "parts" in sheet
    assert "from_" in dir(sheet)
    assert len(sheet) == 7
    with pytest.raises(AttributeError, match="has no field 'totl'; it has total, parts"):
        _ = sheet.totl
    with pytest.raises(KeyError):
        _ = sheet["totl"]


def test_an_answer_can_not_be_changed(sheet):
    with pytest.raises(AttributeError, match="can not be changed"):
        sheet.total = 1
    with pytest.raises(AttributeError, match="can not be changed"):
        del sheet.total
    with pytest.raises(ValueError, match="read-only"):
        sheet.time_s[0] = 5.0
    sheet.raw["total"] = "1 g"
    assert sheet.raw["total"] == "150 g"


def test_answers_compare_by_what_they_say(sheet):
    assert sheet == Sheet(RAW)
    assert hash(sheet) == hash(Sheet(RAW))
    assert sheet != Sheet({**RAW, "total": "151 g"})
    assert sheet != answer.Answer(RAW)


@pytest.mark.parametrize("protocol", range(2, pickle.HIGHEST_PROTOCOL + 1))
def test_answers_travel(sheet, protocol):
    _ = sheet.total, sheet.time_s
    assert pickle.loads(pickle.dumps(sheet, protocol)) == sheet
    assert pickle.loads(pickle.dumps(sheet.parts, protocol)) == sheet.parts
    assert copy.deepcopy(sheet) == sheet


@given(st.text(), st.floats(1e-6, 1e6))
def test_answers_travel_whatever_they_say(name, mass):
    part = Part({"name": name, "mass": f"{mass!r} g"})
    assert pickle.loads(pickle.dumps(part)) == part
    assert part.mass.to("gram").magnitude == mass


def test_series_and_tables_become_frames(sheet):
    assert isinstance(sheet.time_s, np.ndarray)
    series = sheet.frame()
    assert list(series.columns) == ["time_s", "temperature_K"]
    table = sheet.parts.frame()
    assert list(table.columns) == ["name", "mass [g]"]
    assert table["mass [g]"].sum() == pytest.approx(150.0)
    mixed = answer.Table([Part({"name": "a", "mass": "1 kg"}), Part({"name": "b", "mass": "5 g"}), Part({"name": "c"})])
    assert mixed.frame()["mass [kg]"].tolist()[:2] == pytest.approx([1.0, 0.005])
    assert np.isnan(mixed.frame()["mass [kg]"][2])
    with pytest.raises(ValueError, match="has 0 series"):
        sheet.parts[0].frame()


def test_the_chain_prints_itself(sheet):
    assert str(sheet.why) == "total = 150 g   [a + b]\n  resin = 147 g   (the scale [measured here])"


def test_html_is_a_table_and_is_escaped(sheet):
    shown = sheet._repr_html_()
    assert shown.startswith("<table>")
    assert shown.count("<table>") == 2
    assert "150 g" in shown
    assert "catalyst &lt;b&gt;" in shown
    assert "<details>" in shown


def test_series_are_plotted(sheet):
    import matplotlib as mpl

    mpl.use("Agg")
    axes = sheet.plot("temperature_K", x="time_s")
    assert axes.get_xlabel() == "time_s"
    assert axes.get_ylabel() == "temperature_K"
    assert axes.lines[0].get_ydata().tolist() == [290.0, 291.0, 293.0]


def test_every_kind_of_refusal_has_its_class():
    assert set(errors.KINDS) == {*_core.error_kinds(), "panic"}
    for kind, cls in errors.KINDS.items():
        made = errors.refusal([(kind, "message", "field", "value", None, "way out")])
        assert type(made) is cls
        assert isinstance(made, gw.GelwrightError)
        assert cls.__doc__
        again = pickle.loads(pickle.dumps(made))
        assert (type(again), str(again), again.field, again.way_out) == (cls, "message", "field", "way out")


@pytest.mark.parametrize(
    ("request_", "specific", "builtin"),
    [
        ({"quantity": "8", "to": "mL"}, errors.BareNumberError, ValueError),
        ({"quantity": "some", "to": "mL"}, errors.UnreadableError, ValueError),
        ({"quantity": "8 flagons", "to": "mL"}, errors.UnknownUnitError, ValueError),
        ({"quantity": "8 oz", "to": "mL"}, errors.WrongDimensionError, ValueError),
        ({"quantity": "nan mL", "to": "mL"}, errors.NotFiniteError, ValueError),
        ({"quantity": "-300 degC", "to": "K"}, errors.OutOfRangeError, ValueError),
        ({"quantity": "8 mL"}, errors.DocumentError, ValueError),
        ({"quantity": "8 mL", "to": "L", "too": "L"}, errors.DocumentError, ValueError),
        ({"quantity": 8, "to": "mL"}, errors.DocumentError, ValueError),
        ({"quantity": float("nan"), "to": "mL"}, errors.NotFiniteError, ValueError),
        ({"quantity": object(), "to": "mL"}, errors.DocumentError, ValueError),
    ],
)
def test_refusals_are_caught_as_specific_as_wanted(request_, specific, builtin):
    for caught_as in (specific, builtin, gw.GelwrightError):
        with pytest.raises(caught_as) as caught:
            gw.ask("quantity.convert", **request_)
    assert type(caught.value) is specific
    assert caught.value.way_out


@pytest.mark.parametrize("question", ["quantity.convrt", "", "os.system", "quantity.ANSWERS", "answer.Answer", "a.b.c"])
def test_an_unknown_question_is_a_key_error(question):
    with pytest.raises(KeyError, match="is not known") as caught:
        gw.ask(question)
    assert isinstance(caught.value, errors.UnknownNameError)
    assert caught.value.field == "question"


def test_every_question_has_its_function():
    for q in json.loads(_core.questions()):
        module, noun = q["name"].split(".")
        assert module in dir(gw)
        function = getattr(getattr(gw, module), noun)
        assert function.__doc__.startswith(q["about"].split(". ")[0].rstrip(".")[:60])


def test_the_interpreter_goes_on_while_the_library_works():
    done = []
    workers = [threading.Thread(target=lambda: done.append(gw.quantity.factors())) for _ in range(8)]
    for w in workers:
        w.start()
    for w in workers:
        w.join()
    assert len(set(done)) == 1
    assert len(done) == 8


def test_version():
    assert gw.__version__.count(".") == 2


class Bill(answer.Answer):
    """What something costs."""

    __slots__ = ()
    _fields = {"what": answer.plain, "cost": answer.money}


def test_money_says_its_currency():
    bills = answer.Table([Bill({"what": "resin", "cost": "12.50 EUR"}), Bill({"what": "mat", "cost": None})])
    assert bills[0].cost == gw.units.Money(12.5, "EUR")
    assert str(bills[0].cost) == "12.50 EUR"
    frame = bills.frame()
    assert frame["cost [EUR]"][0] == 12.5
    # two currencies are not added up silently
    mixed = answer.Table([bills[0], Bill({"what": "mat", "cost": "3.00 USD"})]).frame()
    assert mixed["cost"].tolist() == ["12.50 EUR", "3.00 USD"]


class Choice(answer.Answer):
    """An answer that is one of several shapes."""

    __slots__ = ()
    _fields = {"law": answer.one_of({"steady": answer.part("Part"), "tagged": answer.part("Bill")})}


def test_a_choice_becomes_the_shape_it_says():
    assert isinstance(Choice({"law": {"steady": {}}}).law, Part)
    assert isinstance(Choice({"law": {"model": "tagged", "what": "x"}}).law, Bill)
    assert Choice({"law": "none"}).law == "none"
    assert Choice({"law": {"other": 1}}).law == {"other": 1}
