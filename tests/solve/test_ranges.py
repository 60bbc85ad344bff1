"""Kits from one stock: best together as two other models have it, and never taking twice."""

import random
from fractions import Fraction

import numpy as np
import pytest
from instances import instance, to_toml
from ortools.math_opt.python import mathopt
from out_of_time import out_of_time_after
from scipy.optimize import Bounds, LinearConstraint, milp
from seeds import over_seeds

from kitsolver import Solver, Status, pick, read_brief, read_catalogue
from kitsolver.brief.range import Range, RangeKit
from kitsolver.solve.audit.together import audit_together
from kitsolver.solve.model.kit_model import build_kit_model
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.ranges.joint import shared_goods
from kitsolver.solve.ranges.member import MemberSearch
from kitsolver.solve.ranges.range import pick_range

HEAD = "sku,name,category,price,quality,stock\n"


def several(catalogue, kits, *, distinct=(), in_order=False, **options):
    asked = Range("range", "", "EUR", in_order, tuple(distinct), tuple(kits))
    return pick_range(catalogue, asked, **options)


def shop(tmp_path, rows):
    path = tmp_path / "shop.csv"
    path.write_text(HEAD + "".join(f"{row}\n" for row in rows), encoding="utf-8")
    return read_catalogue(path, currency="EUR")


def brief(tmp_path, text):
    path = tmp_path / "brief.toml"
    path.write_text(text, encoding="utf-8")
    return read_brief(path)


def greatest(aims, rows, low, high, many):
    """Give the greatest of each of some sums in turn, by scipy's solver; None if nothing holds."""
    found = []
    for aim in aims:
        done = milp(
            -np.array(aim, dtype=float),
            integrality=np.ones(many),
            bounds=Bounds(0, 1),
            constraints=LinearConstraint(np.array(rows, dtype=float), low, high),
            options={"mip_rel_gap": 0},
        )
        if done.status == 2:
            return None
        found.append(round(-done.fun))
        rows, low, high = [*rows, aim], [*low, found[-1] - 0.5], [*high, np.inf]
    return found


@over_seeds(range(40), quick=8)
def test_kits_of_plain_needs_are_a_generalised_assignment(seed, tmp_path):
    """scipy.optimize.milp over who takes what, written from the problem alone."""
    rng = random.Random(seed)
    needs = ["case", "charm"][: rng.choice([1, 2, 2])]
    goods = [
        (
            f"G{n}",
            rng.choice(needs),
            rng.randint(50, 400),
            rng.choice([10, 40, 55, 70, 85]),
            stock,
        )
        for n in range(rng.randint(6, 12))
        for stock in [rng.choice([0, 1, 2, 3, 6, None])]
    ]
    catalogue = shop(
        tmp_path,
        [
            f"{sku},x,{kind},{price / 100:.2f},{quality},{'' if stock is None else stock}"
            for sku, kind, price, quality, stock in goods
        ],
    )
    held = ", ".join(f'"{need}"' for need in needs)
    kits, distinct = [], rng.random() < 0.4
    for number in range(rng.randint(2, 4)):
        cap = rng.randint(150, 700)
        asked = brief(tmp_path, f'currency = "EUR"\ncap = "{cap / 100:.2f}"\nholds = [{held}]\n')
        kits.append((RangeKit(f"k{number}", rng.choice([1, 1, 2, 3]), asked), cap))
    found = several(catalogue, [kit for kit, _ in kits], distinct=["case"] if distinct else [])

    pairs = [(kit, row) for kit in range(len(kits)) for row in range(len(goods))]
    many = len(pairs)

    def row_of(part):
        return [part(kit, row) for kit, row in pairs]

    rows, low, high = [], [], []
    for number, (_, cap) in enumerate(kits):
        for need in needs:
            rows.append(row_of(lambda k, r, n=number, c=need: k == n and goods[r][1] == c))
            low.append(1), high.append(1)
        rows.append(row_of(lambda k, r, n=number: (k == n) * goods[r][2]))
        low.append(0), high.append(cap)
    for at, (_, kind, _, _, stock) in enumerate(goods):
        if stock is not None:
            rows.append(row_of(lambda k, r, a=at: (r == a) * kits[k][0].copies))
            low.append(0), high.append(stock)
        if distinct and kind == "case":
            rows.append(row_of(lambda _, r, a=at: r == a))
            low.append(0), high.append(1)
    aims = [
        row_of(lambda k, r: kits[k][0].copies * goods[r][3]),
        row_of(lambda k, r: -kits[k][0].copies * goods[r][2]),
    ]
    best = greatest(aims, rows, low, high, many)
    if best is None:
        assert found.status is Status.NO_KIT
    else:
        assert found.status is Status.BEST
        assert found.quality == Fraction(best[0], len(needs))
        assert found.payable == -best[1]


def one_model(catalogue, kits, distinct):
    """Give the most of copies times quality, then of extras, as one model of all kits has it."""
    model = mathopt.Model()
    shots = [
        build_kit_model(candidates, kit.brief.total_cap, into=model)
        for kit in kits
        for candidates in [find_candidates(catalogue, kit.brief)]
    ]
    shared = shared_goods(catalogue, distinct)
    for sku in {sku for shot in shots for sku, _ in shot.lines}:
        lines = [
            (kit, units, taken)
            for kit, shot in zip(kits, shots, strict=True)
            for (of, units), taken in shot.lines.items()
            if of == sku and sku not in kit.brief.choose.own
        ]
        if sku in shared.stock:
            taken = mathopt.fast_sum(kit.copies * units * var for kit, units, var in lines)
            model.add_linear_constraint(taken <= shared.stock[sku])
        if sku in shared.category:
            model.add_linear_constraint(mathopt.fast_sum(var for _, _, var in lines) <= 1)
    sums = []
    for part in ("quality", "extra_points"):
        terms = []
        for kit, shot in zip(kits, shots, strict=True):
            weights = sum(shot.candidates.weights.values()) or 1
            share = kit.copies / (100 * (weights if part == "quality" else 1))
            terms.append(share * getattr(shot, part))
        model.maximize(mathopt.fast_sum(terms))
        done = mathopt.solve(model, mathopt.SolverType.HIGHS)
        if done.termination.reason is not mathopt.TerminationReason.OPTIMAL:
            return None
        sums.append(done.objective_value())
        model.add_linear_constraint(mathopt.fast_sum(terms) >= sums[-1] - 1e-6)
    return sums


@over_seeds(range(30), quick=5)
def test_whole_kits_are_those_of_the_one_model(seed, tmp_path):
    rng = random.Random(seed)
    plain = {"delivery": False, "discount": False, "tax": False, "currency": "EUR"}
    text, asked = instance(3000 + seed, heads=1, spend="leftover", **plain)
    (tmp_path / "shop.csv").write_text(text, encoding="utf-8", newline="")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    first = brief(tmp_path, to_toml(asked))
    kits = [
        RangeKit(f"k{n}", rng.choice([1, 1, 2]), first.with_cap(first.total_cap * part // 100))
        for n, part in enumerate(rng.sample([95, 100, 110, 130, 160], rng.choice([2, 3])))
    ]
    distinct = ["chart", "needle"][: rng.choice([0, 1, 2])]
    found = several(catalogue, kits, distinct=distinct)
    best = one_model(catalogue, kits, distinct)
    if best is None:
        assert found.status is Status.NO_KIT
        return
    extras = sum(k.copies * kit.figures.extras for k, kit in zip(kits, found.kits, strict=True))
    assert float(found.quality) == pytest.approx(best[0], abs=1e-3)
    assert float(extras) == pytest.approx(best[1], abs=1e-3)


@pytest.fixture
def scarce(tmp_path):
    return shop(tmp_path, ["A,a,case,3.00,90,3", "B,b,case,2.00,60,", "C,c,case,1.00,50,"])


@pytest.fixture
def kit_of_a_case(tmp_path):
    def kit(name, copies, cap):
        text = f'currency = "EUR"\ncap = "{cap}"\nholds = ["case"]\n'
        return RangeKit(name, copies, brief(tmp_path, text))

    return kit


def test_what_is_scarce_goes_where_it_counts_most(scarce, kit_of_a_case):
    """Worked by hand: three of A are for one copy or for two, and two count more."""
    kits = [kit_of_a_case("one", 2, "3.00"), kit_of_a_case("two", 2, "2.00")]
    found = several(scarce, kits)
    assert [[line.sku for line in kit.lines] for kit in found.kits] == [["A"], ["B"]]
    kits = [kit_of_a_case("one", 1, "3.00"), kit_of_a_case("two", 3, "3.00")]
    assert several(scarce, kits).quality == 3 * 90 + 60
    assert several(scarce, kits, in_order=True).quality == 90 + 3 * 60
    (contended,) = several(scarce, kits).contended
    assert contended == ("A", 3, 4, ("one", "two"))
    (stocked,) = several(scarce, kits).stock
    assert (stocked.sku, stocked.stock, stocked.taken, stocked.left) == ("A", 3, 3, 0)


def test_with_plenty_each_kit_is_the_one_picked_alone(scarce, kit_of_a_case):
    kits = [kit_of_a_case("one", 1, "3.00"), kit_of_a_case("two", 2, "2.50")]
    found = several(scarce, kits)
    alone = [pick(scarce, kit.brief, solver=Solver.SCIP).kit for kit in kits]
    assert list(found.kits) == alone
    assert found.contended == ()


def test_many_kits_that_are_alike_share_what_is_scarce(scarce, kit_of_a_case):
    """Worked by hand: three of forty get one of A; of kits that tie, the first do."""
    kits = [kit_of_a_case(f"kit {number}", 1, "3.00") for number in range(40)]
    found = several(scarce, kits)
    assert [kit.lines[0].sku for kit in found.kits] == ["A"] * 3 + ["B"] * 37
    assert (found.status, found.quality) == (Status.BEST, 3 * 90 + 37 * 60)
    alone = several(scarce, kits, distinct=["case"])
    assert (alone.status, alone.lacking) == (Status.NO_KIT, None)


@pytest.mark.parametrize("calls", [8, 9])
def test_time_running_out_leaves_kits_and_a_bound(calls, scarce, kit_of_a_case, monkeypatch):
    kits = [kit_of_a_case("one", 1, "3.00"), kit_of_a_case("two", 3, "3.00")]
    limited = out_of_time_after(calls, MemberSearch.best_so_far)
    monkeypatch.setattr(MemberSearch, "best_so_far", limited)
    found = several(scarce, kits)
    assert found.status is Status.BEST_SO_FAR
    assert [[line.sku for line in kit.lines] for kit in found.kits] == [["A"], ["B"]]
    assert found.bound >= 3 * 90 + 60


def test_a_kit_that_cannot_be_made_is_named(scarce, kit_of_a_case):
    kits = [kit_of_a_case("one", 1, "3.00"), kit_of_a_case("two", 2, "0.50")]
    for in_order in (False, True):
        found = several(scarce, kits, in_order=in_order)
        assert (found.status, found.lacking.name) == (Status.NO_KIT, "two")


def test_the_audit_of_several_kits_finds_what_is_taken_twice(scarce):
    kits = [(2, {"A": 1}), (2, {"A": 1, "B": 1})]
    stock, distinct = audit_together(kits, ["case"], scarce)
    assert (stock.holds, distinct.holds) == (False, False)
    stock, distinct = audit_together([(2, {"A": 1}), (1, {"A": 1})], [], scarce)
    assert (stock.holds, distinct.holds) == (True, True)


def test_a_download_of_which_a_kit_needs_several_is_in_one_kit_only(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(
        "sku,name,category,price,quality,download\n"
        "D1,x,case,1.00,90,yes\nD2,x,case,1.00,80,yes\nD3,x,case,1.00,70,yes\n",
        encoding="utf-8",
    )
    catalogue = read_catalogue(path, currency="EUR")
    asked = brief(tmp_path, 'currency = "EUR"\ncap = "9.00"\nheads = 4\nholds = ["case"]\n')
    kits = [RangeKit(name, 1, asked) for name in ("one", "two", "three")]
    found = several(catalogue, kits, distinct=["case"])
    lines = [[(line.sku, line.units) for line in kit.lines] for kit in found.kits]
    assert sorted(lines) == [[("D1", 4)], [("D2", 4)], [("D3", 4)]]


@pytest.mark.parametrize("in_order", [True, False], ids=["in order", "together"])
def test_a_chart_that_is_an_extra_goes_no_further_than_its_stock(in_order, tmp_path):
    """Worked by hand: one chart for two kits. In the campaign this range never ended."""
    path = tmp_path / "shop.csv"
    path.write_text(
        "sku,name,category,price,quality,stock,stitches_wide,stitches_high,colours\n"
        "B,b,bag,1.00,60,,,,\nC,c,chart,1.00,90,1,20,20,#aa0000:99\n",
        encoding="utf-8",
    )
    text = 'currency = "EUR"\ncap = "2.00"\nholds = ["bag"]\n[extras]\ncategories = ["chart"]\n'
    kits = [RangeKit(name, 1, brief(tmp_path, text)) for name in ("one", "two")]
    found = several(read_catalogue(path, currency="EUR"), kits, in_order=in_order, seconds=20)
    assert found.status is Status.BEST
    # Of kits together that tie, the first takes what comes first by the tie-break.
    first, second = (["B", "C"], ["B"]) if in_order else (["B"], ["B", "C"])
    assert [[line.sku for line in kit.lines] for kit in found.kits] == [first, second]
