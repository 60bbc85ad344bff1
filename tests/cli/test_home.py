"""What is at home, from the command line: a drawer, a cupboard, and lists that are kept up."""

import csv
import io
import json

import pytest
from typer.testing import CliRunner

from kitsolver.cli.program import app

SHOP = """\
sku,name,category,price,quality,stock,serves,colours,stitches_wide,stitches_high,weave,count,width_cm,height_cm,needle_sizes
CH,Shell,chart,2.00,80,,,#cc0000:700;#00aa00:700,28,28,,,,,
FA,Aida,fabric,5.00,70,,,,,,aida,14,20,20,
RED,Red,thread,1.20,80,,,#cc0000,,,,,,,
GREEN,Green,thread,1.20,80,,,#00aa00,,,,,,,
NE,Needle,needle,1.00,75,,1,,,,,,,,24
SC,Scissors,scissors,4.00,75,5,1,,,,,,,,
"""
BRIEF = """\
title = "Shell"
currency = "EUR"
cap = "100.00"
[fit]
margin_cm = 2
"""
# 700 crosses in two strands at 14 count, 8.760 mm of working length each, and a fifth wasted:
# 700 times 8.7604 mm, times 2 and 1.2, in a skein of 6 strands, are 2.45291 m.
NEEDED = 2.4529


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "shop.csv").write_text(SHOP)
    (tmp_path / "brief.toml").write_text(BRIEF)
    return tmp_path


def run(*words, code=0):
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == code, done.output
    return done


def picked(*words):
    """Return the record of a pick, and its lines by sku."""
    record = json.loads(run("pick", "shop.csv", "brief.toml", "--json", "-", *words).stdout)
    return record, {line["sku"]: line for line in record["lines"]}


def test_a_part_used_skein_that_holds_what_a_colour_needs_buys_nothing(folder):
    (folder / "drawer.csv").write_text("sku,left_m\nRED,2.46\n")
    record, lines = picked("--home", "drawer.csv")
    red = lines["RED"]
    assert (red["units"], red["from_home_m"], red["left_after_m"]) == (0, 2.45, 0.01)
    assert (red["price"], red["line_total"]) == ("1.20", "0.00")
    assert record["goods"] == "13.20"
    assert [shade["skeins"] for shade in record["shades"]] == [0, 1]
    assert record["home"] == {"source": "drawer.csv", "rows": [{"sku": "RED", "left_m": "2.46"}]}


def test_one_that_is_a_hundredth_of_a_metre_short_buys_a_skein(folder):
    assert 2.45 < NEEDED < 2.46
    (folder / "drawer.csv").write_text("sku,left_m\nRED,2.45\n")
    record, lines = picked("--home", "drawer.csv")
    red = lines["RED"]
    assert (red["units"], red["from_home_m"], red["left_after_m"]) == (1, 0, 2.45)
    assert record["goods"] == "14.40"
    assert record["home"]["rows"] == []


def test_a_brief_names_the_list_beside_it(folder):
    (folder / "below").mkdir()
    (folder / "below" / "brief.toml").write_text(
        f'{BRIEF}\n[home]\nfrom = "drawer.csv"\ncolumns = "map.toml"\n'
    )
    (folder / "below" / "drawer.csv").write_text('Nr;Rest\nRED;"2,46"\n')
    (folder / "below" / "map.toml").write_text(
        'decimal_comma = true\n[columns]\nsku = "Nr"\nleft_m = "Rest"\n'
    )
    done = run("pick", "shop.csv", "below/brief.toml", "--json", "-")
    assert json.loads(done.stdout)["goods"] == "13.20"
    # Another list comes without the brief's map.
    (folder / "other.csv").write_text("sku,left_m\nGREEN,8\nRED,8\n")
    done = run("pick", "shop.csv", "below/brief.toml", "--home", "other.csv", "--json", "-")
    assert json.loads(done.stdout)["goods"] == "12.00"


def test_a_map_of_the_command_line_reads_the_list(folder):
    (folder / "drawer.csv").write_text("Nr,Rest\nRED,2.46\n")
    (folder / "map.toml").write_text('[columns]\nsku = "Nr"\nleft_m = "Rest"\n')
    record, _ = picked("--home", "drawer.csv", "--home-columns", "map.toml")
    assert record["goods"] == "13.20"


CLASS = ("--set", "heads=12", "--set", "needs.scissors.shared_by=1")


def test_a_class_brings_what_the_cupboard_has_and_buys_what_is_missing(folder):
    (folder / "cupboard.csv").write_text("sku,stock\nSC,10\nNE,\n")
    record, lines = picked("--home", "cupboard.csv", *CLASS)
    # Twelve pairs are needed: ten are there, and two are bought, of the five in the shop.
    scissors, needles = lines["SC"], lines["NE"]
    assert (scissors["units"], scissors["from_home"], scissors["line_total"]) == (12, 10, "8.00")
    assert (needles["units"], needles["from_home"]) == (12, 1)
    assert record["plan"]["bring"] == [
        {"sku": "NE", "units": 1, "metres": None},
        {"sku": "SC", "units": 10, "metres": None},
    ]
    told = run("pick", "shop.csv", "brief.toml", "--home", "cupboard.csv", *CLASS).output
    assert "Bring from home: 1 × Needle; 10 × Scissors." in " ".join(told.split())


def test_what_is_short_even_with_the_cupboard_is_no_kit(folder):
    (folder / "cupboard.csv").write_text("sku,stock\nSC,6\n")
    asked = ("pick", "shop.csv", "brief.toml", "--home", "cupboard.csv", *CLASS, "--cap", "150")
    told = " ".join(run(*asked, code=1).output.split())
    assert "SC (row 7) has 6 at home and 5 in stock, where 12 are needed" in told
    assert "--set heads=11" in told


def test_a_piece_that_is_only_at_home_and_too_little_is_told_as_such(folder):
    (folder / "shop.csv").write_text(SHOP.replace("FA,Aida,fabric", "FA,Aida,cloth"))
    (folder / "cupboard.csv").write_text(
        "sku,name,category,weave,count,width_cm,height_cm,stock\n"
        "OFF,Offcut,fabric,aida,14,10,10,1\n"
    )
    asked = ("pick", "shop.csv", "brief.toml", "--home", "cupboard.csv")
    assert "OFF" in run(*asked).output
    told = " ".join(run(*asked, "--set", "heads=2", code=1).output.split())
    assert "OFF (row 2 of the home list) has 1 at home, where 2 are needed" in told
    assert "--set heads=1" in told


def test_a_row_says_why_the_drawer_bars_it(folder):
    (folder / "cupboard.csv").write_text(
        "sku,name,category,stock,quality\nOLD,Old scissors,scissors,1,95\n"
    )
    asked = ("why", "shop.csv", "brief.toml", "OLD", "--home", "cupboard.csv")
    assert "It is in the best kit" in run(*asked).output
    told = " ".join(run(*asked, "--set", "heads=2").output.split())
    assert "It has 1 at home, and 2 would be needed." in told


@pytest.mark.slow
def test_the_buying_list_and_the_shop_s_sheet_hold_only_what_is_bought(folder):
    (folder / "cupboard.csv").write_text("sku,stock,left_m\nSC,10,\nRED,,200\nCH,12,\n")
    home = ("--home", "cupboard.csv")
    listed = run("pick", "shop.csv", "brief.toml", *home, *CLASS, "--csv", "-").stdout
    rows = {row["sku"]: row for row in csv.DictReader(io.StringIO(listed))}
    assert set(rows) == {"FA", "GREEN", "NE", "SC"}
    assert (rows["SC"]["units"], rows["SC"]["line_total"]) == ("2", "8.00")
    shop = run("pick", "shop.csv", "brief.toml", *home, *CLASS, "--for", "shop", "--html", "-")
    assert "Scissors" in shop.stdout
    assert ">RED<" not in shop.stdout
    customer = run("pick", "shop.csv", "brief.toml", *home, *CLASS, "--html", "-").stdout
    assert "From home" in customer
    assert "200 m" in customer or "left" in customer


def test_the_list_after_the_kit_is_written_beside_and_never_over_the_list(folder):
    before = "sku,stock,left_m,where\nRED,,5.50,top\nSC,1,,below\nNE,0,,lost\n"
    (folder / "drawer.csv").write_text(before)
    picked("--home", "drawer.csv", "--home-after", "after.csv")
    after = (folder / "after.csv").read_text()
    assert after.splitlines() == [
        "sku,stock,left_m,where",
        "RED,,3.05,top",
        "SC,0,,below",
        "NE,0,,lost",
    ]
    assert (folder / "drawer.csv").read_text() == before
    for target in ("drawer.csv", "./drawer.csv", f"{'long' * 100}.csv"):
        run(
            *("pick", "shop.csv", "brief.toml", "--home", "drawer.csv", "--home-after", target),
            code=2,
        )
    assert (folder / "drawer.csv").read_text() == before


def test_the_list_after_the_kit_keeps_the_headers_and_commas_that_it_was_written_with(folder):
    (folder / "drawer.csv").write_text('Nr,Rest\nRED,"5,50"\n')
    (folder / "map.toml").write_text(
        'decimal_comma = true\n[columns]\nsku = "Nr"\nleft_m = "Rest"\n'
    )
    home = ("--home", "drawer.csv", "--home-columns", "map.toml")
    picked(*home, "--home-after", "after.csv")
    assert (folder / "after.csv").read_text().splitlines() == ["Nr,Rest", 'RED,"3,05"']


@pytest.mark.slow
def test_a_saved_kit_stands_with_its_own_rows_and_not_with_a_barer_drawer(folder):
    (folder / "drawer.csv").write_text(
        "sku,name,category,colours,left_m,quality\nOLD,Old red,thread,#cc0000,3,95\n"
    )
    picked("--home", "drawer.csv")
    run("pick", "shop.csv", "brief.toml", "--home", "drawer.csv", "--json", "kit.json")
    (folder / "drawer.csv").unlink()
    assert "still stands" in run("recheck", "kit.json", "shop.csv").output
    (folder / "bare.csv").write_text(
        "sku,name,category,colours,left_m,quality\nOLD,Old red,thread,#cc0000,2,95\n"
    )
    done = run("recheck", "kit.json", "shop.csv", "--home", "bare.csv", code=1)
    assert "no longer stands" in done.output


@pytest.mark.parametrize("key", ['home = { from = "drawer.csv" }', 'brief = "brief.toml"'])
def test_a_home_list_in_a_range_is_bad_input(folder, key):
    (folder / "drawer.csv").write_text("sku\nRED\n")
    (folder / "brief.toml").write_text(f'{BRIEF}\n[home]\nfrom = "drawer.csv"\n')
    kit = f'name = "a"\n{key}\n' + ("" if key.startswith("brief") else 'cap = "100.00"\n')
    (folder / "range.toml").write_text(f'currency = "EUR"\n[[kits]]\n{kit}')
    assert "home-list-in-range" in run("range", "shop.csv", "range.toml", code=2).output


@pytest.mark.slow
def test_a_batch_reads_the_list_of_each_brief_and_does_it_again_when_that_changes(folder):
    (folder / "drawer.csv").write_text("sku,left_m\nRED,2.46\n")
    (folder / "with.toml").write_text(f'{BRIEF}\n[home]\nfrom = "drawer.csv"\n')
    names = ("brief.toml", "with.toml", "--out", "out", "--workers", "1", "--json", "-")

    def goods():
        run("batch", "shop.csv", *names)
        texts = [(folder / "out" / f"{name}.json").read_text() for name in ("brief", "with")]
        return [json.loads(text)["goods"] for text in texts]

    assert goods() == ["14.40", "13.20"]
    (folder / "drawer.csv").write_text("sku,left_m\nRED,2.45\n")
    assert goods() == ["14.40", "14.40"]


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--home", "missing.csv"), "file-missing"),
        (("--home-columns", "map.toml"), "home-map-alone"),
        (("--set", 'choose.own=["RED"]', "--home", "drawer.csv"), "owned-and-listed"),
        (("--set", "home.quality=101"), "home.quality is above 100"),
        (("--set", "home.form=drawer.csv"), "did you mean from?"),
    ],
)
def test_what_cannot_be_used_is_told_and_nothing_is_picked(folder, words, found):
    (folder / "drawer.csv").write_text("sku\nRED\n")
    done = run("pick", "shop.csv", "brief.toml", *words, "--json", "kit.json", code=2)
    assert found in " ".join(done.output.split())
    assert not (folder / "kit.json").exists()


def test_check_finds_what_is_wrong_with_a_home_list(folder):
    (folder / "drawer.csv").write_text("sku,left_m\nRED,1\nSC,2\nRED,3\n")
    done = run("check", "shop.csv", "brief.toml", "--home", "drawer.csv", code=2)
    assert "metres-of-other-goods" in done.output
    assert "repeated-at-home" in done.output
    run("check", "shop.csv", "--home", "drawer.csv", code=2)


MARGIN = ("shop.sell_at=30", "shop.margin_rate=0.5", 'shop.uncosted="leave out"')


def test_goods_whose_cost_is_not_known_are_used_from_home_and_not_bought(folder):
    asked = [word for setting in MARGIN for word in ("--set", setting)]
    everything = "sku,left_m\nCH,\nFA,\nRED,3\nGREEN,3\nNE,\nSC,\n"
    (folder / "drawer.csv").write_text(everything)
    record, lines = picked("--home", "drawer.csv", *asked)
    assert (record["payable"], record["margin"]["cost"]) == ("0.00", "0.00")
    assert {line["from_home"] for sku, line in lines.items() if sku not in ("RED", "GREEN")} == {1}
    (folder / "drawer.csv").write_text(everything.replace("GREEN,3", "GREEN,2"))
    run("pick", "shop.csv", "brief.toml", "--home", "drawer.csv", *asked, code=1)


def test_a_cost_is_asked_for_of_goods_that_could_be_bought(folder):
    """Also where blank costs are bad input: of what is at home in full, none can be bought."""
    goods = (folder / "shop.csv").read_text().splitlines()
    header = goods[0].split(",")
    costed = [
        row + ("," if row.split(",")[0] in ("CH", "SC") else ",0.10") for row in goods[1:] if row
    ]
    assert "trade_cost" not in header
    (folder / "shop.csv").write_text("\n".join([goods[0] + ",trade_cost", *costed]) + "\n")
    asked = [word for setting in MARGIN[:2] for word in ("--set", setting)]
    (folder / "drawer.csv").write_text("sku\nCH\nSC\n")
    picked("--home", "drawer.csv", *asked)
    words = ("pick", "shop.csv", "brief.toml", "--home", "drawer.csv", *asked)
    assert "uncosted-row" in run(*words, "--set", "heads=2", code=2).output
    (folder / "drawer.csv").write_text("sku,stock\nCH,2\nSC,2\n")
    picked("--home", "drawer.csv", *asked, "--set", "heads=2", "--set", "cap=90")


def test_a_blank_cell_counts_of_goods_at_home_whose_cost_is_not_known(folder):
    asked = [word for setting in MARGIN for word in ("--set", setting)]
    everything = "sku,left_m\nCH,\nFA,\nRED,3\nGREEN,3\nNE,\nSC,\n"
    (folder / "drawer.csv").write_text(everything)
    limit = 'limits=[{column="trade_cost", most=5, where={category="scissors"}}]'
    words = ("pick", "shop.csv", "brief.toml", "--home", "drawer.csv", *asked, "--set", limit)
    assert "trade_cost" in run(*words, code=2).output
