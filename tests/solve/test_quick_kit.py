"""The kit that stands in where time runs out before the search found one."""

import pytest

from kitsolver import Status, pick, read_brief, read_catalogue
from kitsolver.solve.decomposition import greedy_kit
from kitsolver.solve.decomposition.chart_search import ChartSearch
from kitsolver.solve.time_limit import OutOfTime


def out_of_time(*_):
    raise OutOfTime


@pytest.mark.parametrize("name", ["bundle", "gift-card", "class-of-twelve"])
def test_where_no_chart_is_opened_in_time_there_is_a_kit_with_a_bound(name, monkeypatch):
    brief = read_brief(f"catalogues/{name}.toml")
    catalogue = read_catalogue("catalogues/tormellick-whelk.csv", currency=brief.currency)
    best = pick(catalogue, brief)
    monkeypatch.setattr(ChartSearch, "_open", out_of_time)
    found = pick(catalogue, brief)
    assert (best.status, found.status) == (Status.BEST, Status.BEST_SO_FAR)
    assert found.kit.figures.quality <= best.kit.figures.quality <= found.bound.quality


def test_where_thread_cannot_be_assigned_quickly_none_stands_in(monkeypatch):
    brief = read_brief("catalogues/bundle.toml")
    catalogue = read_catalogue("catalogues/tormellick-whelk.csv", currency=brief.currency)
    monkeypatch.setattr(ChartSearch, "_open", out_of_time)
    monkeypatch.setattr(greedy_kit, "greedy_thread", lambda _: None)
    with pytest.raises(OutOfTime):
        pick(catalogue, brief)
