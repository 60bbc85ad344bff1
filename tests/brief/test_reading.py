"""Reading a brief: what is right arrives exactly, what is wrong is found with its place."""

import json
import tomllib
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from instances import instance, to_toml

from kitsolver import BadInput, brief_of, read_brief
from kitsolver.craft.lengths import CM, INCH

DEFAULT_HOLDS = ("chart", "fabric", "thread", "needle", "scissors")


def places(findings):
    return [(f.code, f.column, f.value) for f in findings]


# What is right.


def test_the_least_brief_has_the_defaults_of_the_specification(read):
    brief = read()
    assert (brief.title, brief.heads, brief.units, brief.holds) == ("", 1, "cm", DEFAULT_HOLDS)
    assert (brief.cap, brief.cap_per_head, brief.total_cap) == (30, None, 3000)
    assert [name for name, _ in brief.need_tables] == list(DEFAULT_HOLDS)
    for _, need in brief.need_tables:
        assert (need.weight, need.shared_by, need.have) == (1, 1, False)
        assert (need.only, need.tags_any, need.tags_none) == ({}, (), ())
        assert (need.max_price, need.min_quality) == (None, None)
    extras, choose, fit, shades = brief.extras, brief.choose, brief.fit, brief.shades
    assert (extras.spend, extras.weight) == ("leftover", Decimal("0.25"))
    assert (extras.categories, extras.most) == (None, None)
    assert (choose.keep, choose.leave_out, choose.own) == ((), (), ())
    assert (fit.margin_cm, fit.margin_in, fit.over) == (Decimal("7.62"), None, 2)
    assert (fit.waste, fit.strands, fit.needles) == (Decimal("0.20"), None, {})
    assert (shades.mode, shades.tolerance, shades.mismatch) == ("charted", 6, 5)
    assert (shades.contrast, shades.keep_values, shades.wish) == (10, True, ())
    till = brief.till
    assert (till.discount_rate, till.delivery, till.delivery_free_from, till.tax_rate) == (0,) * 4
    assert (till.tax_on_delivery, till.rounding) == (False, "half-up")


@pytest.mark.parametrize("cap", ["30.1", '"30.1"', "30.10", '" 30.1 "', '"30.100"', "3.01e1"])
def test_a_sum_is_its_written_decimal(read, cap):
    brief = read(f"cap = {cap}", least='currency = "EUR"\n')
    assert (brief.cap, brief.total_cap) == (Decimal("30.1"), 3010)


def test_a_float_of_python_is_its_shortest_decimal():
    brief = brief_of({"currency": "EUR", "cap": 30.1, "fit": {"margin_cm": 7.62}})
    assert brief.cap == Decimal("30.1")
    assert brief.fit.margin == Fraction(762, 100) * CM == 3 * INCH


def test_a_cap_a_head_is_a_cap_for_all(read):
    brief = read('currency = "EUR"\ncap_per_head = 2.5\nheads = 12', least="")
    assert (brief.total_cap, brief.cap_key) == (3000, "cap_per_head")


@pytest.mark.parametrize(
    ("fit", "margin"),
    [("", 3 * INCH), ("margin_cm = 2.5", CM * 5 // 2), ("margin_in = 1", INCH), ("margin_cm=0", 0)],
)
def test_a_margin_is_exact_in_either_unit(read, fit, margin):
    assert read(f"[fit]\n{fit}").fit.margin == margin


def test_what_is_at_home_can_be_described(read):
    brief = read("""
        holds = ["chart", "fabric", "thread", "needle", "hoop", "scissors"]
        [needs.chart]
        have = { stitches_wide = 56, stitches_high = 77, colours = "#E8E0C8:620; #7fc4c8:415" }
        [needs.fabric]
        have = { weave = "linen", count = 27.5, width_in = 14, height_in = 17 }
        [needs.thread]
        have = ["#E8E0C8", "#7fc4c8"]
        [needs.needle]
        have = { needle_sizes = "24;26" }
        [needs.hoop]
        have = { diameter_cm = 15.5 }
        [needs.scissors]
        have = true
    """)
    have = {name: need.have for name, need in brief.need_tables}
    assert have["chart"].shades == (("#e8e0c8", 620), ("#7fc4c8", 415))
    assert have["fabric"].size == (14 * INCH, 17 * INCH)
    assert have["fabric"].count == Decimal("27.5")
    assert have["thread"] == ("#e8e0c8", "#7fc4c8")
    assert have["needle"].needle_sizes == (24, 26)
    assert have["hoop"].diameter == CM * 31 // 2
    assert have["scissors"] is True


def test_needle_sizes_replace_the_tables_by_value(read):
    brief = read('[fit]\nneedles = { 14 = [26], "12.50" = [22, 24] }')
    assert brief.fit.needle_table == {14: frozenset({26}), Fraction(25, 2): frozenset({22, 24})}


def test_one_allowed_value_needs_no_list_and_keeps_its_kind(read):
    only = read('[needs.fabric]\nonly = { weave = "aida", count = [14, "16", 27.5] }')
    assert only.need("fabric").only == {"weave": ("aida",), "count": (14, "16", Decimal("27.5"))}


def test_any_category_may_be_a_need(read):
    # "copy" and "json" are names of the class that holds the tables.
    brief = read('holds = ["copy", "json"]\n[needs.copy]\nweight = 3')
    assert (brief.need("copy").weight, brief.need("json").weight) == (3, 1)
    with pytest.raises(KeyError):
        brief.need("chart")


def test_a_byte_order_mark_and_any_line_end_are_read(read):
    assert read(b'\xef\xbb\xbfcurrency = "EUR"\r\ncap = 1\r\n').cap == 1


@pytest.mark.parametrize("seed", range(0, 200, 20))
def test_a_dumped_brief_is_complete_and_reads_back_the_same(seed):
    for text in (to_toml(instance(one)[1]) for one in range(seed, seed + 20)):
        brief = brief_of(tomllib.loads(text, parse_float=Decimal))
        dumped = brief.model_dump_json()
        for parse in (float, Decimal):
            again = brief_of(json.loads(dumped, parse_float=parse))
            assert again == brief
            assert again.model_dump_json() == dumped
        assert (brief.fit.margin_cm is None) != (brief.fit.margin_in is None)


@given(
    cap=st.integers(0, 10**14).map(lambda cents: Decimal(cents).scaleb(-2)),
    weight=st.decimals(0, 1000, places=9),
    margin=st.decimals(0, 1000, places=12),
)
def test_numbers_survive_being_dumped(cap, weight, margin):
    data = {"currency": "EUR", "cap": cap, "fit": {"margin_in": margin}}
    brief = brief_of(data | {"needs": {"chart": {"weight": weight}}})
    assert (brief.cap, brief.fit.margin_in, brief.need("chart").weight) == (cap, margin, weight)
    assert brief_of(json.loads(brief.model_dump_json())) == brief


# What is wrong.


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
        ("[needs.needle.have]\nneedle_sizes=26\nsizes=1", "needs.needle.have.sizes", "needle_sizes"),
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
        ("[shades]\nmode = 'free'", "recolouring-not-offered", "shades.mode", "free"),
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
        ("chart", "{colours = '#7fc4c8:2.5'}", ".colours", "#rrggbb:stitches"),
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
        ("'1,5'", "not a number"),
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


# The file.


@pytest.mark.parametrize(
    ("text", "row"),
    [
        (b"a = 1\nb = ?\n", 2),
        (b"a = 1\na = 2\n", 2),
        (b"a = 1\n\nno equals sign\n", 3),
        (b"a = '\0'", 1),
        (b"a = 1\n\0", 2),
        (b"a = [1,", None),
        (b"a = " + 5000 * b"1", None),
        (b"a = " + 5000 * b"[", None),
    ],
)
def test_what_is_no_toml_is_found_in_its_row(found, tmp_path, text, row):
    (finding,) = found(text)
    assert (finding.code, finding.row, finding.column) == ("not-toml", row, None)
    assert finding.file == str(tmp_path / "brief.toml")


def test_what_is_not_utf8_is_found(found):
    (finding,) = found(b'title = "caf\xe9"')
    assert finding.code == "brief-not-utf8"
    assert "0xe9 at 12" in finding.sentence


def test_a_path_that_is_no_file_is_a_finding(tmp_path):
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(BadInput) as bad:
            read_brief(path)
        assert [(f.code, f.file) for f in bad.value.findings] == [("unreadable-brief", str(path))]


# Overrides.


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ("heads=3", lambda b: b.heads == 3),
        ("title=A gift", lambda b: b.title == "A gift"),
        ("title='A = B'", lambda b: b.title == "A = B"),
        ("title=a=b", lambda b: b.title == "a=b"),
        ("units= in ", lambda b: b.units == "in"),
        ("till.rounding=half-even", lambda b: b.till.rounding == "half-even"),
        ("needs.fabric.max_price=14.00", lambda b: b.need("fabric").max_price == 14),
        ("needs.fabric.only={count=[16]}", lambda b: b.need("fabric").only == {"count": (16,)}),
        ("needs.scissors.have=true", lambda b: b.need("scissors").have is True),
        ("needs.fabric.have.count=16", lambda b: b.need("fabric").have.count == 16),
        ('fit.needles."12.5"=[22]', lambda b: b.fit.needle_table[Fraction(25, 2)] == {22}),
        ("choose.keep=['A']", lambda b: b.choose.keep == ("A",)),
        ("fit.margin_cm=2.5", lambda b: b.fit.margin == CM * 5 // 2),
    ],
)
def test_a_setting_overrides_one_key(read, setting, value):
    more = """
        [needs.fabric]
        only = { weave = "aida" }
        weight = 2
        [choose]
        keep = ["B", "C"]
    """
    assert not value(read(more))
    brief = read(more, sets=[setting])
    assert value(brief)
    assert brief.need("fabric").weight == 2


def test_settings_are_taken_in_order(read):
    assert read(sets=["heads=2", "heads=3"]).heads == 3


def test_a_cap_replaces_either_cap_key(read):
    per_head = 'currency = "EUR"\ncap_per_head = 5\nheads = 2\n'
    for least in (None, per_head):
        options = {} if least is None else {"least": least}
        assert read(cap="12.30", **options).total_cap == 1230
        assert read(sets=["cap=12.30"], **options).total_cap == 1230
    assert read(sets=["cap_per_head=7"], least=per_head).total_cap == 1400
    assert read(sets=["cap_per_head=7"]).total_cap == 700


@pytest.mark.parametrize(
    "setting", ["heads", "", "=3", "a b=3", "a.=3", "#=3", "[fit]#=3", "a\n=3", "a=1\n[b=2"]
)
def test_a_malformed_setting_is_named(found, setting):
    if setting == "a=1\n[b=2":
        # The key is sound, so what follows is text; no such key exists.
        assert places(found(sets=[setting])) == [("unknown-key", "a", None)]
        return
    (finding,) = found(sets=[setting])
    assert (finding.code, finding.value) == ("not-a-setting", setting)
    assert "--set" in finding.hint


@pytest.mark.parametrize(
    ("setting", "code", "column", "value"),
    [
        ("fit.wast=1", "unknown-key", "fit.wast", None),
        ("heads=", "bad-value", "heads", ""),
        ("heads.x=2", "bad-value", "heads", '{"x": 2}'),
        ("heads=" + 5000 * "1", "bad-value", "heads", 5000 * "1"),
        ("choose.keep=A", "bad-value", "choose.keep", "A"),
    ],
)
def test_what_a_setting_says_is_held_to_the_same_rules(found, setting, code, column, value):
    assert places(found(sets=[setting])) == [(code, column, value)]


def test_a_text_that_nests_without_end_is_text(read):
    assert read(sets=["title=" + 3000 * "["]).title == 3000 * "["


def test_a_bad_cap_is_found(found):
    assert places(found(cap="a lot")) == [("bad-value", "cap", "a lot")]
