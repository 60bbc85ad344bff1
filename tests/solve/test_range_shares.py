"""Kits within shares of the stock, and patterns within it: what is remembered changes no answer."""

import random
from fractions import Fraction
from itertools import product
from types import SimpleNamespace

from instances import instance, to_toml
from seeds import over_seeds

from kitsolver import Solver, read_brief, read_catalogue
from kitsolver.brief.range import RangeKit
from kitsolver.solve.ranges.allotment import Taking, allot
from kitsolver.solve.ranges.choices import WHOLE, with_limit
from kitsolver.solve.ranges.patterns import Pattern
from kitsolver.solve.ranges.range import searches_of
from kitsolver.solve.time_limit import TimeLimit


def at_three_caps(seed, folder):
    """Return a catalogue, and kits that differ by their caps alone."""
    text, asked = instance(5000 + seed, heads=1, spend="leftover", currency="EUR")
    (folder / "shop.csv").write_text(text, encoding="utf-8", newline="")
    (folder / "brief.toml").write_text(to_toml(asked), encoding="utf-8")
    brief = read_brief(folder / "brief.toml")
    caps = [brief.total_cap * part // 100 for part in (100, 101, 150)]
    kits = [RangeKit(f"k{cap}", 1, brief.with_cap(cap)) for cap in caps]
    return read_catalogue(folder / "shop.csv", currency="EUR"), kits


@over_seeds([35, 99, 43, 1, 2, 3, 4, 5, 6, 8, 12, 13], quick=2)
def test_kits_within_shares_are_those_of_searches_that_remember_nothing(seed, tmp_path):
    rng = random.Random(seed)
    catalogue, kits = at_three_caps(seed, tmp_path)
    searches = searches_of(kits, catalogue, Solver.SCIP, TimeLimit())
    share, compared = WHOLE, 0
    for _ in range(6):
        found = [search.best(share) for search in searches]
        for kit, member in zip(kits, found, strict=True):
            (fresh,) = searches_of([kit], catalogue, Solver.SCIP, TimeLimit())
            alone = fresh.best(share)
            assert (member is None) == (alone is None)
            if member is not None:
                assert member.rank == alone.rank
                compared += 1
        taken = [(sku, n) for member in found if member for sku, n in member.taken.items()]
        if share and (not taken or rng.random() < 0.3):
            share -= {rng.choice(sorted(share))}
        elif taken:
            sku, units = rng.choice(taken)
            share = with_limit(share, sku, rng.choice([0, units - 1]))
    assert compared


@over_seeds(range(40), quick=10)
def test_patterns_are_allotted_as_all_their_combinations_tell(seed):
    """By brute force: the best sum of figures, and of equals the first kit's tie-break first."""
    rng = random.Random(seed)
    room = {sku: rng.randint(1, 9) for sku in "ABCD"}

    def drawn(order):
        taken = {sku: rng.randint(1, 4) for sku in rng.sample("ABCD", rng.randint(0, 3))}
        figures = Fraction(rng.randint(0, 6), 2), Fraction(rng.randint(0, 1)), -rng.randint(0, 2)
        bound = SimpleNamespace(figures=figures, order=order)
        return Taking(Pattern(tuple(sorted(taken.items())), bound), taken)

    kits = [[drawn(order) for order in range(rng.randint(1, 5))] for _ in range(rng.randint(2, 4))]
    allowed = [
        chosen
        for chosen in product(*kits)
        if all(sum(one.taken.get(sku, 0) for one in chosen) <= room[sku] for sku in room)
    ]

    def rank(chosen):
        sums = zip(*(one.pattern.bound.figures for one in chosen), strict=True)
        return [-sum(each) for each in sums], [one.pattern.bound.order for one in chosen]

    best = min(allowed, key=rank, default=None)
    least = None
    if allowed and rng.random() < 0.5:
        least = tuple(-each for each in rank(rng.choice(allowed))[0])
    found = allot(kits, room, least, TimeLimit())
    assert found == (best and [one.pattern for one in best])
