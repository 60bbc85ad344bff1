"""What time ran out on is looked for again: longer each time, and from where it ended."""

from dataclasses import replace
from pathlib import Path

from kitsolver import read_brief
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.packed_ladder import packed_ladder
from kitsolver.page.patience import Patience

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"


def test_a_question_is_looked_for_twice_as_long_each_time_until_it_is_answered():
    patience = Patience()
    assert patience.seconds("a", 8) == 8
    looked = []
    for _ in range(5):
        patience.note("a", complete=False)
        looked.append(patience.seconds("a", 8))
    assert looked == [16, 32, 64, 64, 64]
    assert patience.seconds("b", 8) == 8
    patience.note("a", complete=True)
    assert patience.seconds("a", 8) == 8


def test_a_ladder_goes_on_below_where_time_ran_out():
    brief = read_brief(DEMO / "bundle.toml")
    source = CatalogueToRead("digest", SHOP.name, SHOP, "EUR", False, None)
    whole = packed_ladder(source, brief, 6000)
    assert whole.complete
    upper = whole.rungs[len(whole.rungs) // 2 :]
    part = replace(whole, rungs=upper, proven_from=upper[0].cap + 1)
    assert not part.complete
    again = packed_ladder(source, brief, 6000, before=part)
    assert again.complete
    assert [(one.cap, one.figures) for one in again.rungs] == [
        (one.cap, one.figures) for one in whole.rungs
    ]
    assert again.drawing == whole.drawing
    # With no time left, what was proven before still stands.
    none = packed_ladder(source, brief, 6000, seconds=0.0, before=part)
    assert [one.cap for one in none.rungs] == [one.cap for one in upper]
    assert none.proven_from == part.proven_from
