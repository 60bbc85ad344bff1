"""The audit where a rule just holds, just breaks, or cannot be checked."""

from dataclasses import replace

import pytest

from kitsolver import brief_of, pick, read_catalogue

SHOP = """\
sku,name,category,price,quality,trade_cost,kind,stitches_wide,stitches_high,colours,weave,count,\
width_cm,height_cm,needle_sizes
C1,Harbour,chart,5.00,80,2.00,,56,77,#e8e0c8:620,,,,,
F1,Cream,fabric,6.00,70,2.00,,,,,aida,14,40,50,
T1,Cream,thread,1.20,90,2.00,silk,,,#e8e0c8,,,,,
N1,Fine,needle,0.90,60,2.00,,,,,,,,,24;26
S1,Stork,scissors,8.00,75,2.00,,,,,,,,,
"""
SILK = {"shades": {"kinds": {"cotton": ["silk"]}}}
BRIEF = {"currency": "EUR", "cap": "100", **SILK}


@pytest.fixture
def checks(tmp_path):
    """Give the checks of the only kit under a brief: what they hold, by rule."""

    def checks(**asked):
        path = tmp_path / "shop.csv"
        path.write_text(SHOP, encoding="utf-8")
        kit = pick(read_catalogue(path), brief_of(BRIEF | asked)).kit
        return kit and {check.rule: check.holds for check in kit.checks}

    return checks


# Five lines of 2.00 each are 10.00: of 12.50 that leaves a fifth.
@pytest.mark.parametrize(("rate", "left"), [("0.2", True), ("0.200001", None)])
def test_a_margin_is_left_exactly_or_there_is_no_kit(checks, rate, left):
    found = checks(shop={"sell_at": "12.50", "margin_rate": rate})
    assert (found and found["margin"]) is left


def test_the_audit_itself_finds_a_margin_that_is_not_left(tmp_path):
    from kitsolver.solve.audit.audit import audit
    from kitsolver.solve.audit.evidence import Claim, Piece

    path = tmp_path / "shop.csv"
    path.write_text(SHOP, encoding="utf-8")
    catalogue = read_catalogue(path)
    kit = pick(catalogue, brief_of(BRIEF)).kit
    lines = tuple(Piece(x.sku, x.category, x.role, x.units, x.price) for x in kit.lines)
    names = ("goods", "discount", "delivery", "tax", "payable")
    sums = {name: getattr(kit.receipt, name) for name in names}
    figures = {"quality": kit.figures.quality, "extras": kit.figures.extras}
    claim = Claim(lines, kit.shades, **figures, **sums)
    for rate, holds in (("0.2", True), ("0.200001", False), ("0.9", False)):
        asked = brief_of(BRIEF | {"shop": {"sell_at": "12.50", "margin_rate": rate}})
        found = {check.rule: check.holds for check in audit(claim, catalogue, asked)}
        assert found["margin"] is holds
    paid_more = replace(claim, payable=claim.payable + 1)
    assert False in {check.holds for check in audit(paid_more, catalogue, brief_of(BRIEF))}


def test_thread_is_checked_where_the_effective_count_is_known(checks):
    assert checks()["thread"] is True
    assert checks(needs={"fabric": {"have": True}})["thread"] is None


def test_a_column_s_default_is_that_of_its_own_category_only(checks):
    """Scissors have no kind: silk beside them is alike, and cotton is not theirs."""
    assert checks(alike=[{"name": "kinds", "column": "kind"}])["alike: kinds"] is True


@pytest.mark.parametrize(
    ("side", "holds"), [("then", None), ("never", None), ("with", True)], ids=str
)
def test_what_is_not_known_of_a_thing_at_home_bars_nothing_and_is_said(checks, side, holds):
    asked = {"category": "scissors", "only": {"name": ["Stork"]}}
    if side == "with":
        asked = {"category": "needle"}
    found = checks(
        needs={"scissors": {"have": True}},
        pairs=[{"name": "one", "if": {"category": "chart"}, side: asked}],
    )
    assert found["pairs: one"] is holds
