"""Other kits are those that a walk through every kit gives, the best first."""

import pytest
from naive.choices import bought, need_of, needs_of
from naive.goods import read
from naive.kits import charts
from naive.kits import kits as every
from naive.numbers import exact
from naive.till import Till
from out_of_time import out_of_time_after
from seeds import over_seeds

from kitsolver import others
from kitsolver.explain import subspaces
from kitsolver.solve.time_limit import OutOfTime

PLENTY = 200
# Thread that is not matched to a chart, from home or from the shop.
HOME = [60_013, 61_118, 62_475, 62_478, 62_810]
# A part with one chart, to be divided by a kit with another.
CHARTS = [60_023, 61_000, 62_569, 62_663]


class Walk:
    """Every kit under the cap, the best first, as (figures, lines, skus for needs)."""

    def __init__(self, text, asked):
        self.asked, rows, till = asked, read(text, asked), Till(asked)
        self.category = {row.sku: row.category for row in rows}
        self.keep = set(asked.get("choose", {}).get("keep", []))
        needs = [need for need in needs_of(asked) if bought(asked, need)]
        weights = sum(exact(need_of(asked, need).get("weight", 1)) for need in needs)
        drawings = [drawing for _, drawing in charts(rows, asked)]
        matched = all(drawing.colours is not None for drawing in drawings)
        self.counted = [need for need in needs if not (need == "thread" and matched)]
        self.together = asked.get("extras", {}).get("spend") == "together"
        share = exact(asked.get("extras", {}).get("weight", "0.25"))
        self.kits = []
        for chosen, bundles, _ in every(rows, asked):
            for bundle in bundles:
                paid = till.receipt(chosen.goods + bundle.goods).payable
                if paid > till.cap:
                    continue
                quality = chosen.points / weights if weights else 0
                if self.together:
                    rank = -chosen.points - share * bundle.points, paid, -quality
                else:
                    rank = -quality, -bundle.points, paid
                held = frozenset(sku for sku, _ in chosen.lines)
                lines = sorted(chosen.lines + bundle.lines)
                self.kits.append((rank, lines, (quality, bundle.points, paid), held))
        self.kits.sort(key=lambda kit: kit[:2])

    def chosen(self, held):
        """Give by need what is bought for it; None is what is at home."""
        by_need = {self.category[sku]: sku for sku in held}
        return [by_need.get(need) for need in self.counted]

    def one_after_another(self, enough, number):
        """Give the first kits of which each differs enough from all before it."""
        told = []
        for kit in self.kits:
            if len(told) > number:
                break
            if all(enough(kit, before) for before in told):
                told.append(kit)
        return [(figures, lines) for _, lines, figures, _ in told]

    def far(self, apart):
        def enough(kit, before):
            chosen = zip(self.counted, self.chosen(kit[3]), self.chosen(before[3]), strict=True)
            # What the kit before takes from home does not count.
            differing = [need for need, now, then in chosen if then is not None and now != then]
            if apart is None:
                return "chart" in differing or len(differing) >= 2
            return len(differing) >= apart

        return enough

    def tied(self):
        """Give the kits as good as the best that do not hold all lines of one before them."""
        best = self.kits[0][0] if self.kits else ()
        before_paid = 1 if self.together else 2
        self.kits = [kit for kit in self.kits if kit[0][:before_paid] == best[:before_paid]]

        def lacks(kit, before):
            return bool({sku for sku, _ in before[1]} - self.keep - {sku for sku, _ in kit[1]})

        return self.one_after_another(lacks, PLENTY)


def told(found):
    """Give of each kit what a walk gives of it."""
    kits = [(kit.figures, kit.order) for kit in found.kits]
    return [((of.quality, of.extras, of.payable), order) for of, order in kits]


@pytest.mark.parametrize("spend", ["leftover", "together"])
@over_seeds([61_000, *range(61_004, 61_007), 61_009, 61_011, 61_014, 61_016, 61_018], quick=2)
def test_each_is_the_best_that_differs_enough_from_all_before_it(seed, spend, draw):
    catalogue, brief, text, asked = draw(seed, spend=spend)
    walk, found = Walk(text, asked), others(catalogue, brief, 4)
    assert told(found) == walk.one_after_another(walk.far(None), 4)
    assert len(found.kits) > 1
    assert found.complete


@pytest.mark.parametrize("apart", [None, 1, 2, 3])
@over_seeds([HOME[0], *CHARTS, *HOME[1:], *range(61_004, 61_008), 61_009, 61_011], quick=2)
def test_each_differs_in_as_many_needs_as_asked(seed, apart, draw):
    catalogue, brief, text, asked = draw(seed)
    walk, found = Walk(text, asked), others(catalogue, brief, 4, apart=apart)
    assert told(found) == walk.one_after_another(walk.far(apart), 4)
    assert found.kits


@over_seeds([61_106, 61_116, 61_123, 61_124, 61_131, 61_134, 61_138, 61_140, 61_142], quick=3)
def test_tied_kits_are_all_those_as_good_that_lack_a_line_of_each_before(seed, draw):
    catalogue, brief, text, asked = draw(seed)
    found = others(catalogue, brief, PLENTY, tied=True)
    assert told(found) == Walk(text, asked).tied()
    assert 1 < len(found.kits) <= PLENTY


@pytest.mark.parametrize("how", [{}, {"apart": 1}, {"tied": True}], ids=["", "apart", "tied"])
@over_seeds([61_300, 61_314, 61_315, 61_326, 61_328], quick=2)
def test_no_kit_comes_twice(seed, how, draw):
    catalogue, brief, _, _ = draw(seed, have=False)
    kits = others(catalogue, brief, 30, **how).kits
    assert len({tuple(kit.order) for kit in kits}) == len(kits)
    assert len(kits) > 1


@over_seeds([61_303, 61_315, 61_318, 61_322, 61_332, 61_340, 61_342, 61_344, 61_345], quick=3)
def test_fewer_are_the_first_of_more(seed, draw):
    catalogue, brief, _, _ = draw(seed)
    more = others(catalogue, brief, 5)
    assert len(more.kits) > 2
    for number in range(5):
        assert others(catalogue, brief, number).kits == more.kits[: number + 1]


@pytest.mark.parametrize("share", [2, 1])
@over_seeds([61_412, 61_423, 61_427, 61_432], quick=2)
def test_time_running_out_leaves_what_was_found_so_far(seed, share, draw, monkeypatch):
    catalogue, brief, _, _ = draw(seed)
    calls, proven = [], subspaces.proven
    monkeypatch.setattr(subspaces, "proven", lambda *a, **k: calls.append(a) or proven(*a, **k))
    whole = others(catalogue, brief, 4)
    assert len(whole.kits) == 5
    most = (len(calls) - 1) // share
    monkeypatch.setattr(subspaces, "proven", out_of_time_after(most, proven))
    part = others(catalogue, brief, 4)
    assert not part.complete
    assert 1 <= len(part.kits) < 5
    assert part.kits == whole.kits[: len(part.kits)]


def test_time_running_out_before_the_best_kit_is_no_answer(draw, monkeypatch):
    catalogue, brief, _, _ = draw(61_401)
    assert others(catalogue, brief, 1).kits
    with pytest.raises(OutOfTime):
        others(catalogue, brief, 4, seconds=0.0)
    monkeypatch.setattr(subspaces, "proven", out_of_time_after(0, subspaces.proven))
    with pytest.raises(OutOfTime):
        others(catalogue, brief, 4)
