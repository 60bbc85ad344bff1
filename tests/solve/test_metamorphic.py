"""What a change of catalogue or brief must do to the best kit, whatever the kit is."""

import csv
import io
import random
from decimal import Decimal

import pytest
from instances import instance
from instances.text import money, to_csv
from seeds import over_seeds

from kitsolver import brief_of, pick, read_catalogue, record_of
from kitsolver.show.json_record import json_text

over_some = over_seeds(range(3000, 3020), quick=3)
over_some_with_a_kit = over_seeds(
    [*range(3000, 3003), 3004, 3006, 3007, *range(3009, 3012), 3015, 3019], quick=3
)


@pytest.fixture
def solve(tmp_path):
    def solve(rows, asked):
        shop = tmp_path / "shop.csv"
        shop.write_text(to_csv(rows), encoding="utf-8", newline="")
        brief = brief_of(asked)
        return pick(read_catalogue(shop, currency=brief.currency), brief)

    return solve


def drawn(seed, **switches):
    text, asked = instance(seed, **switches)
    return list(csv.DictReader(io.StringIO(text))), asked, random.Random(seed)


def never_free(seed):
    """Draw an instance in which dearer goods are never less to pay (specification, section 8)."""
    rows, asked, rng = drawn(seed)
    return rows, asked | {"till": without(asked["till"], "delivery_free_from")}, rng


def without(table, *keys):
    return {key: value for key, value in table.items() if key not in keys}


def capped(asked, minor):
    return without(asked, "cap_per_head") | {"cap": money(minor, asked["currency"])}


def choosing(asked, key, skus):
    """Put more skus into one of the lists of `choose`."""
    choose = asked["choose"]
    return asked | {"choose": choose | {key: [*choose.get(key, []), *skus]}}


def named(asked):
    return {sku for skus in asked["choose"].values() for sku in skus}


def rank(outcome):
    """Rank a kit by the figures of section 5, in their order; no kit ranks below any."""
    if outcome.kit is None:
        return ()
    figures = outcome.kit.figures
    if figures.together is not None:
        return figures.together, -figures.payable, figures.quality
    return figures.quality, figures.extras, -figures.payable


def kit_text(outcome):
    """Write the kit alone, without what tells what it was asked under, or of other kits."""
    return json_text(without(record_of(outcome), "brief", "cap", "left", "checks", "next_rung"))


def skus(outcome):
    return [] if outcome.kit is None else [line.sku for line in outcome.kit.lines]


@over_some
def test_the_order_of_rows_never_changes_the_answer(solve, seed):
    rows, asked, rng = drawn(seed)
    before = json_text(record_of(solve(rows, asked)))
    for _ in range(2):
        rng.shuffle(rows)
        assert json_text(record_of(solve(rows, asked))) == before


@over_some
def test_a_higher_cap_never_makes_the_best_kit_worse(solve, seed):
    rows, asked, rng = drawn(seed)
    now = solve(rows, asked)
    cap = now.brief.total_cap
    for more in (1, cap // 20 + 1, cap + 1):
        assert rank(solve(rows, capped(asked, cap + rng.randint(1, more)))) >= rank(now)


@over_some_with_a_kit
def test_the_best_kit_stands_down_to_what_it_costs_and_no_further(solve, seed):
    rows, asked, _ = drawn(seed)
    now = solve(rows, asked)
    assert now.kit
    paid = now.kit.figures.payable
    least = solve(rows, capped(asked, paid))
    assert kit_text(least) == kit_text(now)
    # From there the same rung is next, unless it is beyond twice the cap.
    seen = now.next_rung if now.next_rung and now.next_rung.cap <= 2 * paid else None
    assert least.next_rung == seen
    if paid > 0:
        assert rank(solve(rows, capped(asked, paid - 1))) < rank(now)


@over_some
def test_one_more_row_never_makes_the_best_kit_worse(solve, seed):
    rows, asked, rng = drawn(seed)
    now = solve(rows, asked)
    others, *_ = drawn(seed + 1000, currency=asked["currency"])
    # Rows like none in the shop, and rows like its own but better in quality or price.
    twin = dict(rng.choice(rows))
    better = twin | {rng.choice(["quality", "price"]): "100"}
    for row in (*rng.sample(others, 2), twin, better):
        assert rank(solve([*rows, row | {"sku": "NEW"}], asked)) >= rank(now)


@over_some
def test_rows_that_are_not_in_the_best_kit_are_not_missed(solve, seed):
    rows, asked, rng = drawn(seed)
    now = solve(rows, asked)
    # One row of each category stays, or a brief that names the category would be bad input.
    one_each = {row["category"]: row["sku"] for row in rows}.values()
    held = {*skus(now), *named(asked), *one_each}
    fewer = [row for row in rows if row["sku"] in held or rng.random() < 0.5]
    after = solve(fewer, asked)
    if now.kit is None:
        assert after.kit is None
    else:
        assert kit_text(after) == kit_text(now)


@over_some
def test_one_more_owned_sku_never_makes_the_best_kit_worse(solve, seed):
    rows, asked, rng = never_free(seed)
    now = solve(rows, asked)
    open_to_own = sorted({row["sku"] for row in rows} - named(asked))
    for sku in {rng.choice(open_to_own), *(set(skus(now)) & set(open_to_own))}:
        assert rank(solve(rows, choosing(asked, "own", [sku]))) >= rank(now)


@over_some
def test_a_dearer_price_never_makes_the_best_kit_better(solve, seed):
    rows, asked, rng = never_free(seed)
    now = solve(rows, asked)
    least = Decimal(money(1, asked["currency"]))
    some = [row for row in rows if row["sku"] in skus(now) or rng.random() < 0.1]
    # Without a kit no row may have been drawn.
    chosen = some or rows[:1]
    for row in chosen:
        dearer = row | {"price": str(Decimal(row["price"]) + least * rng.choice([1, 30, 500]))}
        shelf = [dearer if one is row else one for one in rows]
        assert rank(solve(shelf, asked)) <= rank(now)


@over_some_with_a_kit
def test_keeping_what_is_held_changes_nothing_and_leaving_it_out_never_helps(solve, seed):
    rows, asked, _ = drawn(seed)
    now = solve(rows, asked)
    assert now.kit
    assert kit_text(solve(rows, choosing(asked, "keep", skus(now)))) == kit_text(now)
    for sku in sorted(set(skus(now)) - named(asked)):
        assert rank(solve(rows, choosing(asked, "leave_out", [sku]))) <= rank(now)


@over_some
def test_twice_every_weight_chooses_the_same(solve, seed):
    rows, asked, _ = drawn(seed, spend="leftover")
    needs = {
        category: need | {"weight": 2 * Decimal(need.get("weight", 1))}
        for category, need in asked["needs"].items()
    }
    twice, once = solve(rows, asked | {"needs": needs}), solve(rows, asked)
    assert kit_text(twice) == kit_text(once)
    assert twice.next_rung == once.next_rung
