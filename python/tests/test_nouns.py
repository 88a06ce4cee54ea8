"""Answers and refusals as Python objects."""

import copy
import doctest
import json
import multiprocessing
import os
import pickle
import re
import threading
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import gelwright as gw
from gelwright import _core, errors, faces, noun, show

VECTORS = Path(__file__).resolve().parents[2] / "tests" / "vectors"


class Part(noun.Noun):
    """A part to weigh."""

    __slots__ = ()
    _shape = {"name": noun.plain, "mass": noun.quantity}


class Reason(faces.WhyFace):
    """Why."""

    __slots__ = ()
    _shape = {"what": noun.plain, "value": noun.plain, "from": noun.several(lambda raw: Reason._of(raw))}


class Sheet(noun.Noun):
    """A noun with one of everything."""

    __slots__ = ()
    _shape = {
        "total": noun.quantity,
        "parts": lambda raw: noun.Table(Part._of(r) for r in raw),
        "time_s": noun.array,
        "temperature_K": noun.array,
        "why": Reason._of,
        "from": noun.plain,
        "note": noun.plain,
        "most": noun.plain,
    }
    _renamed = {"from_": "from"}
    _defaults = {"most": 3}


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
    return Sheet._of(RAW)


def test_fields_are_attributes_and_items(sheet):
    assert sheet.total.to("kg").magnitude == pytest.approx(0.15)
    assert sheet["total"] == sheet.total
    assert sheet.from_ == sheet["from"] == "cup 1"
    assert sheet.note is None
    assert set(dict(sheet)) == {*RAW, "most"}
    assert sheet.most == 3
    assert "parts" in sheet
    assert "from_" in dir(sheet)
    assert len(sheet) == 8
    with pytest.raises(AttributeError, match=r"has no field 'totl'; did you mean 'total'\? it has total, parts"):
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
    assert sheet == Sheet._of(RAW)
    assert hash(sheet) == hash(Sheet._of(RAW))
    assert sheet != Sheet._of({**RAW, "total": "151 g"})
    assert sheet != noun.Noun._of(RAW)


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
    mixed = noun.Table(Part({"name": n, "mass": m}) for n, m in (("a", "1 kg"), ("b", "5 g"), ("c", None)))
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


@pytest.mark.parametrize("question", ["quantity.convrt", "", "os.system", "quantity.__all__", "noun.Noun", "a.b.c"])
def test_an_unknown_question_is_a_key_error(question):
    with pytest.raises(KeyError, match="is not known") as caught:
        gw.ask(question)
    assert isinstance(caught.value, errors.UnknownNameError)
    assert caught.value.field == "question"


def test_every_question_has_its_method():
    for q in json.loads(_core.questions()):
        room = q["name"].split(".")[0]
        if q["noun"] is None:
            asked = getattr(getattr(gw, room), q["name"].split(".")[1])
        else:
            asked = getattr(getattr(gw, q["noun"]), q["method"])
        assert "Returns\n" in asked.__doc__


@pytest.mark.parametrize("room", gw._rooms.ROOMS)
def test_the_examples_run(room):
    assert doctest.testmod(getattr(gw, room)).failed == 0


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


class Bill(noun.Noun):
    """What something costs."""

    __slots__ = ()
    _shape = {"what": noun.plain, "cost": noun.money}


def test_money_says_its_currency():
    bills = noun.Table([Bill._of({"what": "resin", "cost": "12.50 EUR"}), Bill._of({"what": "mat", "cost": None})])
    assert bills[0].cost == gw.units.Money(12.5, "EUR")
    assert str(bills[0].cost) == "12.50 EUR"
    frame = bills.frame()
    assert frame["cost [EUR]"][0] == 12.5
    # two currencies are not added up silently
    mixed = noun.Table([bills[0], Bill._of({"what": "mat", "cost": "3.00 USD"})]).frame()
    assert mixed["cost"].tolist() == ["12.50 EUR", "3.00 USD"]


class Law(noun.Choice):
    """One of several shapes."""

    __slots__ = ()
    _variants = {"steady": {"mass": noun.quantity}, "bill": Bill._of, "none": None}


def test_a_choice_says_which_it_is():
    steady = Law._chosen("steady", {"mass": "3 g", "note": None})
    assert steady.raw == {"steady": {"mass": "3 g"}}
    assert (steady.kind, steady.mass.magnitude) == ("steady", 3.0)
    assert Law._chosen("bill", Bill({"what": "x"})).content == Bill({"what": "x"})
    assert Law._chosen("none", None).raw == Law("none").raw == "none"
    assert Law("none").mass is None
    with pytest.raises(AttributeError, match="has no field 'weight'"):
        _ = steady.weight


def test_a_change_gives_another_one(sheet):
    other = sheet.changed({"parts[0].mass": "140 g"}, total="143 g", from_="cup 2")
    assert (other.parts[0].mass.magnitude, other.total.magnitude, other.from_) == (140.0, 143.0, "cup 2")
    assert sheet.parts[0].mass.magnitude == 147.0
    with pytest.raises(errors.UnknownNameError, match="it has total, parts"):
        sheet.changed(totl="1 g")
    with pytest.raises(errors.UnknownNameError, match="nothing there"):
        sheet.changed({"parts[9].mass": "1 g"})


def test_all_mistakes_are_told_at_once():
    with pytest.raises(gw.GelwrightError) as caught:
        gw.ask("quantity.convert", quantity=8, too="L")
    mistakes = caught.value.mistakes
    assert {(type(m), m.field) for m in mistakes} == {
        (errors.DocumentError, "quantity"),
        (errors.DocumentError, ""),
    }
    assert len(mistakes) == 2
    assert all(str(m) in str(caught.value) for m in mistakes[1:])
    again = pickle.loads(pickle.dumps(caught.value))
    assert str(again) == str(caught.value)


def test_a_noun_is_checked_where_it_is_made():
    with pytest.raises(gw.GelwrightError) as caught:
        gw.Thermal(density="1.8 g", specific_heat=1000, conductivity="0.3 W/(m*K)", reference="-300 degC")
    assert {m.field for m in caught.value.mistakes} == {"density", "specific_heat", "reference"}
    with pytest.raises(errors.BareNumberError, match="with its unit, for example"):
        gw.Recipe("white_gel_coat", mekp_9="2 wt% on resin").mix(60, bench={}, at="20 degC")


def test_an_uncertainty_that_is_not_used_is_refused():
    class Uncertain:
        nominal_value, std_dev = 8.0, 0.1

    assert noun._json(Uncertain(), "height") == "8.0, u = 0.1"
    with pytest.raises(gw.GelwrightError) as caught:
        gw.mix.DropperCalibration(drops=Uncertain(), mass="3.2 g", density="1.15 g/mL")
    assert caught.value.field == "drops"


def test_a_noun_is_shown_in_the_units_of_the_bench():
    shown = repr(Sheet._of({**RAW, "total": "1500 g", "time_s": list(range(100))}))
    assert "1.5 kg" in shown
    assert "100 values, 0 to 99" in shown
    assert len(shown.splitlines()) < 20


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("7822.8 s", "2.173 h"),
        ("4383 h", "182.6 d"),
        ("0.0021 kg", "2.1 g"),
        ("0.00321 m", "3.21 mm"),
        ("0.006 mm", "6 um"),
        ("0 m", "0 m"),
        ("-0.0697758858 %", "-0.06978 %"),
        ("3.334527589819182 EUR", "3.33 EUR"),
        ("21.11111111111114 degC", "21.11 degC"),
    ],
)
def test_a_number_with_its_unit_is_written_as_at_the_bench(given, shown):
    assert show.measured(given) == shown


@pytest.mark.parametrize("text", ["08:30", "gel coat 1", "2 wt% on resin", "9 lives", "", "3"])
def test_what_is_no_quantity_is_left_as_it_is(text):
    assert show.measured(text) is None


def nouns(value):
    if isinstance(value, noun.Noun | noun.Table):
        yield value
    if isinstance(value, noun.Noun):
        for name in value.keys():
            yield from nouns(value[name])
    elif isinstance(value, tuple):
        for one in value:
            yield from nouns(one)


@pytest.mark.parametrize("file", sorted(p.stem for p in VECTORS.glob("*.json")))
def test_whatever_is_answered_is_shown_within_a_screen(file):
    for case in json.loads((VECTORS / f"{file}.json").read_text()):
        if "expect" not in case:
            continue
        for one in nouns(gw.ask(case["question"], **case["request"])):
            lines = repr(one).splitlines()
            assert lines
            if not isinstance(one, faces.WhyFace | faces.FindingFace):  # these are sentences
                assert len(lines) < 20
                assert max(map(len, lines)) <= show.WIDTH
                assert "nan" not in repr(one).split()


def test_a_choice_is_shown_as_it_is_made():
    for made in (
        gw.Amount.mass("60 g"),
        gw.Face.insulated(),
        gw.Joint.strip(width="15 mm", length="80 mm"),
        gw.Course.steady("20 degC"),
    ):
        call = re.sub(r"(\d+ \w+)", r"'\1'", f"gw.{made!r}")
        assert eval(call, {"gw": gw}) == made


def test_a_table_is_a_row_a_line(sheet):
    shown = repr(sheet.parts).splitlines()
    assert shown[0] == "2 Part"
    assert shown[1].split() == ["name", "mass"]
    assert shown[3].split() == ["1", "catalyst", "<b>", "3", "g"]
    assert repr(noun.Table()) == "no rows"
    many = noun.Table(Part({"name": str(i), "mass": "1 g"}) for i in range(100))
    assert repr(many).splitlines()[-1] == "  and 85 more"


def test_a_change_to_nothing_leaves_the_field_out(sheet):
    assert "total" not in sheet.changed(total=None).raw
    assert sheet.changed(total=None).total is None


def test_the_name_that_was_probably_meant_is_told():
    thermal = gw.Thermal(density="1.8 g/mL", specific_heat="1000 J/(kg*K)", conductivity="0.3 W/(m*K)")
    wall = gw.Layer(name="mould", thickness="6 mm", thermal=thermal, starts_at="17 degC")
    with pytest.raises(AttributeError, match="did you mean 'thickness'"):
        _ = wall.thicknes
    with pytest.raises(errors.UnknownNameError, match="did you mean 'thickness'"):
        wall.changed(thickness_="5 mm")
    with pytest.raises(AttributeError) as caught:
        _ = gw.Recip
    assert (caught.value.name, caught.value.obj) == ("Recip", gw)


@pytest.mark.parametrize("room", gw._rooms.ROOMS)
def test_help_is_written_for_python(room):
    text = (Path(gw.__file__).parent / f"{room}.py").read_text(encoding="utf-8")
    assert not re.search(r"\w::\w|`(Some|Ok|Err)\b|`true`|`false`|\w\]\(\w", text)


def test_help_tells_the_fields_of_an_answer():
    assert "rest_thickness : Quantity\n" in gw.Squeezed.__doc__
    assert "sections : list of Section\n" in gw.Edge.__doc__
    # pydoc takes a class with `_fields` for a named tuple, and shows what is private
    assert not hasattr(gw.Edge, "_fields")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no fork here")
def test_a_sweep_after_a_fork_is_answered():
    """The pool of threads does not live on in a child; that must not hang it."""
    heat = json.loads((VECTORS / "heat.json").read_text())
    request = next(c for c in heat if c["name"] == "a sweep of cups answers as each cup")["request"]
    gw.ask("heat.sweep_cups", **request)
    script = multiprocessing.get_context("fork").Process(target=lambda: gw.ask("heat.sweep_cups", **request))
    script.start()
    script.join(20)
    alive = script.is_alive()
    script.kill()
    assert not alive
    assert script.exitcode == 0
