"""The card, from Python and from a terminal; the page as a browser and a validator see it."""

import html
import json
import re
import shutil
import subprocess
import sys
import warnings
from pathlib import Path

import html5lib
import pytest

import gelwright as gw
from gelwright.__main__ import main

DEMO = Path(__file__).resolve().parents[2] / "crates" / "gelwright" / "demo"
CAREFUL, CARELESS = DEMO / "moth_lantern.toml", DEMO / "moth_lantern_careless.toml"
EVIL = "<script>alert(1)</script> & \"quoted\" 'too'"


@pytest.fixture(scope="module")
def careful():
    return gw.Casting.load(CAREFUL).plan()


@pytest.fixture(scope="module")
def careless():
    return gw.Casting.load(CARELESS).plan()


@pytest.fixture(scope="module")
def evil():
    """The demo with markup in every text that a casting names."""
    raw = json.loads(json.dumps(gw.Casting.load(CAREFUL).raw))
    raw["name"] = raw["note"] = EVIL
    for rows in ("zones", "inserts", "seams"):
        for i, row in enumerate(raw[rows]):
            row["name"] = f"{EVIL} {rows} {i}"
            if row.get("carries"):
                row["carries"]["zone"] = raw["zones"][0]["name"]
    text = json.dumps(raw)
    for recipe in raw["recipes"]:
        text = text.replace(f'"{recipe}"', json.dumps(f"{EVIL} {recipe}"))
    raw = json.loads(text)
    for material in raw["material"].values():
        if "name" in material:
            material["name"] = EVIL
    for source in raw["source"].values():
        source["title"] = EVIL
    return gw.ask("plan.make", **raw)


def test_the_card_is_a_noun(careful, careless):
    card = careful.card()
    assert (card.verdict, careless.card().verdict) == ("yes_if", "no")
    assert str(card) == card.text()
    assert card.cups[0].name == careful.batches[0].name == "cup 1"
    assert "Becher 1" in careful.card(language="german").text()
    assert not careless.card().cups


def test_rooms_know_their_names(careful):
    assert gw.card.page([careful], language="german").startswith("<!DOCTYPE html>")
    assert "<section" in careful._repr_html_()


# What a run ends with: 0 yes, 1 yes if, 2 no, 3 not planned, 64 not understood.
def run(*words):
    done = subprocess.run([sys.executable, "-m", "gelwright", *map(str, words)], capture_output=True, timeout=300)
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def test_a_terminal_gets_the_card_first_and_the_verdict_as_status(tmp_path, careful):
    page = tmp_path / "lantern.html"
    status, out, _ = run("plan", CAREFUL, "--page", page)
    assert status == 1
    assert out.startswith(careful.card().text())
    assert out.index("-" * 100) < len("\n".join(out.splitlines()[:61]))
    assert page.read_text(encoding="utf-8") == careful.page()
    status, out, _ = run("plan", CARELESS, "--no-page", "--card", "--language", "german")
    assert status == 2
    assert out.startswith("NEIN")
    assert list(tmp_path.iterdir()) == [page]


def test_begin_then_plan(tmp_path, capsys):
    file = tmp_path / "tray.toml"
    assert main(["begin", str(file)]) == 0
    assert main(["begin", str(file)]) == 64
    assert main(["plan", str(file)]) in (0, 1)
    assert (tmp_path / "tray.html").exists()
    assert capsys.readouterr().out.count("YES") == 1


def test_all_mistakes_of_a_file_at_once(tmp_path):
    file = tmp_path / "bad.toml"
    text = CAREFUL.read_text(encoding="utf-8")
    for right, wrong in [('"0.018 m^2"', '"0.018 m"'), ('"65 %"', '"165 %"'), ('"6 mm"', '"6"')]:
        assert right in text
        text = text.replace(right, wrong)
    file.write_text(text, encoding="utf-8")
    status, out, _ = run("plan", file)
    assert status == 3
    assert out.startswith("NO: ")
    for field in ["zones[3].area", "shop.humidity", "mould.thickness"]:
        assert field in out
    assert run("plan", tmp_path / "absent.toml")[0] == 3
    assert run("plan")[0] == 64
    assert run("plot", file)[0] == 64


def test_compare_from_a_terminal(tmp_path):
    picture = tmp_path / "both.svg"
    status, out, _ = run("compare", CAREFUL, CARELESS, "--picture", picture)
    assert status == 2
    assert "shortest gel time" in out
    assert "worst finding" in out
    import xml.etree.ElementTree as ET

    assert ET.parse(picture).getroot().tag.endswith("svg")


# --- the page, by a validator of HTML (html5lib, the parser of the HTML standard, strict) ----------------------------


def test_the_page_is_valid_html(careful, careless, evil):
    for page in [careful.page(), careless.page(language="german"), evil.page(), gw.card.page([careful, careless])]:
        html5lib.HTMLParser(strict=True).parse(page)
        ids = re.findall(r'\sid="([^"]*)"', page)
        assert len(ids) == len(set(ids))
        assert not re.search(r'(src|href)="', page)
        assert "http" not in page.replace("http://www.w3.org/2000/svg", "")


def test_a_name_is_text_wherever_it_stands(evil):
    for shown in [evil.page(), evil.page(language="german"), evil._repr_html_()]:
        # The page has a script of its own, which keeps the record of the day.
        assert shown.count("<script") == shown.startswith("<!DOCTYPE")
        assert html.escape(EVIL, quote=False)[:30] in shown
        tree = html5lib.parse(shown, namespaceHTMLElements=False)
        assert len(list(tree.iter("script"))) == shown.startswith("<!DOCTYPE")
    both = gw.plan.compare([gw.Casting.load(CAREFUL)]).picture()
    assert "<script" not in both


# --- the page, by a browser -------------------------------------------------------------------------------------------

BROWSER = next(filter(None, map(shutil.which, ["chromium", "chromium-browser", "google-chrome"])), None)


@pytest.fixture
def browser():
    if BROWSER is None:
        warnings.warn("no browser here: the page is not looked at", stacklevel=1)
        pytest.skip("NO BROWSER: the laid-out page is not checked; install chromium")
    return [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"]


# The page in a frame as wide as the screen: a browser's own window is never narrower than 500 px.
MEASURE = """<!doctype html><meta charset="utf-8"><iframe id="f" style="border:0;width:{width}px;height:800px"></iframe>
<script>
const f = document.getElementById("f");
f.onload = () => {{
  const d = f.contentDocument, w = {width};
  const wide = [...d.querySelectorAll("body *")].filter(e => !e.closest("details:not([open])") &&
      e.getBoundingClientRect().right > w + 0.5).map(e => e.tagName + "." + e.className);
  const small = [...d.querySelectorAll("body *")].filter(e => !e.closest("svg") && parseFloat(f.contentWindow
      .getComputedStyle(e).fontSize) < 16).length;
  document.title = JSON.stringify({{verdict: d.querySelector(".verdict").getBoundingClientRect().bottom,
      scroll: d.documentElement.scrollWidth, wide: wide.slice(0, 5), small: small}});
}};
f.srcdoc = {page};
</script>"""


# 320 px is the width of WCAG 2.2, success criterion 1.4.10 (reflow).
@pytest.mark.parametrize("width", [320, 390, 1280])
@pytest.mark.parametrize("which", ["careful", "careless", "evil"])
def test_the_verdict_is_in_sight_and_nothing_is_wider_than_the_screen(request, browser, tmp_path, which, width):
    page = request.getfixturevalue(which).page()
    file = tmp_path / "frame.html"
    file.write_text(MEASURE.format(width=width, page=json.dumps(page).replace("</", "<\\/")), encoding="utf-8")
    out = subprocess.run(
        [*browser, "--virtual-time-budget=4000", f"--window-size={width + 40},900", "--dump-dom", file.as_uri()],
        capture_output=True,
        timeout=120,
    ).stdout.decode()
    seen = json.loads(html.unescape(re.search(r"<title>(.*?)</title>", out, re.S)[1]))
    assert seen["verdict"] <= 400, seen
    assert seen["scroll"] <= width, seen
    assert not seen["wide"], seen
    assert seen["small"] == 0, seen


def pages(browser, tmp_path, page):
    file, pdf = tmp_path / "page.html", tmp_path / "page.pdf"
    file.write_text(page, encoding="utf-8")
    subprocess.run(
        [*browser, "--no-pdf-header-footer", f"--print-to-pdf={pdf}", file.as_uri()],
        capture_output=True,
        timeout=120,
        check=True,
    )
    return len(re.findall(rb"/Type\s*/Page\b", pdf.read_bytes()))


def test_on_paper_the_card_takes_one_page_and_the_plan_four(browser, tmp_path, careful):
    whole = careful.page()
    assert pages(browser, tmp_path, whole) <= 4
    card = re.sub(r'<div lang="en">.*</div></article>', "</article>", whole, flags=re.S)
    assert len(card) < len(whole) / 2
    assert pages(browser, tmp_path, card) == 1


# Ticks two steps as a hand would, and puts what would be saved into the title.
TICK = """<script>
addEventListener("load", () => {
  URL.createObjectURL = blob => { blob.text().then(text => { document.title = "saved:" + text; }); return "blob:x"; };
  URL.revokeObjectURL = () => {};
  HTMLAnchorElement.prototype.click = () => {};
  [...document.querySelectorAll(".record[data-step]")].slice(0, 2).forEach((step, i) => {
    [["from", ["08:30", "08:36"][i]], ["until", ["08:36", "08:44"][i]]].forEach(([name, value]) => {
      const field = step.querySelector(`[name=${name}]`);
      field.value = value;
      field.dispatchEvent(new Event("change", { bubbles: true }));
    });
  });
  document.querySelector("[name=save]").click();
});
</script>"""


def test_what_is_ticked_on_the_page_is_a_record_that_the_rest_of_the_day_is_planned_from(browser, tmp_path, careful):
    file = tmp_path / "ticked.html"
    file.write_text(careful.page().replace("</body>", TICK + "</body>"), encoding="utf-8")
    out = subprocess.run(
        [*browser, "--virtual-time-budget=3000", "--dump-dom", file.as_uri()],
        capture_output=True,
        timeout=120,
    ).stdout.decode()
    saved = html.unescape(re.search(r"<title>saved:(.*?)</title>", out, re.S)[1])
    record = tmp_path / "record.toml"
    record.write_text(saved, encoding="utf-8")
    rest = gw.Casting.load(CAREFUL).replan(gw.BenchRecord.load(record))
    assert list(rest.done) == [1, 2]
    assert str(rest.now) == "08:44"
    assert not rest.setbacks
    status, printed, _ = run("replan", CAREFUL, record)
    assert status == 0
    assert "the rest of the day, from 08:44" in printed
