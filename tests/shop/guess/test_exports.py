"""The drafts for twenty-five exports are right, and read them as they were meant, unchanged."""

import pytest
from exports.expected import FIRST, SECOND, held_against
from exports.fifth import FIFTH
from exports.fourth import FOURTH
from exports.opened import goods_of, opened
from exports.third import THIRD

from kitsolver import read_catalogue
from kitsolver.craft.lengths import CM
from kitsolver.shop.columns.registry import KNOWN
from kitsolver.shop.guess.guess_source import guess_source
from kitsolver.shop.sources.header_names import folded

EXPECTED = {**FIRST, **SECOND, **THIRD, **FOURTH, **FIFTH}
# Headers of stock that say nothing of it to a stranger: they are listed as not mapped.
NOT_MAPPED = {"handmade-2.xlsx": ["noch da"], "handmade-4.xlsx": ["En rayon"]}
# Their pieces of fabric are whole inches, and not those of the goods in centimetres.
IN_INCHES = ("handmade.xlsx", "wholesaler-2.csv")
# Goods that the draft passes over, for they are no longer sold.
GONE = {"wholesaler.txt": 1}


@pytest.fixture(
    scope="module",
    params=[
        pytest.param(name, marks=pytest.mark.slow if name in {**THIRD, **FOURTH, **FIFTH} else [])
        for name in sorted(EXPECTED)
    ],
)
def export(request, tmp_path_factory):
    """Return an export's name, its address and the draft of its map."""
    source = opened(request.param, tmp_path_factory.mktemp("export"))
    return request.param, source, guess_source(source)


def test_its_columns_are_right_and_no_wrong_one_is_unmarked(export):
    name, _, draft = export
    right, marked, unmarked = held_against(draft, EXPECTED[name])
    assert not unmarked
    assert marked == NOT_MAPPED.get(name, [])
    assert len(right) == len(EXPECTED[name]) - len(marked)
    assert not draft.missing


def test_each_guess_has_a_reason_and_each_column_a_line(export):
    name, _, draft = export
    assert all(guess.meaning and guess.reason for guess in draft.guesses)
    told = {header for guess in draft.guesses for header in guess.headers}
    told |= {each.header for each in draft.unmapped}
    assert told >= {header for header in EXPECTED[name] if folded(header) not in KNOWN}
    assert all(each.reason for each in draft.unmapped)


def test_with_its_draft_the_goods_are_read_as_they_were_meant(export):
    name, source, draft = export
    catalogue = read_catalogue(source, currency="EUR", mapping=draft.map)
    assert not [each for each in catalogue.findings if each.level == "error"]
    goods = goods_of(name)
    assert len(catalogue.text) == len(goods) - GONE.get(name, 0)
    shelves = catalogue.shelves
    for each in goods:
        category = each.kind if each.kind != "treat" else each.group.lower()
        rows = shelves[category]
        rows = rows[rows["name"] == each.name]
        if GONE.get(name) and rows.empty:
            continue
        (row,) = rows.to_dict("records")
        assert row["price"] == each.price * 10_000
        if each.kind == "fabric":
            assert row["weave"] in ("aida", "evenweave", "linen")
            assert row["count"] == each.count * 10_000
            if name not in IN_INCHES:
                assert (row["width"], row["height"]) == tuple(side * CM for side in each.size)
        if each.kind == "chart":
            assert (row["stitches_wide"], row["stitches_high"]) == each.stitches
        if each.kind in ("chart", "thread"):
            assert row["colours"] == ";".join(f"#{colour}" for colour in each.colours)
        if each.kind == "needle":
            assert row["needle_sizes"] == ";".join(map(str, each.sizes))
