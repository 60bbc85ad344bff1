"""A sheet for more copies of a kit than the stock makes is refused, with what must be ordered."""

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

GOODS = """sku,name,category,price,quality,stock
S1,Heron,scissors,5.00,80,6
B1,Net bag,bag,2.00,50,
C1,Tin box,case,1.00,50,2
"""
BRIEF = 'currency = "EUR"\ncap = "10.00"\nholds = ["scissors", "bag"]\n'


@pytest.fixture
def pick(tmp_path):
    """Pick the one kit of a little shop, with some options."""
    shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
    shop.write_text(GOODS, encoding="utf-8")
    brief.write_text(BRIEF, encoding="utf-8")

    def run(*options):
        words = ["pick", shop, brief, "--html", tmp_path / "sheet.html", "--for", "shop", *options]
        return CliRunner().invoke(app, list(map(str, words)))

    return run


def test_what_the_stock_makes_is_written(pick, tmp_path):
    done = pick("--copies", 2)
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "sheet.html").exists()


def test_what_it_does_not_make_is_refused_row_by_row(pick, tmp_path):
    done = pick("--copies", 40, "--json", tmp_path / "kit.json")
    assert done.exit_code == 1
    assert not (tmp_path / "sheet.html").exists()
    # The kit itself is as good as ever.
    assert (tmp_path / "kit.json").exists()
    assert done.stderr.splitlines() == [
        "Today's stock makes 2 of this kit, and 40 are asked for.",
        "C1 (Tin box): 40 are needed and 2 are in stock: order 38.",
        "S1 (Heron): 40 are needed and 6 are in stock: order 34.",
        "Nothing is written for packing.",
        "hint: kitsolver range finds the best kit of which the stock makes 40",
    ]


def test_goods_at_home_are_taken_from_no_shelf(pick):
    sets = ("--set", 'choose.own=["C1"]', "--copies")
    assert pick(*sets, 6).exit_code == 0
    assert "C1" not in pick(*sets, 7).stderr
