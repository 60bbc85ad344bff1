"""The sheet: what it shows is what the kit is, and it can be read and printed by itself."""

import html
import re
from collections import Counter
from datetime import date
from itertools import combinations, pairwise, product
from pathlib import Path

import html5lib
import pytest
from typer.testing import CliRunner

from kitsolver import brief_of, pick, read_brief, read_catalogue
from kitsolver.cli import app
from kitsolver.explain.answer import answer
from kitsolver.explain.around import around
from kitsolver.shop.money import to_text
from kitsolver.show.sentences import figure_text
from kitsolver.show.sheet import strips
from kitsolver.show.sheet.class_view import laid_out
from kitsolver.show.sheet.fabric_drawing import Box, FabricDrawing, fabric_drawing
from kitsolver.show.sheet.goods_facts import GoodsFacts
from kitsolver.show.sheet.ladder_drawing import across, ladder_drawing
from kitsolver.show.sheet.locale_style import style_of
from kitsolver.show.sheet.paper import Paper
from kitsolver.show.sheet.picking_view import Picked
from kitsolver.show.sheet.scene import scene_of
from kitsolver.show.sheet.sheet import Reader, picking_html, sheet_html
from kitsolver.show.sheet.strips import strips_of
from kitsolver.show.sheet.theme import DAY, NIGHT, PRINTED, contrast
from kitsolver.show.sheet.tide import bands

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
BRIEFS = ("bundle", "class-of-twelve", "gift-card")


@pytest.fixture(scope="module", params=BRIEFS)
def picked(request):
    """Return a catalogue and the outcome of one of the demo's briefs."""
    brief = read_brief(DEMO / f"{request.param}.toml")
    catalogue = read_catalogue(SHOP, currency=brief.currency)
    return catalogue, pick(catalogue, brief)


def shop_of(text, folder):
    """Return the catalogue of CSV text."""
    file = folder / "small.csv"
    file.write_text(text, encoding="utf-8")
    return read_catalogue(file, currency="EUR")


def text_of(page):
    """Return the words of a page, without tags."""
    body = page.partition("<body")[2].partition(">")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_contrast_is_that_of_the_standard():
    """WCAG 2.2: black on white is 21 to 1; #777777 on white is 4.48 to 1 (recalled from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("look", [DAY, NIGHT, PRINTED])
def test_what_is_read_and_what_is_drawn_stand_out(look):
    """WCAG 2.2 AA: 4.5 to 1 for text (1.4.3), 3 to 1 for what is drawn (1.4.11)."""
    for ground, text in product(("paper", "panel", "table"), ("ink",)):
        assert contrast(look[ground], look[text]) >= 4.5
    for ground, text in product(("paper", "panel"), ("soft", "mark", "warn")):
        assert contrast(look[ground], look[text]) >= 4.5
    for ground, drawn in product(("paper", "panel"), ("line", "mark", "ink")):
        assert contrast(look[ground], look[drawn]) >= 3


@pytest.mark.parametrize("reader", Reader)
def test_a_page_is_sound_and_needs_nothing_else(picked, reader):
    catalogue, outcome = picked
    page = sheet_html(outcome, reader=reader, paper=Paper(catalogue))
    html5lib.HTMLParser(strict=True).parse(page)
    # The typeface is within the page itself.
    rest = page.replace('src: url("data:font/woff2;base64,', "")
    assert not re.search(r"https?:|<script|src=|url\(|@import|<link", rest)
    for tag in ("svg", "title", "h1", "main"):
        assert page.count(f"<{tag}") == page.count(f"</{tag}>")


def test_a_customer_s_sheet_has_every_line_and_sum(picked):
    catalogue, outcome = picked
    beside = around(catalogue, outcome.brief)
    full = Paper(catalogue, full=True)
    told = text_of(sheet_html(outcome, around=beside, paper=full))
    kit, currency = outcome.kit, outcome.brief.currency
    for line in kit.lines:
        sums = f"{to_text(line.price, currency)} {to_text(line.total, currency)}"
        assert f"{line.units} {line.name} {line.sku} {sums}" in told
    shown = Counter(re.findall(r"(\S+) stitches, (\d+ skein|at home)", told))
    assert shown == Counter(
        (f"{shade.stitches}", "at home" if shade.sku is None else f"{shade.skeins} skein")
        for shade in kit.shades
    )
    names = {
        "goods": "goods",
        "discount": "discount",
        "delivery": "delivery",
        "payable": f"in all, {currency}",
    }
    for name, word in names.items():
        amount = getattr(kit.receipt, name)
        sign = "−" if name == "discount" and amount else ""
        shown = f"{word} {sign}{to_text(amount, currency)}"
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


def test_without_a_wish_the_customer_s_sheet_has_neither_ladder_nor_checks(picked):
    catalogue, outcome = picked
    told = text_of(sheet_html(outcome, paper=Paper(catalogue)))
    assert "Checked again" not in told
    assert "More or less money" not in told


def test_a_picking_list_multiplies_units_and_leaves_out_what_is_owned(picked):
    catalogue, outcome = picked
    told = text_of(sheet_html(outcome, reader=Reader.SHOP, copies=7, paper=Paper(catalogue)))
    assert "for 7 kits" in told
    shelf = catalogue.row(outcome.kit.lines[0].sku)["shelf"]
    assert f" {shelf} " in told
    for line in outcome.kit.lines:
        owned = line.sku in outcome.brief.choose.own
        there = re.search(f" {7 * line.units} {re.escape(f'{line.sku} {line.name}')} (\\S+)", told)
        assert bool(there) != owned
        stock = catalogue.row(line.sku)["stock"]
        if there and stock:
            left = int(stock) - 7 * line.units
            assert there[1] == (f"{left}" if left >= 0 else "order")
    assert "in all 2" not in told


@pytest.mark.parametrize("header", ["shelf", "Regal", "Location"])
def test_shelves_come_in_the_order_in_which_people_count(tmp_path, header):
    rows = "".join(f"S{n},a,c{n},1.00,50,{place}\n" for n, place in enumerate(("A10", "A2", "B1")))
    catalogue = shop_of(f"sku,name,category,price,quality,{header}\n{rows}", tmp_path)
    outcome = pick(
        catalogue, brief_of({"currency": "EUR", "cap": "9", "holds": ["c0", "c1", "c2"]})
    )
    told = text_of(sheet_html(outcome, reader=Reader.SHOP, paper=Paper(catalogue)))
    assert re.findall(r"[AB]\d+", told) == ["A2", "A10", "B1"]


def test_one_picking_list_holds_several_kits(picked):
    catalogue, outcome = picked
    kits = [Picked(name, outcome.kit, outcome.brief, n) for name, n in (("one", 2), ("two", 3))]
    told = text_of(picking_html(kits, "Spring", Paper(catalogue)))
    line = outcome.kit.lines[0]
    assert f"{line.units} {line.units} {5 * line.units} {line.sku} {line.name}" in told


def test_a_class_plan_tells_what_to_hand_out_and_the_cautions():
    brief = read_brief(DEMO / "class-of-twelve.toml")
    outcome = pick(read_catalogue(SHOP, currency="EUR"), brief)
    told = text_of(
        sheet_html(outcome, reader=Reader.CLASS, paper=Paper(read_catalogue(SHOP, currency="EUR")))
    )
    assert "Plan for a class of 12" in told
    # Two packets of six, for a class of twelve.
    assert "Needles, in pieces: 12." in told
    assert told.count("Who sits here") == 6
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


def test_the_spare_kit_is_named():
    brief = read_brief(DEMO / "class-of-twelve.toml", sets=["spare=1", "cap=240"])
    outcome = pick(read_catalogue(SHOP, currency="EUR"), brief)
    told = text_of(sheet_html(outcome, reader=Reader.CLASS))
    assert "1 of the 13 kits is spare. It goes to: ___" in told
    # Twelve people share their skeins by two, so the thirteenth kit is alone at its table.
    assert "Table 6 of 7 2 people Who sits here" in told
    assert "Table 7 of 7 1 to spare thread" in told


@pytest.mark.parametrize("threads", [4, 6, 9])
@pytest.mark.parametrize("cards", [2, 5, 7, 9, 13, 15])
def test_no_page_of_cards_for_tables_is_nearly_empty(cards, threads):
    _, counts = laid_out(cards, threads)
    assert sum(counts) == cards
    # Two cards stand side by side, and the last row may have one only.
    assert max(counts) - min(counts) <= 3


def test_bands_cover_what_the_chart_says(picked):
    """A wave that rises as far as it falls leaves each band its share of the stitches."""
    kit = picked[1].kit
    every = float(sum(shade.stitches for shade in kit.shades))
    drawn = bands(kit.shades)
    lines = [float(re.match(r"M0 ([\d.]+)", band.path)[1]) for band in drawn]
    shares = {shade.thread_colour: 100 * float(shade.stitches) / every for shade in kit.shades}
    for band, top, below in zip(drawn, lines, [*lines[1:], 100.0], strict=True):
        assert below - top == pytest.approx(shares[band.colour], abs=0.02)
        corners = re.findall(r"[QT]([\d. -]+)", band.path)
        assert {float(corner.split()[-1]) for corner in corners} <= {top}


def test_things_lie_on_the_table_and_not_on_each_other(picked):
    catalogue, outcome = picked
    skus = [line.sku for line in outcome.kit.lines]
    scene = scene_of(outcome.kit, outcome.brief, GoodsFacts.of(catalogue, skus))
    for one, other in combinations(scene.placed, 2):
        apart = (
            one.left + one.width <= other.left
            or other.left + other.width <= one.left
            or one.top + one.height <= other.top
            or other.top + other.height <= one.top
        )
        assert apart, (one.thing.name, other.thing.name)
    right = scene.left + scene.cloth.width * scene.scale
    for one in scene.placed:
        assert right < one.left
        assert one.left + one.width <= 1000
        assert one.top + one.height <= scene.height
    assert {one.thing.sku for one in scene.placed} | {scene.cloth_sku} >= set(skus)


def test_words_beside_strips_do_not_meet(tmp_path):
    """The case that is hardest: forty colours, most of them with few stitches."""
    colours = {f"#{n:02x}{n:02x}40": n * n + 1 for n in range(0, 240, 6)}
    charted = ";".join(f"{colour}:{number}" for colour, number in colours.items())
    threads = "".join(f"T{colour[1:]},t,thread,1.00,50,,,{colour},,,,\n" for colour in colours)
    shop = (
        "sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,"
        f"width_cm,height_cm\nC,c,chart,1.00,50,900,900,{charted},,,,\n{threads}"
        "F,f,fabric,1.00,50,,,,aida,14,260,260\n"
    )
    catalogue = shop_of(shop, tmp_path)
    brief = brief_of({"currency": "EUR", "cap": "900", "holds": ["chart", "thread", "fabric"]})
    outcome = pick(catalogue, brief)
    strips = strips_of(outcome.kit, outcome.brief)
    words = [strip.words for strip in strips.rows]
    assert len(words) == 40
    assert all(after - before >= 24.9 for before, after in pairwise(words))
    assert words[0] >= 12
    assert words[-1] <= strips.height - 12


@pytest.mark.parametrize(
    ("language", "sum_", "day"),
    [
        ("de-AT,en;q=0.5", "1250,50", "5.3.2027"),
        ("en-US", "1250.50", "March 5, 2027"),
        ("en-GB", "1250.50", "5 March 2027"),
        ("", "1250.50", "5 March 2027"),
    ],
)
def test_numbers_and_dates_follow_the_reader_s_language(language, sum_, day):
    style = style_of(language)
    assert style.shown("1250.50") == sum_
    assert style.day(date(2027, 3, 5)) == day


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
    design = next(box for box in drawing.boxes if box.kind == "design")
    ratio = sorted((design.width, design.height))
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


def test_each_cut_is_drawn_once_and_none_along_the_edge():
    cuts = [Box("cut", left, top, 20, 30) for left in (0, 20) for top in (0, 30)]
    drawing = FabricDrawing(50, 60, tuple(cuts), "", "", "", "", "", 1)
    assert set(drawing.cut_lines) == {(20, 0, 20, 60), (40, 0, 40, 60), (0, 30, 40, 30)}


def test_names_stand_on_their_strips_only_where_these_are_wide_enough():
    beside = ["725 stitches, 1 skein"] * 3
    names = ["Dusk", "Midnight Watchmen", "Gulls on the shore"]
    on, wide = strips._widths(names, beside, [True, True, True])
    assert list(on) == [True, True, True]
    # A strip that is too low has its name beside it, which leaves the cloth less width.
    on, narrow = strips._widths(names, beside, [True, True, False])
    assert list(on) == [True, False, False]
    assert narrow < wide
