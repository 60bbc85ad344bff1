"""Rows that are left out because every kit with them is too dear cost no kit within a limit."""

import pytest
from instances.read import read_instance
from seeds import over_seeds

from kitsolver import brief_of, pick, read_catalogue, with_settings
from kitsolver.brief.choosing import keeping
from kitsolver.shop.till import NO_CAP
from kitsolver.solve.decomposition.cheapest import kit_within, least_payable
from kitsolver.solve.engine import Solver
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.presolve.row_memory import RowMemory
from kitsolver.solve.time_limit import TimeLimit

# Seeds whose instance has a kit.
WITH_KITS = [
    *(62_000, 62_002, 62_003, 62_005, 62_006, 62_008, 62_011, 62_012, 62_015),
    *(62_017, 62_021, 62_026, 62_032, 62_035, 62_036, 62_038, 62_039, 62_041),
    *(62_042, 62_047, 62_048, 62_050, 62_051, 62_053, 62_054, 62_056, 62_057),
]


@over_seeds(WITH_KITS, quick=8)
def test_the_least_payable_is_found_among_the_rows_that_may_be_within_it(tmp_path, seed):
    instance = read_instance(tmp_path, seed)
    assert_least_is_kept(instance.catalogue, instance.brief)


@over_seeds(WITH_KITS, quick=8)
def test_the_least_payable_is_found_where_thread_and_extras_are_kept(tmp_path, seed):
    instance = read_instance(tmp_path, seed)
    lines = pick(instance.catalogue, instance.brief).kit.lines
    kept = [line.sku for line in lines if line.sku and line.category not in ("chart", "fabric")]
    assert_least_is_kept(instance.catalogue, keeping(instance.brief, kept))


@over_seeds(WITH_KITS, quick=8)
def test_the_least_payable_is_found_where_thread_of_any_colour_will_do(tmp_path, seed):
    instance = read_instance(tmp_path, seed)
    brief = instance.brief
    if "thread" in brief.holds:
        changes = ["shades.tolerance=1000", "needs.thread.weight=0"]
        brief = with_settings(brief, sets=changes)
    assert_least_is_kept(instance.catalogue, brief)


def assert_least_is_kept(catalogue, brief):
    """Compare the least that is paid among the rows within a limit with that among all."""
    every = find_candidates(catalogue, brief, thin=True)
    least = least_payable(every, Solver.SCIP, TimeLimit())
    assert least is not None
    memory = RowMemory()
    for limit in (least, least + 1, least + least // 8, NO_CAP):
        few = find_candidates(catalogue, brief, thin=True, memory=memory, within=limit)
        assert few.skus <= every.skus
        assert least_payable(few, Solver.SCIP, TimeLimit(), at_most=limit) == least
    if least:
        below = find_candidates(catalogue, brief, thin=True, within=least - 1)
        assert kit_within(below, least - 1, Solver.SCIP, TimeLimit()) is None


SHOP = """\
sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,width_cm,height_cm
C1,Gull,chart,5.00,80,30,30,#e8e0c8:620,,,,
C2,Tern,chart,15.50,80,30,30,#e8e0c8:620,,,,
C3,Skua,chart,5.00,80,300,300,#e8e0c8:620,,,,
C4,Auk,chart,5.00,80,30,30,#ff0000:620,,,,
F1,Cream,fabric,6.00,70,,,,aida,14,40,40
T1,Cream,thread,1.20,90,,,#e8e0c8,,,,
T2,Cream silk,thread,9.00,90,,,#e8e0c9,,,,
T3,Blue,thread,1.00,90,,,#0000ff,,,,
"""


def test_what_is_too_dear_or_too_large_or_without_thread_is_left_out(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP, encoding="utf-8")
    asked = {"currency": "EUR", "cap": "20.00", "holds": ["chart", "fabric", "thread"]}
    found = find_candidates(
        read_catalogue(path, currency="EUR"), brief_of(asked), thin=True, within=15_00
    )
    assert found.skus == {"C1", "F1", "T1"}


@pytest.mark.parametrize(
    ("colours", "weight", "left"),
    [
        # A pack may serve several colours.
        ("#e8e0c8:620", 0, {"T3", "T4"}),
        ("#e8e0c8:310;#ff0000:310", 0, {"T1", "T3", "T4"}),
        # Quality counts.
        ("#e8e0c8:620", 1, {"T1", "T2", "T3", "T4"}),
    ],
)
def test_of_thread_of_any_colour_the_cheapest_is_enough(tmp_path, colours, weight, left):
    path = tmp_path / "shop.csv"
    shop = SHOP.replace("#e8e0c8:620", colours) + "T4,Two,thread,9.00,90,,,#e8e0c8;#0000ff,,,,\n"
    path.write_text(shop, encoding="utf-8")
    holds, needs = ["chart", "fabric", "thread"], {"thread": {"weight": weight}}
    asked = {"currency": "EUR", "cap": "50.00", "holds": holds, "needs": needs}
    brief = brief_of(asked | {"shades": {"tolerance": 1000}})
    catalogue = read_catalogue(path, currency="EUR")
    found = find_candidates(catalogue, brief, thin=True, within=40_00)
    assert {thread.sku for thread in found.threads} == left


def test_what_is_kept_is_paid_for_beside_every_row(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP + "X,Bag,bag,2.50,60,,,,,,,\n", encoding="utf-8")
    asked = {"currency": "EUR", "holds": ["chart", "fabric", "thread"], "cap": "30.00"}
    brief = brief_of(asked | {"choose": {"keep": ["X", "T2"]}})
    catalogue = read_catalogue(path, currency="EUR")
    # The chart, the fabric, the bag and the silk, which serves the only colour.
    for limit, charts in ((22_50, {"C1"}), (22_49, set())):
        found = find_candidates(catalogue, brief, thin=True, within=limit)
        assert {chart.sku for chart in found.charts} == charts
