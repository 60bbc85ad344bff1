"""The till: sums worked by hand, and the way back from a cap against trying every goods total."""

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kitsolver.shop.till import NO_CAP, Basket, Receipt, Till, basket

RATES = st.fractions(0, 1, max_denominator=1000)
SUMS = st.integers(0, 150)


@st.composite
def tills(draw):
    return Till(
        discount_rate=draw(st.fractions(0, Fraction(9, 10), max_denominator=1000)),
        delivery=draw(SUMS),
        delivery_free_from=draw(SUMS),
        tax_rate=draw(RATES),
        tax_on_delivery=draw(st.booleans()),
        half_even=draw(st.booleans()),
    )


def totals(intervals):
    """Return every goods total of some intervals, which must be apart and in rising order."""
    bounds = [bound for interval in intervals for bound in interval]
    assert bounds == sorted(bounds)
    found = [goods for low, high in intervals for goods in range(low, high + 1)]
    assert len(found) == len(set(found))
    return set(found)


# By hand.


@pytest.mark.parametrize(
    ("till", "goods", "receipt"),
    [
        (Till(), 0, (0, 0, 0, 0)),
        (Till(), 1234, (1234, 0, 0, 0)),
        # 7.5 % of 12.34 is 0.9255.
        (Till(discount_rate=Fraction(75, 1000)), 1234, (1234, 93, 0, 0)),
        # 20 % of 12.34 is 2.468.
        (Till(tax_rate=Fraction(1, 5)), 1234, (1234, 0, 0, 247)),
        # The tax is on what the discount leaves: 20 % of 11.41 is 2.282.
        (Till(Fraction(75, 1000), tax_rate=Fraction(1, 5)), 1234, (1234, 93, 0, 228)),
        (Till(delivery=395), 1, (1, 0, 395, 0)),
        (Till(delivery=395), 0, (0, 0, 0, 0)),
        # Free from 20.00 on, after discount: 22.22 less 10 % is 20.00, 22.21 less 2.22 is 19.99.
        (Till(Fraction(1, 10), 395, 2000), 2222, (2222, 222, 0, 0)),
        (Till(Fraction(1, 10), 395, 2000), 2221, (2221, 222, 395, 0)),
        # 0 is never free.
        (Till(delivery=395, delivery_free_from=0), 99999, (99999, 0, 395, 0)),
        # Free from the least sum on.
        (Till(delivery=395, delivery_free_from=1), 1, (1, 0, 0, 0)),
        # 20 % of 10.00, and of 13.95.
        (Till(delivery=395, tax_rate=Fraction(1, 5)), 1000, (1000, 0, 395, 200)),
        (
            Till(delivery=395, tax_rate=Fraction(1, 5), tax_on_delivery=True),
            1000,
            (1000, 0, 395, 279),
        ),
    ],
)
def test_receipts_worked_by_hand(till, goods, receipt):
    assert till.receipt(goods) == Receipt(*receipt)
    goods, discount, delivery, tax = receipt
    assert till.payable(goods) == goods - discount + delivery + tax


@pytest.mark.parametrize(
    ("till", "own", "tax", "payable"),
    [
        # 19 % of 5.78 is 1.0982. Apart, 0.6441 and 0.4541 would be 0.64 and 0.45.
        (Till(tax_rate=Fraction("0.19")), {"0.19": 239}, 110, 688),
        (Till(tax_rate=Fraction("0.19")), {"0.190000": 239}, 110, 688),
        # 7 % of 2.39 is 0.1673, and 19 % of 3.39 is 0.6441.
        (Till(tax_rate=Fraction("0.19")), {"0.07": 239}, 81, 659),
        # 5 % off 5.78 is 0.289, off 2.39 it is 0.1195: 5.49, of which 2.27 at 7 % (0.1589), and
        # 3.22 at 19 % (0.6118).
        (Till(Fraction("0.05"), tax_rate=Fraction("0.19")), {"0.07": 239}, 77, 626),
        # As the till's own rate: 19 % of 5.49 is 1.0431.
        (Till(Fraction("0.05"), tax_rate=Fraction("0.19")), {"0.19": 239}, 104, 653),
        # The till asks no tax, and so does the row.
        (Till(Fraction("0.05")), {"0": 239}, 0, 549),
    ],
)
def test_rows_that_state_the_till_s_rate_are_rounded_with_it(till, own, tax, payable):
    receipt = till.receipt(578, {Fraction(rate): goods for rate, goods in own.items()})
    assert (receipt.tax, receipt.payable) == (tax, payable)


@pytest.mark.parametrize(
    ("goods", "up", "even"), [(10, 1, 0), (30, 2, 2), (50, 3, 2), (70, 4, 4), (11, 1, 1)]
)
def test_ties_go_up_or_to_even(goods, up, even):
    # A twentieth of 10 is a half, of 30 one and a half.
    for half_even, rounded in ((False, up), (True, even)):
        assert (
            Till(discount_rate=Fraction(1, 20), half_even=half_even).receipt(goods).discount
            == rounded
        )
        assert Till(tax_rate=Fraction(1, 20), half_even=half_even).receipt(goods).tax == rounded


def test_a_cap_can_reach_beyond_a_gap():
    till = Till(delivery=395, delivery_free_from=2000)
    assert till.has_gap
    # Up to 16.10 delivered at 3.95; nothing between; from 20.00 on delivered free.
    assert till.affordable(2005) == [(0, 0), (1, 1610), (2000, 2005)]
    assert till.affordable(1999) == [(0, 0), (1, 1604)]
    assert till.paying(2005) == [(1610, 1610), (2005, 2005)]
    assert till.paying(400) == [(5, 5)]
    assert till.paying(395) == []


@pytest.mark.parametrize(
    "till",
    [Till(), Till(delivery=5), Till(delivery_free_from=5), Till(discount_rate=Fraction(1, 2))],
)
def test_only_delivery_that_gets_free_leaves_a_gap(till):
    assert not till.has_gap
    paid = [till.payable(goods) for goods in range(200)]
    assert paid == sorted(paid)


def test_several_goods_totals_can_come_to_the_same():
    # A discount of a half: 2 and 3 come to 1 (1 and 1.5 off, rounded up), 4 and 5 to 2.
    assert Till(discount_rate=Fraction(1, 2)).paying(2) == [(4, 5)]


# Against trying every goods total.


@given(till=tills(), cap=st.integers(0, 200))
@example(Till(delivery=300, delivery_free_from=300), 300)
@example(Till(delivery=300, delivery_free_from=1), 0)
@example(Till(discount_rate=Fraction(9, 10), half_even=True), 0)
# 11 less a rounded half is 10, and delivery would get free far above.
@example(Till(discount_rate=Fraction(1, 20), delivery_free_from=150), 10)
def test_the_way_back_from_a_cap_is_exactly_the_way_there(till, cap):
    # A tenth of the goods is left at the least, so that beyond this nothing is within the cap.
    tried = range(10 * (cap + 2))
    assert all(till.payable(goods) > cap for goods in (tried[-1], 2 * tried[-1], 9**9))
    paid = {goods: till.payable(goods) for goods in tried}
    assert totals(till.affordable(cap)) == {goods for goods in tried if paid[goods] <= cap}
    assert totals(till.paying(cap)) == {goods for goods in tried if paid[goods] == cap}


@given(till=tills(), cap=st.integers(0, 10**12))
def test_bounds_hold_where_trying_all_would_take_too_long(till, cap):
    intervals = till.affordable(cap)
    assert intervals[0] == (0, 0)
    for low, high in intervals:
        assert till.payable(low) <= cap
        assert till.payable(high) <= cap
    assert till.payable(intervals[-1][1] + 1) > cap
    assert all(till.payable(g) == cap for ends in till.paying(cap) for g in ends)


@given(till=tills(), goods=st.integers(0, 120))
def test_the_least_from_a_total_up_is_the_least_of_all_from_there(till, goods):
    beyond = range(goods, goods + 2000)
    assert till.least(goods) == min(till.payable(total) for total in beyond)


@settings(max_examples=20)
@given(till=tills())
def test_delivery_gets_free_at_the_least_total_that_is_enough(till):
    free = [
        g for g in range(1, 2000) if g - till.receipt(g).discount >= till.delivery_free_from > 0
    ]
    assert till.free_from == (free[0] if till.delivery and free else 0)
    assert till.has_gap == bool(till.delivery and till.delivery_free_from)


def test_delivery_may_be_free_from_the_first_unit_on():
    assert Till(delivery=395, delivery_free_from=1).free_from == 1
    assert Till(delivery=395).free_from == Till(delivery_free_from=395).free_from == 0
    assert Till(Fraction(1, 2), 395, 5).free_from == 10


# At half off the same is paid for totals that are 1 apart, and 2 where ties go to even.
@pytest.mark.parametrize(
    ("rate", "even", "window"),
    [("0", False, 1), ("0.02", False, 2), ("0.5", False, 3), ("0.5", True, 3), ("0.75", True, 5)],
)
def test_totals_for_which_the_same_is_paid_are_within_the_window(rate, even, window):
    till = Till(discount_rate=Fraction(rate), half_even=even)
    paid = [till.payable(goods) for goods in range(600)]
    far = max(b - a for a in range(300) for b in range(a, a + 9) if paid[a] == paid[b])
    assert far < till.window == window
    assert not even or far == window - 1


def test_a_basket_adds_up_by_rate_and_delivery():
    rate, other = Fraction("0.07"), Fraction(0)
    costs = [(100, None, False), (200, rate, True), (300, rate, False), (50, other, True)]
    assert basket(costs) == Basket(650, {rate: 500, other: 50}, 250)


def test_what_is_taxed_at_each_rate():
    """5 % off 5.78 is 0.29, off 2.39 it is 0.12: 2.27 at 7 %, 3.22 and 4.00 of delivery at 19 %."""
    till = Till(Fraction("0.05"), 400, 0, Fraction("0.19"), tax_on_delivery=True)
    seven, own = Fraction("0.07"), {Fraction("0.07"): 239}
    assert till.by_rate(578, own) == {till.tax_rate: (722, 137), seven: (227, 16)}
    assert till.by_rate(578, own, 578) == {till.tax_rate: (322, 61), seven: (227, 16)}
    receipt = till.receipt(578, own)
    assert (receipt.discount, receipt.delivery, receipt.tax) == (29, 400, 153)
    assert till.receipt(578, own, 577).delivery == 400
    assert till.receipt(578, own, 578).delivery == 0


def test_the_most_goods_within_a_cap():
    till = Till(delivery=395, delivery_free_from=2000)
    assert (till.most_goods(1999), till.most_goods(2000), till.most_goods(394)) == (1604, 2000, 0)
    assert Till().most_goods(NO_CAP) == NO_CAP == 10**18


def test_tills_and_receipts_do_not_change():
    for one in (Till(), Receipt(1, 0, 0, 0)):
        with pytest.raises(AttributeError):
            one.delivery = 5
        assert hash(one) == hash(type(one)(**vars(one)))
