"""What may enter a kit: units, cost and points of each row, and which skus may not."""

import pytest

from kitsolver import brief_of, read_catalogue
from kitsolver.craft.thread import Charted
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.solve.presolve.find import find_candidates

SHOP = """\
sku,name,category,price,quality,stock,serves,stitches_wide,stitches_high,colours,weave,count,\
width_cm,height_cm,needle_sizes,diameter_cm
C1,Harbour,chart,5.00,80,,,56,77,#e8e0c8:620;#7fc4c8:415,,,,,,
F1,Cream,fabric,6.00,70,2,7,,,,linen,28,40,50,,
T1,Cream,thread,1.20,90,2,4,,,#e8e0c8,,,,,,
T2,Sea,thread,1.30,85,,,,,#80c4c8;#102030,,,,,,
N1,Fine,needle,0.90,60,1,2,,,,,,,,24;26,
N2,Stout,needle,0.80,60,2,,,,,,,,,18,
S1,Stork,scissors,8.00,75,,,,,,,,,,,
S2,Heron,scissors,9.50,95,,3,,,,,,,,,
H1,Round,hoop,3.00,50,,,,,,,,,,,15
K1,Tin box,case,2.00,40,1,2,,,,,,,,,
"""


@pytest.fixture
def offered(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP, encoding="utf-8")
    catalogue = read_catalogue(path, currency="EUR")

    def offered(**asked):
        return find_candidates(catalogue, brief_of({"currency": "EUR", "cap": 100} | asked))

    return offered


def skus(rows):
    return [row.sku for row in rows]


ROWS = {cells[0]: cells[2] for cells in (row.split(",") for row in SHOP.splitlines()[1:])}


def barred(found, category):
    """Return the skus of a category that may not enter."""
    return {sku for sku, of in ROWS.items() if of == category} - found.skus


def test_rows_arrive_in_minor_units_and_hundredths_sorted_by_sku(offered):
    found = offered()
    assert {need: skus(rows) for need, rows in found.needs.items()} == {
        "chart": ["C1"],
        "fabric": ["F1"],
        "thread": ["T1", "T2"],
        "needle": ["N1", "N2"],
        "scissors": ["S1", "S2"],
    }
    assert skus(found.extras) == ["H1", "K1"]
    stork, heron = found.needs["scissors"]
    assert (heron.price, heron.points, heron.stock, heron.cost) == (950, 9500, UNLIMITED, 950)
    assert stork.units == 1
    (cream,) = found.fabrics
    assert (cream.count, cream.stock) == (14, 2)
    assert found.charts[0].shades == (Charted("#e8e0c8", 620), Charted("#7fc4c8", 415))
    assert found.needs["needle"][0].sizes == {24, 26}
    assert found.matches_thread
    assert found.plain_needs == ["needle", "scissors"]
    assert found.skus == ROWS.keys()


@pytest.mark.parametrize(
    ("heads", "shared_by", "units"),
    [(1, 1, 1), (3, 1, 1), (4, 1, 2), (12, 1, 4), (12, 2, 2), (12, 4, 1), (13, 4, 2)],
)
def test_units_are_shared_by_what_one_serves_times_those_who_share(
    offered, heads, shared_by, units
):
    found = offered(heads=heads, needs={"scissors": {"shared_by": shared_by}})
    heron = found.needs["scissors"][1]
    assert (heron.units, heron.cost) == (units, units * 950)


def test_where_other_choices_decide_the_least_units_are_those_of_any_choice(offered):
    # Two fabrics in stock may well yield pieces for twelve. Two skeins are too few for twelve
    # pools, but may well do for two.
    found = offered(heads=12)
    assert [(row.sku, row.units) for row in (*found.fabrics, *found.threads)] == [
        ("F1", 1),
        ("T2", 12),
    ]
    found = offered(heads=12, needs={"thread": {"shared_by": 6}})
    assert [(row.sku, row.units) for row in found.threads] == [("T1", 2), ("T2", 2)]


def test_without_a_known_chart_thread_is_one_row_for_all(offered):
    found = offered(heads=7, holds=["thread"], needs={"thread": {"shared_by": 1}})
    assert not found.matches_thread
    assert {row.sku: row.units for row in found.threads} == {"T1": 2, "T2": 7}


def test_a_chart_at_home_with_colours_is_matched_and_one_without_is_not(offered):
    for have, shaded in (({"colours": "#e8e0c8:5"}, True), (True, False)):
        found = offered(needs={"chart": {"have": have}})
        assert found.matches_thread is shaded
        assert skus(found.charts) == [""]
        assert "chart" not in found.weights


def test_stock_bars_what_is_too_few(offered):
    # One needle serves two, one tin box too.
    found = offered(heads=3)
    assert barred(found, "needle") == {"N1", "N2"}
    assert barred(found, "case") == {"K1"}
    found = offered(heads=3, needs={"needle": {"shared_by": 2}})
    assert skus(found.needs["needle"]) == ["N1", "N2"]


def test_what_is_owned_is_free_and_never_runs_out(offered):
    found = offered(heads=3, choose={"own": ["N1", "K1", "T1"]})
    (needle,) = found.needs["needle"]
    assert (needle.sku, needle.price, needle.units, needle.stock) == ("N1", 0, 2, UNLIMITED)
    assert needle.points == 6000
    assert {row.sku: row.price for row in found.extras} == {"H1": 300, "K1": 0}
    assert [row.price for row in found.threads] == [0, 130]


def test_what_is_owned_is_held_to_its_own_price(offered):
    found = offered(choose={"own": ["S2"]}, needs={"scissors": {"max_price": "9.49"}})
    assert skus(found.needs["scissors"]) == ["S1"]
    assert barred(found, "scissors") == {"S2"}


def test_a_sku_that_breaks_any_rule_is_barred(offered):
    found = offered(
        heads=3,
        choose={"leave_out": ["N1", "K1"]},
        needs={"needle": {"min_quality": 61}, "scissors": {"max_price": 9}},
    )
    assert barred(found, "needle") == {"N1", "N2"}
    assert barred(found, "scissors") == {"S2"}
    assert barred(found, "case") == {"K1"}
    assert found.needs["needle"] == ()
    assert barred(found, "thread") == {"T1"}
    assert found.skus == {"C1", "F1", "T2", "S1", "H1"}


def test_what_is_kept_stands_alone_in_its_need(offered):
    found = offered(choose={"keep": ["S1", "H1"]})
    assert skus(found.needs["scissors"]) == ["S1"]
    assert barred(found, "scissors") == {"S2"}
    assert "H1" in skus(found.extras)
    assert found.unavailable_keeps == ()


def test_kept_thread_leaves_other_thread_its_chart_colours(offered):
    found = offered(choose={"keep": ["T1"]})
    assert skus(found.threads) == ["T1", "T2"]
    found = offered(holds=["thread"], choose={"keep": ["T1"]})
    assert skus(found.threads) == ["T1"]


@pytest.mark.parametrize(
    ("asked", "lost"),
    [
        ({"choose": {"keep": ["S2", "K1"]}, "extras": {"spend": "none"}}, ("K1",)),
        ({"choose": {"keep": ["K1"]}, "extras": {"categories": ["hoop"]}}, ("K1",)),
        ({"choose": {"keep": ["S2"]}, "needs": {"scissors": {"max_price": 9}}}, ("S2",)),
        ({"choose": {"keep": ["K1", "N1", "T1"]}, "heads": 3}, ("K1", "N1", "T1")),
        ({"choose": {"keep": ["K1", "N1", "T1"]}, "heads": 2}, ()),
        ({"choose": {"keep": ["S1"]}, "needs": {"scissors": {"have": True}}}, ("S1",)),
        ({"choose": {"keep": ["N1"]}, "holds": ["scissors"]}, ("N1",)),
        ({"choose": {"keep": ["S1", "S2"]}}, ()),
    ],
)
def test_what_is_kept_and_may_not_enter_is_lost(offered, asked, lost):
    assert offered(**asked).unavailable_keeps == lost


@pytest.mark.parametrize(
    ("extras", "entering"),
    [
        ({}, ["H1", "K1"]),
        ({"spend": "together"}, ["H1", "K1"]),
        ({"spend": "none"}, []),
        ({"categories": []}, []),
        ({"categories": ["case", "nothing-here"]}, ["K1"]),
        ({"categories": ["needle", "thread", "hoop"]}, ["H1", "N1", "N2", "T1", "T2"]),
    ],
)
def test_extras_come_from_the_categories_asked_for(offered, extras, entering):
    found = offered(holds=["scissors"], extras=extras)
    assert skus(found.extras) == entering
    assert barred(found, "fabric") == {"F1"}


def test_a_fabric_that_is_an_extra_goes_to_every_head(offered):
    found = offered(heads=2, holds=["scissors"], extras={"categories": ["fabric", "chart"]})
    assert {row.sku: row.units for row in found.extras} == {"C1": 2, "F1": 2}


def test_weights_are_whole_and_leave_out_what_is_at_home(offered):
    found = offered(
        holds=["chart", "fabric", "scissors"],
        needs={"chart": {"weight": "0.5"}, "fabric": {"weight": 1.5}, "scissors": {"have": True}},
        extras={"weight": "0.125"},
    )
    assert found.parts == 8
    assert found.weights == {"chart": 4, "fabric": 12}
    assert found.needs["scissors"][0].sku == ""


def test_shades_at_home_come_before_the_shops_and_score_in_full(offered):
    found = offered(needs={"thread": {"have": ["#7fc4c8"]}})
    home, *shop = found.threads
    assert (home.sku, home.points, home.price, home.colours) == ("", 10000, 0, ("#7fc4c8",))
    assert skus(shop) == ["T1", "T2"]
    assert "thread" in found.weights


def test_places_are_the_thread_colours_within_the_tolerance(offered):
    found = offered(needs={"thread": {"have": ["#7fc4c8"]}})
    cream, sea = found.places(found.charts[0])
    assert [(place.key, place.difference, place.points) for place in cream] == [
        (("T1", 0), 0, 9000)
    ]
    assert [place.key for place in sea] == [("", 0), ("T2", 0)]
    assert [place.colour for place in sea] == ["#7fc4c8", "#80c4c8"]
    assert sea[0].points == 10000
    near = sea[1].difference
    # Five points are lost for each unit, and what is left is rounded half up to hundredths.
    assert sea[1].points == (2 * (8500 * 100 - 5 * near) + 100) // 200
    exact = offered(shades={"tolerance": 0})
    assert [skus(p.thread for p in places) for places in exact.places(exact.charts[0])] == [
        ["T1"],
        [],
    ]


def test_a_need_without_rows_is_no_bad_input(offered):
    found = offered(holds=["chart", "tassel"], choose={"leave_out": ["C1"]})
    assert found.needs["chart"] == found.needs["tassel"] == ()
    assert barred(found, "chart") == {"C1"}
