"""What is wrong with a brief is found, each in its place and all at once."""

import pytest

from brief.conftest import places
from kitsolver import BadInput, brief_of


@pytest.mark.parametrize(
    ("more", "key", "near"),
    [
        ("head = 2", "head", "heads"),
        ("[fit]\nwast = 0.1", "fit.wast", "waste"),
        ("[till]\ndelivry = 1", "till.delivry", "delivery"),
        ("[extras]\nspent = 'none'", "extras.spent", "spend"),
        ("[choose]\nkeeps = []", "choose.keeps", "keep"),
        ("[shades]\ntolerence = 1", "shades.tolerence", "tolerance"),
        ("[needs.fabric]\nwieght = 2", "needs.fabric.wieght", "weight"),
        ("[needs.scissors]\nmaxprice = 2", "needs.scissors.maxprice", "max_price"),
        ("[needs.fabric]\nhave = {wave='aida'}", "needs.fabric.have.wave", "weave"),
        ("[needs.chart]\nhave = {color=''}", "needs.chart.have.color", "colours"),
        (
            "[needs.needle.have]\nneedle_sizes=26\nsizes=1",
            "needs.needle.have.sizes",
            "needle_sizes",
        ),
    ],
)
def test_an_unknown_key_is_refused_with_the_nearest_known(found, more, key, near):
    (finding,) = found(more)
    assert (finding.code, finding.column) == ("unknown-key", key)
    assert finding.hint == f"did you mean {near}?"
    assert key in finding.sentence


@pytest.mark.parametrize("key", ["flag", "listed", "described", "have"])
def test_no_key_is_mistaken_for_a_form_of_what_is_at_home(found, key):
    assert places(found(f"{key} = 1")) == [("unknown-key", key, None)]
    (finding,) = found(f"[needs.fabric]\nonly = {{ {key} = [true] }}")
    assert finding.column == f"needs.fabric.only.{key}.0"


@pytest.mark.parametrize(
    ("more", "column"),
    [
        ("'[key]' = 1", "[key]"),
        ("[needs.chart]\n'[key]' = 1", "needs.chart.[key]"),
        ("[shades.kinds]\n'[key]' = 1", "shades.kinds.[key]"),
        ("[needs.chart.have]\nflag = 1", "needs.chart.have.flag"),
        ("[needs.chart.have]\ndescribed = 1", "needs.chart.have.described"),
    ],
)
def test_no_key_is_mistaken_for_a_word_of_the_reader(found, more, column):
    (finding,) = found(more)
    assert finding.column == column


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('currency = "EUR"', "no-cap"),
        ('currency = "EUR"\ncap = 1\ncap_per_head = 1', "two-caps"),
    ],
)
def test_a_brief_has_one_cap_key(found, text, code):
    (finding,) = found(text, least="")
    assert finding.code == code
    assert finding.hint


def test_a_brief_has_a_currency(found):
    assert places(found("cap = 1", least="")) == [("missing-key", "currency", None)]


@pytest.mark.parametrize("currency", ["eur", "EURO", "XAU", "EUX", "€"])
def test_a_currency_is_one_of_iso_4217_with_a_minor_unit(found, currency):
    (finding,) = found(f'currency = "{currency}"\ncap = 1', least="")
    assert places([finding]) == [("unknown-currency", "currency", currency)]
    assert "EUR" in finding.hint


@pytest.mark.parametrize(
    ("currency", "fine", "too_fine"),
    [("JPY", "5", "5.5"), ("EUR", "5.55", "5.555"), ("KWD", "5.555", "5.5555")],
)
@pytest.mark.parametrize(
    ("key", "more"),
    [
        ("cap", "cap = {}"),
        ("cap_per_head", "cap_per_head = {}"),
        ("till.delivery", "cap = 1\n[till]\ndelivery = {}"),
        ("till.delivery_free_from", "cap = 1\n[till]\ndelivery_free_from = {}"),
        ("needs.fabric.max_price", "cap = 1\n[needs.fabric]\nmax_price = {}"),
        ("needs.scissors.max_price", "cap = 1\n[needs.scissors]\nmax_price = {}"),
    ],
)
def test_no_sum_is_finer_than_the_currency(read, found, currency, fine, too_fine, key, more):
    least = f'currency = "{currency}"\n'
    read(more.format(fine), least=least)
    (finding,) = found(more.format(too_fine), least=least)
    assert places([finding]) == [("finer-than-currency", key, too_fine)]
    assert currency in finding.sentence


def test_a_sum_that_is_too_fine_is_shown_as_it_is_written(found):
    (finding,) = found('currency = "EUR"\ncap = "0.0000001"', least="")
    assert finding.value == "0.0000001"


@pytest.mark.parametrize(
    ("table", "key", "value", "code"),
    [
        ("fit", "waste", "1.01", "impossible-rate"),
        ("till", "tax_rate", "1.01", "impossible-rate"),
        ("till", "discount_rate", "1.01", "impossible-rate"),
        ("till", "discount_rate", "1", "impossible-rate"),
        ("fit", "waste", "-0.1", "bad-value"),
        ("till", "tax_rate", "-1", "bad-value"),
        ("till", "discount_rate", "-0.1", "bad-value"),
    ],
)
def test_rates_are_shares_and_not_everything_is_given_away(read, found, table, key, value, code):
    read("[fit]\nwaste = 1\n[till]\ntax_rate = 1\ndiscount_rate = 0.9999")
    assert places(found(f"[{table}]\n{key} = {value}")) == [(code, f"{table}.{key}", value)]


@pytest.mark.parametrize(
    ("more", "code", "column", "value"),
    [
        ("holds = ['chart', 'fabric', 'chart ']", "repeated-need", "holds", "chart"),
        ("[needs.hoop]", "not-a-need", "needs.hoop", "hoop"),
        ("[needs.scisors]", "not-a-need", "needs.scisors", "scisors"),
        ("[needs.fabric]\nshared_by = 2", "fabric-shared", "needs.fabric.shared_by", "2"),
        ("[needs.chart]\nmin_quality = 100.1", "bad-value", "needs.chart.min_quality", "100.1"),
        ("[fit]\nmargin_cm = 1\nmargin_in = 1", "two-margins", None, None),
        (
            "[extras.conditions.needle]\ntags_any = ['a']",
            "conditions-of-need",
            "extras.conditions.needle",
            "needle",
        ),
    ],
)
def test_a_brief_does_not_contradict_itself(found, more, code, column, value):
    assert places(found(more)) == [(code, column, value)]


def test_a_table_of_no_need_names_the_nearest_need(found):
    (finding,) = found("[needs.scisors]")
    assert "did you mean scissors?" in finding.hint


def test_a_sku_is_in_one_list_unless_it_is_kept_and_owned(read, found):
    read("[choose]\nkeep = ['A']\nown = ['A']")
    findings = found("[choose]\nkeep = ['A', 'B']\nown = ['C', 'B']\nleave_out = [' B ', 'C', 'D']")
    assert places(findings) == [
        ("kept-and-left-out", "choose.leave_out", "B"),
        ("owned-and-left-out", "choose.leave_out", "B"),
        ("owned-and-left-out", "choose.leave_out", "C"),
    ]


@pytest.mark.parametrize(
    ("need", "have", "place", "says"),
    [
        ("thread", "['#7fc4c']", ".0", "#rrggbb"),
        ("thread", "['#7fc4c8', '7fc4c8']", ".1", "#rrggbb"),
        ("thread", "[3]", ".0", "#rrggbb"),
        ("thread", "'#7fc4c8'", "", "is not usable"),
        ("chart", "{colours = '#7fc4c8:4;#7FC4C8:5'}", ".colours", "a colour twice"),
        ("chart", "{colours = '#7fc4c8'}", ".colours", "#rrggbb:stitches"),
        ("chart", "{colours = '#7fc4c8:0'}", ".colours", "#rrggbb:stitches"),
        ("chart", "{colours = '#7fc4c8:2.25'}", ".colours", "#rrggbb:stitches"),
        ("chart", "{colours = 'teal:5'}", ".colours", "#rrggbb:stitches"),
        ("chart", "{stitches_wide = 5}", "", "both stitches_wide and stitches_high"),
        ("chart", "{stitches_wide = 5.5, stitches_high = 4}", ".stitches_wide", "whole number"),
        ("chart", "{stitches_wide = 0, stitches_high = 4}", ".stitches_wide", "below 1"),
        ("chart", "'yes'", "", "is not a table"),
        ("fabric", "{weave = 'silk'}", ".weave", "'aida'"),
        ("fabric", "{count = 0}", ".count", "not above zero"),
        ("fabric", "{width_cm = 5}", "", "width and height in one unit"),
        ("fabric", "{width_cm = 5, height_in = 5}", "", "width and height in one unit"),
        ("fabric", "{colours = 'white'}", ".colours", "#rrggbb"),
        ("needle", "{needle_sizes = [24.5]}", ".needle_sizes.0", "whole number"),
        ("needle", "{needle_sizes = '24;x'}", ".needle_sizes.1", "not a number"),
        ("needle", "{}", ".needle_sizes", "lacks the key"),
        ("needle", "[24]", "", "is not usable"),
        ("scissors", "{blade_cm = 9}", "", "neither true nor false"),
        ("scissors", "1", "", "neither true nor false"),
    ],
)
def test_what_is_at_home_is_described_soundly(found, need, have, place, says):
    (finding,) = found(f"[needs.{need}]\nhave = {have}")
    assert finding.column == f"needs.{need}.have{place}"
    assert says in finding.sentence


@pytest.mark.parametrize(
    ("have", "says"),
    [("{}", "one of diameter_cm and diameter_in"), ("{diameter_cm=1, diameter_in=1}", "one of")],
)
def test_a_hoop_at_home_has_one_diameter(found, have, says):
    (finding,) = found(f"holds = ['hoop']\n[needs.hoop]\nhave = {have}")
    assert finding.column == "needs.hoop.have"
    assert says in finding.sentence


@pytest.mark.parametrize(
    ("more", "column", "value", "says"),
    [
        ("heads = 0", "heads", "0", "below 1"),
        ("heads = '3'", "heads", "3", "not a whole number"),
        ("heads = 3.0", "heads", "3.0", "not a whole number"),
        ("heads = true", "heads", "true", "not a whole number"),
        ("heads = 0x" + 5000 * "f", "heads", "a number of thousands of digits", "above"),
        ("title = 3", "title", "3", "not text"),
        ("units = 'mm'", "units", "mm", "'cm' or 'in'"),
        ("holds = 'chart'", "holds", "chart", "not a list"),
        ("holds = [1]", "holds.0", "1", "not text"),
        ("holds = [' ']", "holds.0", " ", "blank"),
        ("needs = 3", "needs", "3", "not a table"),
        ("fit = []", "fit", "[]", "not a table"),
        ("[needs]\nfabric = 3", "needs.fabric", "3", "not a table"),
        ("[needs.fabric]\nweight = -1", "needs.fabric.weight", "-1", "below zero"),
        ("[needs.fabric]\nweight = true", "needs.fabric.weight", "true", "not a number"),
        ("[needs.fabric]\nonly = 3", "needs.fabric.only", "3", "not a table"),
        ("[needs.fabric]\nonly.count = [true]", "needs.fabric.only.count.0", "true", "not a num"),
        ("[needs.fabric]\nonly.count = nan", "needs.fabric.only.count.0", "NaN", "not a number"),
        ("[needs.fabric]\ntags_any = 'x'", "needs.fabric.tags_any", "x", "not a list"),
        ("[needs.fabric]\nshared_by = 0", "needs.fabric.shared_by", "0", "below 1"),
        ("[extras]\nspend = 'all'", "extras.spend", "all", "'leftover', 'together' or 'none'"),
        ("[extras]\nmost = -1", "extras.most", "-1", "below 0"),
        ("[extras]\nmost = 1.5", "extras.most", "1.5", "not a whole number"),
        ("[choose]\nkeep = [1]", "choose.keep.0", "1", "not text"),
        ("[fit]\nover = 0", "fit.over", "0", "below 1"),
        ("[fit]\nstrands = 0", "fit.strands", "0", "below 1"),
        ("[fit]\nneedles.14 = [24.5]", "fit.needles.14.0", "24.5", "not a whole number"),
        ("[fit]\nneedles.x = [24]", "fit.needles.x", "x", "not a number"),
        ("[shades]\nmode = 'any'", "shades.mode", "any", "'charted' or 'free'"),
        ("[shades]\nwish = ['teal']", "shades.wish.0", "teal", "#rrggbb"),
        ("[shades]\nkeep_values = 1", "shades.keep_values", "1", "neither true nor false"),
        ("[till]\ntax_on_delivery = 'no'", "till.tax_on_delivery", "no", "neither true nor false"),
        ("[till]\nrounding = 'up'", "till.rounding", "up", "'half-up' or 'half-even'"),
    ],
)
def test_a_value_is_of_its_keys_kind(found, more, column, value, says):
    (finding,) = found(more)
    assert places([finding]) == [("bad-value", column, value)]
    assert column in finding.sentence
    assert says in finding.sentence


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("-1", "below zero"),
        ("'-1'", "below zero"),
        ("nan", "not a number"),
        ("inf", "not a number"),
        ("'nan'", "not a number"),
        ("'1e3'", "not a number"),
        ("'1.'", "not a number"),
        ("'.5'", "not a number"),
        ("'+1'", "not a number"),
        ("'1_000'", "not a number"),
        ("'\u0661'", "not a number"),
        ("''", "not a number"),
        ("true", "not a number"),
        ("[]", "not a number"),
        ("1979-05-27", "not a number"),
        ("1000000000001", "too large"),
        ("1e999999999999", "too large"),
        ("1e-999999999999", "too fine"),
    ],
)
def test_a_number_is_digits_with_an_optional_point(found, written, says):
    for table, key in (("till", "delivery"), ("fit", "margin_cm"), ("shades", "tolerance")):
        (finding,) = found(f"[{table}]\n{key} = {written}")
        assert (finding.code, finding.column) == ("bad-value", f"{table}.{key}")
        assert says in finding.sentence


def test_findings_are_collected(found):
    findings = found("""
        heads = 0
        colour = 1
        [needs.fabric]
        weight = -1
        have = { weave = "silk", count = "x" }
        [till]
        tax_rate = 2
    """)
    assert {(f.code, f.column) for f in findings} == {
        ("bad-value", "heads"),
        ("unknown-key", "colour"),
        ("bad-value", "needs.fabric.weight"),
        ("bad-value", "needs.fabric.have.weave"),
        ("bad-value", "needs.fabric.have.count"),
        ("impossible-rate", "till.tax_rate"),
    }


def test_contradictions_are_collected(found):
    findings = found("""
        cap_per_head = "1.001"
        holds = ["chart", "chart"]
        [needs.fabric]
        [choose]
        keep = ["A"]
        leave_out = ["A"]
        [fit]
        margin_cm = 1
        margin_in = 1
    """)
    assert {f.code for f in findings} == {
        *("two-caps", "finer-than-currency", "repeated-need", "not-a-need"),
        *("kept-and-left-out", "two-margins"),
    }


def test_an_unknown_key_hides_nothing_else():
    asked = {
        "currency": "EUR",
        "til": {"delivery": "1"},
        "needs": {"fabric": {"shared_by": 2, "wieght": 2}},
    }
    with pytest.raises(BadInput) as refused:
        brief_of(asked)
    codes = {finding.code for finding in refused.value.findings}
    assert codes == {"unknown-key", "no-cap", "fabric-shared"}
    assert asked["til"] == {"delivery": "1"}


def test_weights_that_drown_each_other():
    chart, fabric = {"weight": 10**12}, {"weight": "0.000001"}
    asked = {"currency": "EUR", "cap": "9", "needs": {"chart": chart, "fabric": fabric}}
    with pytest.raises(BadInput) as refused:
        brief_of(asked)
    assert [finding.code for finding in refused.value.findings] == ["unequal-weights"]
    nothing = asked | {"needs": {"chart": chart, "fabric": {"weight": 0}, "thread": chart}}
    nothing["needs"] |= {"needle": chart, "scissors": chart}
    assert brief_of(nothing).need("fabric").weight == 0
