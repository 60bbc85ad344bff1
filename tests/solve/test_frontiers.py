"""Frontiers of very many parts."""

from kitsolver.solve.decomposition.contents import Contents, Option
from kitsolver.solve.decomposition.frontier import frontier_of, sum_of_all
from kitsolver.solve.decomposition.frontier_settings import Bounds, FrontierSettings
from kitsolver.solve.time_limit import TimeLimit

PARTS = 1_500


def test_a_sum_of_very_many_parts_is_traced_back_to_all_of_them():
    """A shop may have more categories of extras than Python may recurse."""
    settings = FrontierSettings(0, 1, 1, large=False, time_limit=TimeLimit(None))
    bounds = Bounds(limit=PARTS)

    def part(number):
        dear = Option(1, 3, Contents(lines=((0, f"dear {number:04d}", 1),)))
        cheap = Option(0, 1, Contents(lines=((0, f"cheap {number:04d}", 1),)))
        return frontier_of([dear, cheap], bounds, settings)

    whole = sum_of_all([part(number) for number in range(PARTS)], Bounds(limit=2), settings)
    assert list(whole.cost) == [0, 1, 2]
    taken = whole.trace_back(2, PARTS + 4).lines
    assert len(taken) == PARTS
    # Of the many ways to take two dear ones, the first in the order of ties is taken.
    assert [sku for _, sku, _ in taken if sku.startswith("dear")] == ["dear 1498", "dear 1499"]
