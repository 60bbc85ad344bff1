"""Reading a brief: files, overrides, and values that arrive exactly."""

import json
import tomllib
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from instances import instance, to_toml
from seeds import over_seeds

from brief.conftest import places
from kitsolver import BadInput, brief_of, read_brief
from kitsolver.craft.lengths import CM, INCH
from kitsolver.craft.thread import Charted

DEFAULT_HOLDS = ("chart", "fabric", "thread", "needle", "scissors")


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
    assert (brief.total_cap, brief.cap, brief.cap_per_head) == (3000, None, Decimal("2.5"))


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
    assert have["chart"].shades == (Charted("#e8e0c8", 620), Charted("#7fc4c8", 415))
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


@over_seeds(range(40), quick=40)
def test_a_dumped_brief_is_complete_and_reads_back_the_same(seed):
    text = to_toml(instance(seed)[1])
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


@pytest.mark.parametrize(
    "text",
    [
        *(
            b"sku,name,category,price\n",
            b"\xef\xbb\xbfsku;name\r\na;b",
            b"\nsku\tname\n",
            b"sku|name",
        ),
        # The beginnings of a workbook, an old spreadsheet, Parquet and SQLite, and what follows.
        *(begin + b"\xff" for begin in (b"PK\3\4", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", b"PAR1")),
        b"SQLite format 3\0\xff",
    ],
)
def test_a_table_where_the_brief_belongs_is_told_as_that(found, tmp_path, text):
    (finding,) = found(text)
    assert (finding.code, finding.file) == ("table-for-brief", str(tmp_path / "brief.toml"))
    assert finding.hint == "name the catalogue first, and the brief after it"


@pytest.mark.parametrize(
    "text",
    [
        b"# For Ann, Bea and Cleo\ncap = ?\n",
        b"holds = [chart, fabric]\n",
        b"[needs, extras]\n",
        b'{"cap": "30.00", "currency": "EUR"}',
        b"cap 30.00\n",
        b"",
    ],
)
def test_no_other_mistake_is_told_as_a_table(found, text):
    assert "table-for-brief" not in [finding.code for finding in found(text)]


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
        ('fit.needles."12.5"=[22]', lambda b: b.fit.needle_table.get(Fraction(25, 2)) == {22}),
        ("choose.keep=['A']", lambda b: b.choose.keep == ("A",)),
        ("fit.margin_cm=2.5", lambda b: b.fit.margin == CM * 5 // 2),
    ],
)
def test_a_setting_overrides_one_key(read, setting, value):
    more = """
        [needs.fabric]
        only = { weave = "aida" }
        weight = 2
        have = { weave = "aida" }
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
    "setting", ["heads", "", "=3", "a b=3", "a.=3", "#=3", "[fit]#=3", "a\n=3"]
)
def test_a_malformed_setting_is_named(found, setting):
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
