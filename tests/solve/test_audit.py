"""The audit passes what is right, and names the rule that each planted fault breaks."""

import ast
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from instances import instance
from seeds import over_seeds

from kitsolver import brief_of, pick, read_catalogue
from kitsolver.craft.colour import DIFFERENCE_UNIT, differences
from kitsolver.solve.audit import craft
from kitsolver.solve.audit.audit import audit
from kitsolver.solve.audit.evidence import Claim, Piece
from kitsolver.solve.rules import RULES

SUMS = ("goods", "discount", "delivery", "tax", "payable")

# The second of two goods differs in the one thing that a rule is about: sums and figures stay.
SHOP = """\
sku,name,category,price,quality,stock,serves,tags,stitches_wide,stitches_high,colours,weave,\
count,width_cm,height_cm,needle_sizes,diameter_cm
C1,Harbour,chart,5.00,80,,,,56,77,#e8e0c8:620;#7fc4c8:415,,,,,,
C2,Whole harbour,chart,5.00,0,,,,560,770,#e8e0c8:620;#7fc4c8:415,,,,,,
F1,Cream,fabric,6.00,70,,,,,,,aida,14,40,50,,
F2,Cream scrap,fabric,6.00,70,,,,,,,aida,14,25.39,50,,
T1,Cream,thread,1.20,90,,,,,,#e8e0c8,,,,,,
T2,Sea,thread,1.20,85,,,,,,#7fc4c8,,,,,,
T3,Nearly sea,thread,1.20,0,,,,,,#80c4c8,,,,,,
N1,Fine,needle,0.90,60,,,,,,,,,,,24;26,
N2,Stout,needle,0.90,60,,,,,,,,,,,18;22,
S1,Stork,scissors,8.00,75,,,sharp;steel,,,,,,,,,
S2,Heron,scissors,8.00,75,,,,,,,,,,,,
H1,Round,hoop,3.00,50,,,,,,,,,,,,20.39
H2,Very round,hoop,3.00,50,,,,,,,,,,,,35.01
K1,Tin box,case,2.00,40,,,,,,,,,,,,
K2,Paper bag,case,2.00,0,,,,,,,,,,,,
"""
BRIEF = {"currency": "EUR", "cap": "100"}


def claim_of(kit):
    """Return what a kit says of itself."""
    lines = [Piece(x.sku, x.category, x.role, x.units, x.price) for x in kit.lines]
    figures = {"quality": kit.figures.quality, "extras": kit.figures.extras}
    sums = {name: getattr(kit.receipt, name) for name in SUMS}
    return Claim(tuple(lines), kit.shades, **figures, **sums)


@pytest.fixture
def catalogue(tmp_path):
    def catalogue(text=SHOP):
        path = tmp_path / "shop.csv"
        path.write_text(text, encoding="utf-8", newline="")
        return read_catalogue(path)

    return catalogue


@pytest.fixture
def claim(catalogue):
    """Return what the best kit says of itself; each fault is planted in it."""
    outcome = pick(catalogue(), brief_of(BRIEF))
    found = claim_of(outcome.kit)
    skus = [line.sku for line in found.lines]
    assert skus == ["C1", "F1", "T1", "T2", "N1", "S1", "H1", "K1"]
    return found


@pytest.fixture
def broken(catalogue):
    """Return the rules that a claim breaks."""

    def broken(claim, asked=BRIEF, text=SHOP):
        checks = audit(claim, catalogue(text), brief_of(asked))
        assert all(check.detail for check in checks)
        return {check.rule for check in checks if check.holds is False}

    return broken


def changed(claim, sku, **cells):
    """Return a claim with one line changed, added up anew (the till of `BRIEF` adds nothing)."""
    lines = [replace(x, **cells) if x.sku == sku else x for x in claim.lines]
    return added_up(claim, lines)


def instead(claim, sku, other):
    """Return a claim with another sku in one of its lines."""
    lines = (replace(x, sku=other) if x.sku == sku else x for x in claim.lines)
    return replace(claim, lines=tuple(lines))


def apart(one, other):
    return int(differences([one], [other])[0, 0])


def added_up(claim, lines):
    goods = sum(line.units * line.price for line in lines)
    return replace(claim, lines=tuple(lines), goods=goods, payable=goods)


def shaded(claim, place, **cells):
    shades = list(claim.shades)
    shades[place] = replace(shades[place], **cells)
    return replace(claim, shades=tuple(shades))


def test_the_right_kit_breaks_nothing(claim, broken):
    assert broken(claim) == set()


@pytest.mark.parametrize("units", [0, 2])
@pytest.mark.parametrize("sku", ["C1", "F1", "T1", "T2", "N1", "S1", "H1", "K1"])
def test_wrong_units(claim, broken, sku, units):
    assert broken(changed(claim, sku, units=units)) == {"heads"}


@pytest.mark.parametrize("price", [0, 799, 801])
def test_a_price_that_is_not_the_rows(claim, broken, price):
    assert broken(changed(claim, "S1", price=price)) == {"cap"}


@pytest.mark.parametrize("name", SUMS)
def test_wrong_sums(claim, broken, name):
    for more in (-1, 1):
        assert broken(replace(claim, **{name: getattr(claim, name) + more})) == {"cap"}


def test_more_to_pay_than_the_cap(claim, broken):
    exact = f"{claim.payable // 100}.{claim.payable % 100:02}"
    below = f"{(claim.payable - 1) // 100}.{(claim.payable - 1) % 100:02}"
    assert broken(claim, BRIEF | {"cap": exact}) == set()
    assert broken(claim, BRIEF | {"cap": below}) == {"cap"}


@pytest.mark.parametrize("name", ["quality", "extras"])
def test_wrong_figures(claim, broken, name):
    wrong = replace(claim, **{name: getattr(claim, name) + Fraction(1, 10**9)})
    assert broken(wrong) == {"quality"}


@pytest.mark.parametrize(
    ("sku", "other", "rule"),
    [("C1", "C2", "fit"), ("F1", "F2", "fit"), ("N1", "N2", "needle"), ("H1", "H2", "hoop")],
)
def test_goods_that_do_not_go_together(claim, broken, sku, other, rule):
    # The scores of the two charts differ, those of the others do not.
    assert broken(instead(claim, sku, other)) - {"quality"} == {rule}


@pytest.mark.parametrize(
    ("place", "cells"),
    [
        (0, {"skeins": 2}),
        (0, {"skeins": 0}),
        (0, {"difference": 1}),
        (0, {"stitches": 619}),
        (0, {"chart_colour": "#7fc4c8"}),
        (1, {"thread_colour": "#e8e0c8"}),
        (1, {"sku": "T1", "thread_colour": "#e8e0c8"}),
    ],
)
def test_wrong_shades(claim, broken, place, cells):
    assert "thread" in broken(shaded(claim, place, **cells))


def test_swapped_shades(claim, broken):
    one, two = claim.shades
    swapped = (
        replace(one, sku=two.sku, thread_colour=two.thread_colour),
        replace(two, sku=one.sku, thread_colour=one.thread_colour),
    )
    assert "thread" in broken(replace(claim, shades=swapped))


def test_a_place_given_twice(claim, catalogue):
    # Two chart colours are near the one thread.
    text = SHOP.replace("#e8e0c8:620;#7fc4c8:415", "#e8e0c8:620;#e8e0c9:415")
    near = {"sku": "T1", "thread_colour": "#e8e0c8", "difference": apart("#e8e0c9", "#e8e0c8")}
    twice = shaded(claim, 1, chart_colour="#e8e0c9", **near)
    checks = {check.rule: check for check in audit(twice, catalogue(text), brief_of(BRIEF))}
    assert checks["thread"].holds is False
    assert "several colours" in checks["thread"].detail


def test_a_shade_beyond_the_tolerance(claim, broken):
    far = apart("#7fc4c8", "#80c4c8")
    other = instead(claim, "T2", "T3")
    other = shaded(other, 1, sku="T3", thread_colour="#80c4c8", difference=far)
    for tolerance, rules in ((far, {"quality"}), (far - 1, {"quality", "thread"})):
        shades = {"tolerance": Decimal(tolerance) / DIFFERENCE_UNIT}
        assert broken(other, BRIEF | {"shades": shades}) == rules


def test_a_thread_that_colours_nothing(claim, broken):
    idle = Piece("T3", "thread", "need", 0, 120)
    assert broken(added_up(claim, [*claim.lines, idle])) == {"thread"}


def test_a_shade_without_its_chart_colour(claim, broken):
    assert broken(replace(claim, shades=claim.shades[:1])) >= {"needs", "thread"}


@pytest.mark.parametrize("sku", ["C1", "F1", "N1", "S1"])
def test_a_need_without_its_choice(claim, broken, sku):
    assert "needs" in broken(added_up(claim, [x for x in claim.lines if x.sku != sku]))


def test_a_need_with_two_choices(claim, broken):
    second = Piece("S2", "scissors", "need", 1, 800)
    assert broken(added_up(claim, [*claim.lines, second])) == {"needs"}


def test_what_is_at_home_is_not_bought(claim, broken):
    assert "needs" in broken(claim, BRIEF | {"needs": {"scissors": {"have": True}}})


@pytest.mark.parametrize(
    "need",
    [
        {"min_quality": "75.01"},
        {"max_price": "7.99"},
        {"tags_any": ["blunt", "brass"]},
        {"tags_none": ["brass", "steel"]},
        {"only": {"quality": [74, 76]}},
        {"only": {"name": ["Heron", "stork"]}},
    ],
)
def test_conditions_that_are_not_met(claim, broken, need):
    assert broken(claim, BRIEF | {"needs": {"scissors": need}}) == {"conditions"}


@pytest.mark.parametrize(
    "need",
    [
        {"min_quality": "75.00", "max_price": "8.00"},
        {"tags_any": ["steel", "brass"], "tags_none": ["brass", "ste"]},
        {"only": {"quality": ["75.0"], "serves": [1], "name": ["Heron", "Stork"]}},
    ],
)
def test_conditions_that_are_just_met(claim, broken, need):
    assert broken(claim, BRIEF | {"needs": {"scissors": need}}) == set()


def test_lines_that_are_no_lines_of_the_catalogue(claim, broken):
    twice = [*claim.lines, claim.lines[2]]
    unknown = [replace(claim.lines[0], sku="C9"), *claim.lines[1:]]
    misnamed = [*claim.lines[:6], replace(claim.lines[6], category="scissors"), claim.lines[7]]
    for lines in (twice, unknown, misnamed):
        assert broken(replace(claim, lines=tuple(lines))) == {"needs"}


def test_a_shade_of_what_is_no_line(claim, broken):
    lines = tuple(line for line in claim.lines if line.sku != "T2")
    assert broken(replace(claim, lines=lines)) == {"needs"}


def test_what_is_kept_and_left_out(claim, broken):
    assert broken(claim, BRIEF | {"choose": {"keep": ["S1", "K1"]}}) == set()
    assert broken(claim, BRIEF | {"choose": {"keep": ["S1", "K2"]}}) == {"keep"}
    assert broken(claim, BRIEF | {"choose": {"leave_out": ["S2", "K2"]}}) == set()
    assert broken(claim, BRIEF | {"choose": {"leave_out": ["S2", "K1"]}}) == {"leave out"}


@pytest.mark.parametrize("sku", ["C1", "F1", "T1", "N1", "S1", "H1"])
def test_more_than_is_in_stock(claim, broken, sku):
    cells = next(line for line in SHOP.splitlines() if line.startswith(f"{sku},")).split(",")
    for stock, rules in (("0", {"stock"}), ("1", set())):
        row = ",".join([*cells[:5], stock, *cells[6:]])
        assert broken(claim, text=SHOP.replace(",".join(cells), row)) == rules


def test_what_is_owned_is_free_and_not_taken_from_stock(claim, broken):
    asked = BRIEF | {"choose": {"own": ["S1"]}}
    assert broken(claim, asked) == {"cap"}
    text = SHOP.replace("S1,Stork,scissors,8.00,75,,", "S1,Stork,scissors,8.00,75,0,")
    assert broken(changed(claim, "S1", price=0), asked, text) == set()


@pytest.mark.parametrize(
    "extras", [{"most": 1}, {"spend": "none"}, {"categories": ["hoop"]}, {"categories": []}]
)
def test_extras_that_are_not_asked_for(claim, broken, extras):
    assert broken(claim, BRIEF | {"extras": extras}) == {"extras"}


@pytest.mark.parametrize(("sku", "category"), [("K2", "case"), ("C2", "chart")])
def test_a_second_extra_of_a_category_and_a_chart_unasked(claim, broken, sku, category):
    price = 200 if sku == "K2" else 500
    more = Piece(sku, category, "extra", 1, price)
    assert broken(added_up(claim, [*claim.lines, more])) == {"extras"}


def test_what_is_undescribed_is_told_to_be_unchecked(catalogue):
    have = {need: {"have": True} for need in ("chart", "fabric", "thread", "needle", "hoop")}
    asked = BRIEF | {"holds": [*have, "scissors"], "needs": have}
    kit = pick(catalogue(), brief_of(asked)).kit
    unchecked = {check.rule: check.detail for check in kit.checks if check.holds is None}
    assert set(unchecked) == {"fit", "needle", "thread", "hoop"}
    assert all(detail.startswith("not checked: ") for detail in unchecked.values())


# Of seeds 9000 to 9079, those with a kit.
WITH_A_KIT = [
    *(*range(9000, 9009), *range(9010, 9014), *range(9015, 9019), 9020, 9024, 9026),
    *(*range(9028, 9039), 9040, 9041, 9044, 9045, *range(9047, 9053), 9054),
    *(*range(9057, 9060), 9061, 9062, *range(9064, 9069), *range(9070, 9074), 9075),
    *range(9077, 9080),
]


@over_seeds(WITH_A_KIT, quick=8)
def test_random_kits_hold_and_their_faults_are_named(catalogue, seed):
    text, asked = instance(seed)
    shop, brief = catalogue(text), brief_of(asked)
    kit = pick(shop, brief).kit
    assert kit
    hold_and_plant(claim_of(kit), kit.checks, shop, brief)


def hold_and_plant(claim, checks, shop, brief):
    def broken(wrong):
        return {check.rule for check in audit(wrong, shop, brief) if check.holds is False}

    assert audit(claim, shop, brief) == checks
    assert broken(claim) == set()
    for name in SUMS:
        assert broken(replace(claim, **{name: getattr(claim, name) + 1})) == {"cap"}
    for name in ("quality", "extras"):
        assert broken(replace(claim, **{name: getattr(claim, name) + 1})) == {"quality"}
    for line in claim.lines:
        others = [x for x in claim.lines if x != line]
        more = replace(line, units=line.units + 1)
        assert "heads" in broken(replace(claim, lines=(*others, more)))
        dearer = replace(line, price=line.price + 1)
        assert "cap" in broken(replace(claim, lines=(*others, dearer)))
        if line.role == "need" and line.category != "thread":
            assert "needs" in broken(replace(claim, lines=tuple(others)))
    for place, shade in enumerate(claim.shades):
        for name in ("skeins", "difference", "stitches"):
            more = getattr(shade, name) + 1
            assert "thread" in broken(shaded(claim, place, **{name: more}))


OWN_RULES = {
    "size": {"at_most_cm": [90, 90]},
    "lesson": {"hours_at_most": 900},
    "limits": [{"name": "few", "most": 99}],
    "pairs": [{"name": "both", "with": {}}],
    "alike": [{"name": "one", "column": "finish", "of": ["chart"]}],
}
ASKED_FOR = {"size", "hours", "limits", "pairs", "alike"}


def test_its_rules_are_the_solvers_in_order(claim, catalogue):
    checks = audit(claim, catalogue(), brief_of(BRIEF))
    named = [rule.name for rule in RULES]
    assert [check.rule for check in checks] == [one for one in named if one not in ASKED_FOR]


def test_it_checks_rules_of_one_s_own_by_their_names(claim, catalogue):
    checks = audit(claim, catalogue(), brief_of(BRIEF | OWN_RULES))
    assert [check.rule.partition(":")[0] for check in checks] == [rule.name for rule in RULES]
    assert [check.rule for check in checks][-4:-1] == ["limits: few", "pairs: both", "alike: one"]


FILES = sorted(Path(craft.__file__).parent.glob("[a-z]*.py"))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_it_imports_nothing_of_the_solver(file):
    tree = ast.parse(file.read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0
            names |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    assert any(name.startswith("kitsolver.") for name in names)
    shared = {"kitsolver.shop.till", "kitsolver.shop.row_values", "kitsolver.brief.meeting"}
    assert not names & shared
    solve = {name for name in names if name.startswith("kitsolver.solve.")}
    assert {".".join(name.split(".")[:3]) for name in solve} <= {"kitsolver.solve.audit"}
