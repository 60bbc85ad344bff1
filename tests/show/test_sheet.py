"""The sheet: what it shows is what the kit is, and it can be read and printed by itself."""

import html
import re
from itertools import product
from pathlib import Path

import html5lib
import pytest
from typer.testing import CliRunner

from kitsolver import pick, read_brief, read_catalogue
from kitsolver.cli import app
from kitsolver.explain.answer import answer
from kitsolver.explain.around import around
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet.fabric_drawing import fabric_drawing
from kitsolver.show.sheet.ladder_drawing import across, ladder_drawing
from kitsolver.show.sheet.sheet import Reader, sheet_html
from kitsolver.show.sheet.theme import DAY, NIGHT, contrast

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
BRIEFS = ("bundle", "class-of-twelve", "gift-card")


@pytest.fixture(scope="module", params=BRIEFS)
def picked(request):
    """Return a catalogue and the outcome of one of the demo's briefs."""
    brief = read_brief(DEMO / f"{request.param}.toml")
    catalogue = read_catalogue(SHOP, currency=brief.currency)
    return catalogue, pick(catalogue, brief)


def text_of(page):
    """Return the words of a page, without tags."""
    body = page.partition("<body>")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_contrast_is_that_of_the_standard():
    """WCAG 2.2: black on white is 21 to 1; #777777 on white is 4.48 to 1 (recalled from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("look", [DAY, NIGHT])
def test_what_is_read_and_what_is_drawn_stand_out(look):
    """WCAG 2.2 AA: 4.5 to 1 for text (1.4.3), 3 to 1 for what is drawn (1.4.11)."""
    for ground, text in product(("paper", "panel"), ("ink", "soft")):
        assert contrast(look[ground], look[text]) >= 4.5
    for ground, drawn in product(("paper", "panel"), ("line", "mark", "ink")):
        assert contrast(look[ground], look[drawn]) >= 3


@pytest.mark.parametrize("reader", Reader)
def test_a_page_is_sound_and_needs_nothing_else(picked, reader):
    catalogue, outcome = picked
    page = sheet_html(outcome, around=around(catalogue, outcome.brief), reader=reader)
    html5lib.HTMLParser(strict=True).parse(page)
    assert not re.search(r"https?:|<script|src=|url\(|@import|<link", page)
    for tag in ("svg", "title", "h1", "main"):
        assert page.count(f"<{tag}") == page.count(f"</{tag}>")


def test_a_customer_s_sheet_has_every_line_and_sum(picked):
    catalogue, outcome = picked
    beside = around(catalogue, outcome.brief)
    told = text_of(sheet_html(outcome, around=beside))
    kit, currency = outcome.kit, outcome.brief.currency
    for line in kit.lines:
        sums = f"{to_text(line.price, currency)} {to_text(line.total, currency)}"
        assert f"{line.units} {line.name} {line.sku} {sums}" in told
    for shade in kit.shades:
        assert f"{shade.chart_colour} {shade.thread_colour} {shade.sku or 'home'}" in told
    for name in ("goods", "discount", "delivery", "payable"):
        amount = getattr(kit.receipt, name)
        sign = "-" if name == "discount" and amount else ""
        shown = f"{name} {sign}{to_text(amount, currency)} {currency}"
        assert shown in told or (name in ("discount", "delivery") and not amount)
    assert f"Quality {figure_text(kit.figures.quality)} of 100" in told
    # What is left to the shop is nobody else's business.
    assert "margin" not in told
    for check in (check for check in kit.checks if check.rule != "margin"):
        assert f"{check.rule} {'yes' if check.holds else 'not checked'}" in told
    for one in beside.reached:
        assert f"{to_text(one.cap - outcome.brief.total_cap, currency)} {currency}" in told
    for rise in ladder_drawing(beside.ladder).rises:
        assert f"{rise.cap} ({rise.quality})" in told


def test_a_picking_list_multiplies_units_and_leaves_out_what_is_owned(picked):
    _, outcome = picked
    told = text_of(sheet_html(outcome, reader=Reader.SHOP, copies=7))
    assert "Picking list for 7 kits" in told
    for line in outcome.kit.lines:
        owned = line.sku in outcome.brief.choose.own
        assert (f"{7 * line.units} {line.sku} {line.name}" in told) != owned
    assert "payable" not in told


def test_a_class_plan_tells_what_to_hand_out_and_the_cautions():
    brief = read_brief(DEMO / "class-of-twelve.toml")
    outcome = pick(read_catalogue(SHOP, currency="EUR"), brief)
    told = text_of(sheet_html(outcome, reader=Reader.CLASS))
    assert "Plan for a class of 12" in told
    assert "Out: ____ In: ____" in told
    assert "The school's or venue's own rules come first." in told
    # 1163 stitches at the brief's 60 crosses an hour are 19.4 hours.
    assert sum(shade.stitches for shade in outcome.kit.shades) == 1163
    assert re.findall(r"[^.]*an hour[^.]*", told) == [" 1163 crosses at 60 an hour take 20 hours"]


@pytest.mark.parametrize(("heads", "cap"), [(12, "216.00"), (1, "60.00")])
def test_a_class_sheet_has_one_time_at_the_brief_s_own_speed(heads, cap):
    sets = [f"heads={heads}", "lesson.stitches_an_hour=120"]
    brief = read_brief(DEMO / "class-of-twelve.toml", sets=sets, cap=cap)
    outcome = pick(read_catalogue(SHOP, currency="EUR"), brief)
    told = text_of(sheet_html(outcome, reader=Reader.CLASS))
    stitches = sum(shade.stitches for shade in outcome.kit.shades)
    hours = -(-stitches // 120)
    assert f"{stitches} crosses at 120 an hour take {hours} hours" in told
    assert told.count("hours") == 1


def test_the_drawing_is_to_scale_and_shows_what_the_kit_says(picked):
    _, outcome = picked
    kit, brief = outcome.kit, outcome.brief
    drawing = fabric_drawing(kit, brief)
    for box in drawing.boxes:
        assert box.left >= 0
        assert box.top >= 0
        assert box.left + box.width <= drawing.width + 0.02
        assert box.top + box.height <= drawing.height + 0.02
    designs = [box for box in drawing.boxes if box.kind != "cut"]
    expected = min(brief.heads, kit.fit.pieces) if brief.heads > 1 else kit.fit.repeats
    assert len(designs) == expected
    ratio = sorted((drawing.first.width, drawing.first.height))
    finished = sorted(float(side) for side in kit.fit.finished)
    assert ratio[0] / ratio[1] == pytest.approx(finished[0] / finished[1], rel=1e-3)


def test_the_line_of_steps_climbs_and_ends_at_both_edges(picked):
    catalogue, outcome = picked
    found = around(catalogue, outcome.brief).ladder
    steps = ladder_drawing(found)
    assert 0 < across(outcome.brief.total_cap, found.low, found.high) < 160
    places = [tuple(map(float, pair.split(","))) for pair in steps.points.split()]
    right, down = [x for x, _ in places], [y for _, y in places]
    assert right == sorted(right)
    assert down == sorted(down, reverse=True)
    assert right[-1] == 160


def test_what_a_catalogue_says_is_shown_and_never_obeyed(tmp_path):
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    name = '<script>alert("1")</script> & co'
    quoted = name.replace('"', '""')
    shop.write_text(f'sku,name,category,price,quality\nS1,"{quoted}",scissors,5.00,60\n')
    brief.write_text('title="<b>"\ncurrency="EUR"\ncap="9.00"\nholds=["scissors"]\n')
    sheet = tmp_path / "sheet.html"
    done = CliRunner().invoke(app, ["pick", str(shop), str(brief), "--html", str(sheet)])
    assert done.exit_code == 0
    page = sheet.read_text(encoding="utf-8")
    assert "<script" not in page
    assert "<b>" not in page
    assert name in text_of(page)


def test_without_a_kit_the_sheet_says_why(tmp_path):
    brief = read_brief(DEMO / "bundle.toml", cap="5.00")
    outcome, why = answer(read_catalogue(SHOP, currency="EUR"), brief)
    told = text_of(sheet_html(outcome, why))
    assert "no more than 5.00 EUR is to be paid" in told
    assert "--cap 8.75" in told
    sheet = tmp_path / "sheet.html"
    command = ["pick", str(SHOP), str(DEMO / "bundle.toml"), "--cap", "5.00", "--html", str(sheet)]
    assert CliRunner().invoke(app, command).exit_code == 1
    assert text_of(sheet.read_text(encoding="utf-8")) == told


def test_the_sheet_goes_to_standard_output_alone():
    command = ["pick", str(SHOP), str(DEMO / "bundle.toml"), "--html", "-", "--for", "shop"]
    done = CliRunner().invoke(app, command)
    assert done.stdout.startswith("<!DOCTYPE html>")
    assert done.stdout.rstrip().endswith("</html>")
    assert CliRunner().invoke(app, [*command, "--json", "-"]).exit_code == 2
