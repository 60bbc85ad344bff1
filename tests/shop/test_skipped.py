"""Rows that a catalogue does not offer are counted, and known by their skus."""

from kitsolver import ColumnMap, read_catalogue
from kitsolver.shop.skipped import Skipped

ROWS = """\
sku,name,category,price,quality
A,a bag,bag,1,50
B,a bag,bag,cheap,50
C,a lamp,lamp,dear,50
C,a lamp,lamp,1,50
D,a lamp,lamp
,no sku,bag,1,50
E,no category,,1,50
"""


def test_refused_rows_are_counted_by_category(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text(ROWS)
    goods = read_catalogue(shop, currency="EUR", skip_bad_rows=True)
    assert goods.skus == {"A"}
    assert goods.skipped == (
        Skipped("refused", "", 2),
        Skipped("refused", "bag", 2),
        Skipped("refused", "lamp", 2),
    )
    assert goods.refused == {"B": 3, "C": 4, "E": 8}


def test_nothing_is_skipped_of_a_sound_file(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("".join(ROWS.splitlines(keepends=True)[:2]))
    goods = read_catalogue(shop, currency="EUR", skip_bad_rows=True)
    assert (goods.skipped, goods.refused, goods.passed_over) == ((), {}, {})


def test_a_file_all_of_whose_rows_are_passed_over_offers_nothing(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("".join(ROWS.splitlines(keepends=True)[:2]))
    mapping = ColumnMap(pass_over={"name": ["a bag"]})
    goods = read_catalogue(shop, currency="EUR", mapping=mapping)
    assert (goods.skus, goods.skipped) == (frozenset(), (Skipped("passed over", "bag", 1),))
