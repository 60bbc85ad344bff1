"""The thread of a chart against all ways to give its colours places."""

import random
from fractions import Fraction
from itertools import product
from types import SimpleNamespace

import pytest
from test_frontier_sums import EVERYTHING, PLAIN, by_definition, points_of, settings, wanted

from kitsolver.shop.till import Till
from kitsolver.solve.candidates.candidate import Place, Thread
from kitsolver.solve.decomposition.frontier import StateLimitReached
from kitsolver.solve.decomposition.frontier_settings import Bounds
from kitsolver.solve.decomposition.objective import SCORE_UNIT
from kitsolver.solve.decomposition.thread import frontier as thread_frontier
from kitsolver.solve.decomposition.thread.assignment import assigned
from kitsolver.solve.decomposition.thread.branch import ThreadBranch
from kitsolver.solve.decomposition.thread.frontier import ThreadSubproblem, Walks
from kitsolver.solve.decomposition.thread.rest import Rest
from kitsolver.solve.decomposition.thread.states import State
from kitsolver.solve.decomposition.thread.walk import Walk
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

WEIGHT = 2
TILLS = {
    "plain": Till(),
    "a gap": Till(delivery=3, delivery_free_from=6),
    "a discount": Till(discount_rate=Fraction(1, 2)),
}


def single(sku, price=1, **cells):
    return Thread(sku, "thread", price, colours=("#000000",), **cells)


def subproblem(colours, keep=()):
    """Return a chart's thread; of each colour the row, the place in it, the points, the units."""
    rows = {row.sku: row for colour in colours for row, *_ in colour}
    candidates = SimpleNamespace(
        brief=SimpleNamespace(choose=SimpleNamespace(keep=keep)),
        weights={"thread": WEIGHT},
        threads=tuple(rows.values()),
    )
    assignments = [
        [assigned(n, Place(row, index, 0, points), units) for row, index, points, units in colour]
        for n, colour in enumerate(colours)
    ]
    return ThreadSubproblem(candidates, assignments, PLAIN)


def every_way(colours, keep=()):
    """Return cost, worth, lines and places of every way to give each colour a place of its own."""
    found = []
    for some in product(*colours):
        places = [(row.sku, index) for row, index, _, _ in some]
        stocked = all(row.bought(units) <= row.stock for row, _, _, units in some)
        if (
            len(set(places)) < len(places)
            or not {*keep} <= {sku for sku, _ in places}
            or not stocked
        ):
            continue
        most = {}
        for row, _, _, units in some:
            most[row] = max(units, most.get(row, 0))
        cost = sum(row.price * max(0, units - row.home) for row, units in most.items())
        worth = sum(points for _, _, points, _ in some) * PLAIN.worth_of_need(WEIGHT)
        lines = sorted((0, row.sku, units) for row, units in most.items() if row.sku)
        found.append((cost, worth, lines, list(enumerate(places))))
    return found


def order(way):
    """Return what decides between ways that cost and are worth the same."""
    _, _, lines, places = way
    return [*lines, (1, "", 0)], places


def best(ways, till, cap):
    """Return the best way of which no more is paid than the cap."""
    found = [way for way in ways if till.payable(way[0]) <= cap]
    return min(found, key=lambda way: (-way[1], till.payable(way[0]), order(way)), default=None)


def drawn(draw):
    """Return the colours of a chart: single threads, packs and shades at home."""
    rows = [single(sku, draw.randrange(4), stock=draw.choice([1, 9])) for sku in "ABC"]
    rows += [
        Thread(sku, "thread", draw.randrange(5), colours=("#000000",) * 3, home=draw.randrange(2))
        for sku in draw.choice(["", "P", "PQ"])
    ]
    rows += [Thread("", "thread", colours=("#000000", "#ffffff"))] * draw.randrange(2)
    places = [(row, index) for row in rows for index in range(len(row.colours))]
    colours = []
    for _ in range(draw.randrange(1, 4)):
        # A colour takes as many units of a row in whichever place.
        units = {row: draw.choice([1, 1, 2]) for row in rows}
        some = draw.sample(places, draw.randrange(1, min(5, len(places))))
        colours.append([(*place, draw.choice([1, 2, 3, 7]), units[place[0]]) for place in some])
    return colours


@pytest.mark.parametrize("floored", [None, *Walks])
@pytest.mark.parametrize("till", TILLS)
@pytest.mark.parametrize("seed", range(12))
def test_the_frontier_is_that_of_all_ways(seed, till, floored, monkeypatch):
    # Every pack is settled before there is a walk.
    monkeypatch.setattr(thread_frontier, "_FEW_PACKS", 0)
    draw = random.Random(seed)
    colours, keep = drawn(draw), draw.choice(["", "", "A", "P"])
    keep = tuple({row.sku for colour in colours for row, *_ in colour} & {*keep})
    till = TILLS[till]
    asked = settings(till.free_from, till.window, PLAIN.base)
    ways, found = every_way(colours, keep), subproblem(colours, keep)
    if ways:
        assert found.feasible
    bounds = Bounds(draw.choice([3, 99]))
    if floored and ways:
        # A score that some way just reaches.
        cost, worth, *_ = draw.choice(ways)
        multiplier = draw.randrange(3 * SCORE_UNIT)
        floor = SCORE_UNIT * (worth // PLAIN.base) - multiplier * cost
        bounds = Bounds(99, floor, multiplier)
    frontier = found.frontier(bounds, asked, floored or Walks.ONE)
    within = [way for way in ways if wanted([way[:2]], bounds, PLAIN.base)]
    several = len(colours) > 1 or floored
    if several and asked.window == 1:
        expected = by_definition([way[:2] for way in within], asked.free, 1)
        assert points_of(frontier) == expected
    kept = []
    for point in points_of(frontier):
        taken = frontier.trace_back(*point)
        kept.append((*point, [*taken.lines], [*taken.places]))
        assert kept[-1] == min((way for way in ways if way[:2] == point), key=order)
    for cap in range(20) if several else ():
        assert best(kept, till, cap) == best(within, till, cap)
    for multiplier in (0, 500, 3000):
        scores = [
            SCORE_UNIT * (worth // PLAIN.base) - multiplier * cost for cost, worth, *_ in ways
        ]
        if scores:
            assert max(scores) <= found.best_score(multiplier)
            assert max(scores) <= found.closer_score(multiplier)
            floor = draw.choice([max(scores), min(scores)])
            most = found.most(Bounds(99, floor, multiplier), TimeLimit())
            assert max(scores) <= most <= max(floor, found.closer_score(multiplier))


def shared_packs():
    """Return three colours, and three packs of 2 of which each has two of the colours."""
    rows = [Thread(sku, "thread", 2, colours=("#000000",) * 2) for sku in "PQR"]
    return [
        [(rows[0], 0, 0, 1), (rows[1], 0, 0, 1)],
        [(rows[1], 1, 0, 1), (rows[2], 0, 0, 1)],
        [(rows[0], 1, 0, 1), (rows[2], 1, 0, 1)],
    ]


def test_scores_are_exact_where_nothing_is_shared():
    """A is dear and good, B cheap: at a multiplier of 1024, 2 x 9 - 7 against 2 x 4 - 1."""
    colours = [[(single("A", 7), 0, 9, 1), (single("B"), 0, 4, 1)], [(single("C"), 0, 5, 2)]]
    assert subproblem(colours).best_score(SCORE_UNIT) == (11 + 8) * SCORE_UNIT
    assert subproblem(colours, keep=("B",)).best_score(SCORE_UNIT) == (7 + 8) * SCORE_UNIT
    assert subproblem(colours, keep=("B", "C")).best_score(SCORE_UNIT) == (7 + 8) * SCORE_UNIT
    assert subproblem(colours).closer_score(SCORE_UNIT) == (11 + 8) * SCORE_UNIT


@pytest.mark.parametrize(
    ("till", "one", "other", "left"),
    [
        # Of A and B the price and the points.
        ("plain", (1, 5), (2, 5), "A"),
        ("plain", (2, 5), (1, 5), "B"),
        ("plain", (1, 5), (1, 5), "A"),
        ("plain", (1, 6), (2, 5), "A"),
        ("plain", (1, 5), (2, 6), "AB"),
        # Dearer goods may bring free delivery.
        ("a gap", (1, 5), (2, 5), "AB"),
        ("a gap", (1, 6), (2, 5), "AB"),
        ("a gap", (1, 5), (1, 5), "A"),
        ("a gap", (1, 5), (1, 6), "B"),
        # As much may be paid for both, and then the first is taken.
        ("a discount", (1, 5), (2, 5), "A"),
        ("a discount", (2, 5), (1, 5), "AB"),
        ("a discount", (2, 5), (1, 6), "B"),
    ],
)
def test_places_that_others_dominate_are_left_out(till, one, other, left):
    rows = [
        (single(sku, price), 0, points, 1)
        for sku, (price, points) in zip("AB", (one, other), strict=True)
    ]
    asked = settings(TILLS[till].free_from, TILLS[till].window, PLAIN.base)
    found = subproblem([rows])
    (kept,) = found._undominated(found.assignments, asked)
    assert "".join(sorted(a.sku for a in kept)) == left
    assert len(subproblem([rows], keep=("A", "B"))._undominated([kept], asked)[0]) == len(left)
    # Where any of the best kits will do, what costs less is enough.
    if till == "a discount":
        (one,) = found._undominated(found.assignments, asked._replace(ties=False))[0]
        assert one == min(kept, key=lambda a: (-a.place.points, a.cost))


def test_shades_at_home_come_neither_before_nor_after_rows():
    found = subproblem([[(single("", 0), 0, 5, 1), (single("A", 0), 0, 5, 1)]])
    (kept,) = found._undominated(found.assignments, settings(base=PLAIN.base))
    assert [a.sku for a in kept] == ["", "A"]


def test_it_is_feasible_where_every_colour_and_every_kept_row_has_a_place():
    one, other = single("A"), single("B", stock=1)
    assert subproblem([[(one, 0, 1, 1)], [(other, 0, 1, 1)]], keep=("A", "B")).feasible
    assert not subproblem([[(one, 0, 1, 1)], [(other, 0, 1, 2)]]).feasible
    kept = subproblem([[(one, 0, 1, 1), (other, 0, 1, 2)]], keep=("B",))
    assert not kept.feasible
    assert len(kept.frontier(EVERYTHING, settings(base=PLAIN.base))) == 0


def test_a_bound_is_closer_where_packs_are_settled():
    """Half of each pack would do, 3 in all; but two packs must be bought, 4 in all."""
    found = subproblem(shared_packs())
    assert found.closer_score(SCORE_UNIT) == -3 * SCORE_UNIT
    floor = -5 * SCORE_UNIT
    assert found.most(Bounds(9, floor, SCORE_UNIT), TimeLimit()) == -4 * SCORE_UNIT
    floor = -4 * SCORE_UNIT + 1
    assert found.most(Bounds(9, floor, SCORE_UNIT), TimeLimit()) < floor


def test_a_pack_of_which_more_must_be_bought_is_settled_unit_by_unit():
    """One colour takes three units of a pack of 2, and two others one: 6 in all, or 1 more each."""
    pack, rows = (
        Thread("P", "thread", 2, colours=("#000000",) * 3),
        [single(sku, 1) for sku in "AB"],
    )
    colours = [[(pack, 0, 0, 3)], *([(pack, n, 0, 1), (rows[n - 1], 0, 0, 1)] for n in (1, 2))]
    found = subproblem(colours)
    most = found.most(Bounds(99, -99 * SCORE_UNIT, SCORE_UNIT), TimeLimit())
    assert most == -6 * SCORE_UNIT


def test_branches_end_with_the_time():
    found, bounds = subproblem(shared_packs()), Bounds(9, -9 * SCORE_UNIT, SCORE_UNIT)
    with pytest.raises(OutOfTime):
        found.most(bounds, TimeLimit(0))
    asked = settings(base=PLAIN.base)._replace(time_limit=TimeLimit(0))
    with pytest.raises(OutOfTime):
        found.frontier(bounds, asked, Walks.BRANCHES)


def test_where_branches_are_many_there_is_one_walk(monkeypatch):
    asked, bounds = settings(base=PLAIN.base), Bounds(9, -9 * SCORE_UNIT, SCORE_UNIT)
    found = subproblem(shared_packs())
    every = points_of(found.frontier(bounds, asked))
    monkeypatch.setattr(thread_frontier, "_FEW_PACKS", 0)
    monkeypatch.setattr(thread_frontier, "_MOST_BRANCHES", 1)
    assert points_of(found.frontier(bounds, asked, Walks.BRANCHES)) == every == [(4, 0)]


def test_a_branch_in_which_a_colour_finds_no_place_is_left_out():
    """Two colours want one place; at a floor that is no limit the bound says so all the same."""
    row = single("A", 0)
    found = subproblem([[(row, 0, 1, 1)], [(row, 0, 1, 1)]])
    floor = -(10**9)
    assert found.feasible
    assert found.most(Bounds(9, floor, SCORE_UNIT), TimeLimit()) < floor


def test_a_short_walk_is_given_up_where_there_are_more_states(monkeypatch):
    asked, bounds = settings(base=PLAIN.base), Bounds(9, -9 * SCORE_UNIT, SCORE_UNIT)
    monkeypatch.setattr(thread_frontier, "_FEW_STATES", 0)
    monkeypatch.setattr(thread_frontier, "_FEW_PACKS", 0)
    found = subproblem(shared_packs())
    with pytest.raises(StateLimitReached):
        found.frontier(bounds, asked, Walks.SHORT)
    for walks in (Walks.ONE, Walks.BRANCHES):
        assert points_of(found.frontier(bounds, asked, walks)) == [(4, 0)]


def test_a_branch_is_parted_at_the_next_number_of_units():
    """Of P one unit is settled; the colours take one or three."""
    pack, bounds = Thread("P", "thread", 2, colours=("#000000",) * 3), Bounds(99, -99, 1)
    colours = [[(pack, n, 0, units), (single("AB"[n]), 0, 0, 1)] for n, units in ((0, 3), (1, 1))]
    found = subproblem(colours)
    branch = ThreadBranch(found.assignments, found.costs, {"P": 1})
    fewer, more = branch.parts(branch.relaxation.priced(1), bounds)
    assert (fewer.settled, more.settled) == ({"P": 1}, {"P": 3})
    assert [[a.sku for a in colour] for colour in fewer.assignments] == [["A"], ["P", "B"]]
    assert more.assignments == branch.assignments


def test_settled_packs_are_still_to_be_paid_until_they_are_bought():
    found, bounds = subproblem(shared_packs()), Bounds(99, -4 * SCORE_UNIT, SCORE_UNIT)
    branch = ThreadBranch(found.assignments, found.costs, {"P": 1, "Q": 1})
    scores = branch.relaxation.priced(SCORE_UNIT)
    assert scores.total == -4 * SCORE_UNIT
    walk = Walk(found.assignments, "PQR", (), found.costs)
    rest = Rest(walk, scores, bounds)
    # With no pack bought both are to be paid; with one, the other.
    assert rest.floor(State(), 0) == 0
    assert rest.floor(State(packs=(("P", 1),)), 0) == -2 * SCORE_UNIT
    assert rest.floor(State(packs=(("P", 1), ("Q", 1))), 0) == -4 * SCORE_UNIT


@pytest.mark.parametrize(("points", "left"), [(6, "A"), (5, "AP"), (4, "AP")])
def test_a_place_of_a_shared_pack_is_dominated_by_what_is_free_and_better(points, left):
    pack, free = Thread("P", "thread", 3, colours=("#000000",) * 2), single("A", 0)
    found = subproblem([[(free, 0, points, 1), (pack, 0, 5, 1)], [(pack, 1, 5, 1)]])
    one, other = found._undominated(found.assignments, settings(base=PLAIN.base))
    assert "".join(a.sku for a in one) == left
    assert [a.sku for a in other] == ["P"]


def test_a_branch_is_possible_where_each_colour_and_each_settled_pack_has_a_place():
    found = subproblem(shared_packs())
    one, other, third = found.assignments
    assert ThreadBranch([one, other, third], found.costs, {"P": 1}).possible
    assert not ThreadBranch([one, [], third], found.costs).possible
    assert not ThreadBranch([one, other, third], found.costs, {"P": 2}).possible
