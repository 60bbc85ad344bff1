"""Reading a catalogue: what is right arrives in whole units, what is wrong is found."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from fractions import Fraction

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from kitsolver.craft.lengths import CM, INCH
from kitsolver.shop.catalogue import UNLIMITED
from kitsolver.shop.columns.charted import charted
from kitsolver.shop.findings import BadInput
from kitsolver.shop.reading import read_catalogue
from kitsolver.shop.sources.csv_source import read_records

BASE = {"sku": "L1", "name": "Oil lamp", "category": "lamp", "price": "3.50", "quality": "60"}
# What every shelf holds where a row says nothing of its tax, its cost or its opening.
NOT_GIVEN_CELLS = {
    "trade_cost": -1,
    "tax_rate": -1,
    "download": 0,
    "opening_cm": "",
    "opening_in": "",
}
CHART = BASE | {
    "category": "chart",
    "stitches_wide": "56",
    "stitches_high": "77",
    "colours": "#e8e0c8:620;#7fc4c8:415",
}
FABRIC = BASE | {
    "category": "fabric",
    "weave": "aida",
    "count": "14",
    "width_cm": "36",
    "height_cm": "43",
    "width_in": "",
    "height_in": "",
    "colours": "",
}
THREAD = BASE | {"category": "thread", "colours": "#7fc4c8", "skein_m": "", "strands": ""}
NEEDLE = BASE | {"category": "needle", "needle_sizes": "24;26"}
HOOP = BASE | {"category": "hoop", "diameter_cm": "15", "diameter_in": ""}

# One folder for all examples of a property: each of them overwrites the file.
ONE_FOLDER = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


def csv_text(*rows):
    header = list(dict.fromkeys(column for row in rows for column in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, header, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


@pytest.fixture
def read(tmp_path):
    """Write a text, bytes or rows to a file and read it in EUR."""

    def read(content, **options):
        path = tmp_path / "shop.csv"
        if isinstance(content, list):
            content = csv_text(*content)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return read_catalogue(path, **({"currency": "EUR"} | options))

    return read


@pytest.fixture
def found(read):
    """Return the findings of a file, whether it can be used or not."""

    def found(content, **options):
        try:
            return read(content, **options).findings
        except BadInput as bad:
            return bad.findings

    return found


def places(findings):
    return [(f.code, f.row, f.column) for f in findings]


# What is right.


def test_each_category_arrives_in_whole_units(read):
    rows = [CHART, FABRIC, THREAD, NEEDLE, HOOP, BASE]
    shop = read([row | {"sku": f"S{n}"} for n, row in enumerate(rows)])
    assert shop.findings == ()
    one = {category: shelf.iloc[0].to_dict() for category, shelf in shop.shelves.items()}
    common = {"name": "Oil lamp", "price": 35_000, "quality": 6_000, "serves": 1}
    common |= {"stock": UNLIMITED} | NOT_GIVEN_CELLS
    assert one == {
        "chart": common
        | {"sku": "S0", "stitches_wide": 56, "stitches_high": 77, "colours": CHART["colours"]}
        | {"colour_kinds": "", "colour_strands": ""},
        "fabric": common
        | {"sku": "S1", "weave": "aida", "count": 140_000, "colours": ""}
        | {"width": 36 * CM, "height": 43 * CM}
        | {"sold_by": 0, "smallest_cm": 10 * CM, "step_cm": 10 * CM},
        # The defaults of a skein: 8 m of six strands (reference.md section 1, common practice).
        "thread": common
        | {"sku": "S2", "colours": "#7fc4c8", "skein_length": 8 * 6 * 10_000}
        | {"kind": "cotton", "strands": 6},
        "needle": common | {"sku": "S3", "needle_sizes": "24;26"},
        "hoop": common | {"sku": "S4", "diameter": 15 * CM},
        "lamp": common | {"sku": "S5"},
    }


def test_shelves_have_exact_types_and_share_the_rows_of_the_text(read):
    shop = read([FABRIC | {"sku": "b"}, FABRIC | {"sku": "a"}, FABRIC | {"sku": "C"}])
    shelf = shop.shelves["fabric"]
    assert list(shelf["sku"]) == ["C", "a", "b"]
    assert list(shelf.index) == [4, 3, 2]
    assert list(shop.text.index) == [2, 3, 4]
    texts = {"sku", "name", "weave", "colours", "opening_cm", "opening_in"}
    for column in shelf:
        assert shelf[column].dtype == (object if column in texts else np.int64), column
    assert set(shop.text.dtypes) == {np.dtype(object)}
    assert shop.row_number("C") == 4


def test_inches_are_held_exactly(read):
    inches = {"width_cm": "", "height_cm": "", "width_in": "14.000001", "height_in": "17"}
    shelf = read([FABRIC | inches]).shelves["fabric"]
    assert shelf["width"].item() == 14 * INCH + INCH // 10**6
    assert shelf["height"].item() == 17 * INCH
    hoop = read([HOOP | {"diameter_cm": "", "diameter_in": "6"}]).shelves["hoop"]
    assert hoop["diameter"].item() == 6 * INCH


def test_optional_cells_are_read(read):
    filled = {"stock": "0", "serves": "12", "trade_cost": "1.20", "tags": "gift; soft"}
    # The number 629104150021 and its check digit 3: GS1 General Specifications 7.9.1.
    shop = read([BASE | filled | {"gtin": "6291041500213"}])
    row = shop.shelves["lamp"].iloc[0]
    assert (row["stock"], row["serves"]) == (0, 12)
    assert row["trade_cost"] == 12_000
    assert shop.row("L1")["tags"] == "gift; soft"


def test_colours_are_lowered_and_spaces_round_entries_dropped(read):
    assert read([CHART | {"colours": " #E8E0C8:0620 ; #7fc4c8:415"}]).shelves["chart"][
        "colours"
    ].item() == ("#e8e0c8:620;#7fc4c8:415")
    pack = read([THREAD | {"colours": "#AA0000; #aa0000", "skein_m": "7.5", "strands": "4"}])
    assert pack.shelves["thread"]["colours"].item() == "#aa0000;#aa0000"
    assert pack.shelves["thread"]["skein_length"].item() == 300_000


def test_text_is_trimmed_and_unknown_columns_are_kept(read):
    shop = read(" sku ,name,category,price,quality,shade\r\n L1 ,\tLamp ,lamp, 3.50,60 , dusk \r\n")
    assert shop.row("L1") == {
        "sku": "L1",
        "name": "Lamp",
        "category": "lamp",
        "price": "3.50",
        "quality": "60",
        "shade": "dusk",
    }


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("start", [b"", b"\xef\xbb\xbf"])
def test_any_line_end_and_a_byte_order_mark_are_read(read, newline, start):
    text = csv_text(BASE | {"name": "Crème lamp"}).replace("\r\n", newline)
    assert read(start + text.encode()).row("L1")["name"] == "Crème lamp"


def test_columns_of_other_categories_are_not_checked(read):
    shop = read([BASE | {"stitches_wide": "many", "colours": "red", "width_cm": "-1"}])
    assert shop.row("L1")["stitches_wide"] == "many"


def test_blank_lines_count_and_newlines_in_quotes_do_not(read):
    head = "sku,name,category,price,quality,note\n"
    good = 'L{0},Lamp,lamp,1,1,"a\nb"\n'
    shop = read(head + good.format(1) + "\n,,,,,\n  \n" + good.format(2))
    assert list(shop.text.index) == [2, 6]
    assert shop.findings == ()


def test_the_order_of_rows_changes_no_value(read):
    rows = [FABRIC | {"sku": f"S{n}", "price": str(n)} for n in range(20)]
    one, other = read(rows).shelves["fabric"], read(rows[::-1]).shelves["fabric"]
    pd.testing.assert_frame_equal(one.reset_index(drop=True), other.reset_index(drop=True))


def test_long_lists_are_read_whole(read):
    colours = ";".join(f"#{n:06x}:{n + 1}" for n in range(20_000))
    shop = read([CHART | {"colours": colours, "note": "x" * 200_000}])
    assert shop.shelves["chart"]["colours"].item() == colours


# What is wrong with a cell.

LONG = "x" * 121

CELL_FAULTS = [
    (BASE, "sku", "", "blank-cell"),
    (BASE, "name", "  ", "blank-cell"),
    (BASE, "category", "", "blank-cell"),
    (BASE, "price", "", "blank-cell"),
    (BASE, "quality", "", "blank-cell"),
    (BASE, "sku", LONG, "cell-too-long"),
    (BASE, "name", LONG, "cell-too-long"),
    (BASE, "category", LONG, "cell-too-long"),
    (BASE, "gtin", "1" * 121, "cell-too-long"),
    (BASE, "price", "1" * 121, "cell-too-long"),
    (BASE, "tags", f"soft;{LONG}", "cell-too-long"),
    (CHART, "colours", f"#e8e0c8:{'1' * 121}", "cell-too-long"),
    (BASE, "name", "two\nlines", "control-character"),
    (BASE, "sku", "a\x07b", "control-character"),
    (BASE, "category", "a\x85b", "control-character"),
    (FABRIC, "weave", "linnen", "unknown-weave"),
    (FABRIC, "weave", "", "blank-cell"),
    (BASE, "price", "-1", "negative-number"),
    (BASE, "price", "-.5", "negative-number"),
    (BASE, "price", "\u22121", "negative-number"),
    (BASE, "price", "+1", "not-a-number"),
    (BASE, "price", "1e2", "not-a-number"),
    (BASE, "price", "3,50", "not-a-number"),
    (BASE, "price", "1_000", "not-a-number"),
    (BASE, "price", "0x10", "not-a-number"),
    (BASE, "price", "١٢", "not-a-number"),
    (BASE, "price", ".5", "not-a-number"),
    (BASE, "price", "5.", "not-a-number"),
    (BASE, "price", "5 EUR", "not-a-number"),
    (BASE, "price", "NaN", "not-finite"),
    (BASE, "price", "-inf", "not-finite"),
    (BASE, "price", "1.000", "too-many-decimals"),
    (BASE, "price", "1000000001", "number-too-large"),
    (BASE, "price", "9" * 40, "number-too-large"),
    (BASE, "trade_cost", "x", "not-a-number"),
    (BASE, "trade_cost", "1.234", "too-many-decimals"),
    (BASE, "quality", "100.01", "number-too-large"),
    (BASE, "quality", "50.000", "too-many-decimals"),
    (BASE, "stock", "1.5", "not-whole"),
    (BASE, "stock", "-3", "negative-number"),
    (BASE, "serves", "0", "number-too-small"),
    (BASE, "gtin", "123", "gtin-malformed"),
    (BASE, "gtin", "629104150021x", "gtin-malformed"),
    (BASE, "gtin", "6291041500214", "gtin-check-digit"),
    (CHART, "stitches_wide", "0", "number-too-small"),
    (CHART, "stitches_high", "", "blank-cell"),
    (CHART, "colours", "", "chart-without-colours"),
    (CHART, "colours", "#e8e0c8", "malformed-chart-colour"),
    (CHART, "colours", "#e8e0c8:1.25", "not-in-halves"),
    (CHART, "colours", "#e8e0c8:0.5", "number-too-small"),
    (CHART, "colours", "#e8e0c8:9:", "malformed-chart-colour"),
    (CHART, "colours", "#e8e0c8:9:1.234", "too-many-decimals"),
    (CHART, "colours", "#e8e0c8:0:0.00", "number-too-small"),
    (CHART, "colour_kinds", "cotton", "unequal-lists"),
    (CHART, "colour_strands", "2;x", "not-a-number"),
    (BASE, "opening_cm", "10x15x2", "malformed-opening"),
    (BASE, "opening_cm", "10x", "not-a-number"),
    (BASE, "opening_in", "0", "number-too-small"),
    (BASE, "download", "maybe", "neither-yes-nor-no"),
    (BASE, "tax_rate", "1.2", "number-too-large"),
    (FABRIC, "sold_by", "yard", "neither-unit-nor-length"),
    (FABRIC, "step_cm", "0", "number-too-small"),
    (CHART, "colours", "#e8e0c:15", "malformed-chart-colour"),
    (CHART, "colours", "#e8e0c8:0", "number-too-small"),
    (CHART, "colours", "#e8e0c8:1000000001", "number-too-large"),
    (CHART, "colours", "#e8e0c8:5;#E8E0C8:6", "repeated-chart-colour"),
    (CHART, "colours", "#e8e0c8:5;", "empty-entry"),
    (CHART, "colours", ";", "empty-entry"),
    (FABRIC, "count", "0", "number-too-small"),
    (FABRIC, "count", "14.00000", "too-many-decimals"),
    (FABRIC, "width_cm", "0.0", "number-too-small"),
    (FABRIC, "width_cm", "36.0000000", "too-many-decimals"),
    (FABRIC, "width_cm", "", "size-incomplete"),
    (FABRIC, "colours", "#e8e0c8;#e8e0c9", "several-fabric-colours"),
    (FABRIC, "colours", "white", "malformed-colour"),
    (THREAD, "colours", "", "blank-cell"),
    (THREAD, "colours", "#7fc4c8;blue", "malformed-colour"),
    (THREAD, "colours", "#7fc4c8;;#7fc4c8", "empty-entry"),
    (THREAD, "skein_m", "0", "number-too-small"),
    (THREAD, "strands", "0", "number-too-small"),
    (THREAD, "strands", "6.0", "not-whole"),
    (NEEDLE, "needle_sizes", "", "blank-cell"),
    (NEEDLE, "needle_sizes", "24;0", "number-too-small"),
    (NEEDLE, "needle_sizes", "24;x", "not-a-number"),
    (HOOP, "diameter_cm", "", "size-missing"),
]


@pytest.mark.parametrize(("row", "column", "cell", "code"), CELL_FAULTS)
def test_a_faulty_cell_is_found_in_its_place_and_refuses_its_row(
    read, found, row, column, cell, code
):
    rows = [row | {"sku": "sound"}, row | {column: cell}]
    assert places(found(rows)) == [(code, 3, column)]
    kept = read(rows, skip_bad_rows=True)
    assert kept.skus == {"sound"}
    assert places(kept.findings) == [(code, 3, column)]
    finding = kept.findings[0]
    assert finding.sentence.endswith(".")
    assert finding.hint
    assert "None" not in finding.sentence + finding.hint


@pytest.mark.parametrize(
    ("column", "cell", "hint"),
    [
        ("price", "3,5", "write it with a point: 3.5"),
        ("price", "1,234", "write decimals after a point, and nothing between thousands"),
        ("price", "1.234", "EUR has 2 decimals"),
        ("price", "1.234,50", "write decimals after a point, and nothing between thousands"),
        ("price", "5,06 €", "in currency_signs or units_in_cells of a map of columns"),
        ("price", "EUR 5.06", "in currency_signs or units_in_cells of a map of columns"),
        ("price", "gratis", "write digits with an optional point and nothing else"),
        ("quality", "4,5 / 5", "or quality_most = 5 in a map of columns"),
        ("quality", "★★★", 'or stars = "★" in a map of columns'),
        ("quality", "101", "it must be at most 100"),
        ("gtin", "6291041500214", "after these digits the last would be 3"),
    ],
)
def test_the_hint_names_the_mend(found, column, cell, hint):
    assert found([BASE | {column: cell}])[0].hint.endswith(hint)


def test_the_nearest_weave_is_named(found):
    assert found([FABRIC | {"weave": "linnen"}])[0].hint == "did you mean linen?"


def test_long_values_are_shown_shortened(found):
    finding = found([BASE | {"name": "x" * 5000}])[0]
    assert finding.value == "x" * 119 + "…"
    assert "5,000 characters" in finding.sentence


def test_the_entry_is_shown_and_not_the_list(found):
    finding = found([CHART | {"colours": "#e8e0c8:5;oops;#7fc4c8:1"}])[0]
    assert finding.value == "oops"


@pytest.mark.parametrize(
    ("sizes", "code"),
    [
        (("", "", "", ""), "size-missing"),
        (("36", "43", "14", "17"), "size-in-two-units"),
        (("36", "", "", "17"), "size-in-two-units"),
        (("36", "43", "14", ""), "size-in-two-units"),
        (("", "", "", "17"), "size-incomplete"),
    ],
)
def test_a_size_is_given_in_exactly_one_way(found, sizes, code):
    columns = ("width_cm", "height_cm", "width_in", "height_in")
    rows = [FABRIC | dict(zip(columns, sizes, strict=True))]
    assert places(found(rows)) == [(code, 2, "width_cm")]


def test_both_diameters_are_one_too_many(found):
    assert places(found([HOOP | {"diameter_in": "6"}])) == [("size-in-two-units", 2, "diameter_cm")]


def test_all_faults_of_a_row_and_of_a_cell_are_found(found):
    row = CHART | {"price": "x", "quality": "", "colours": "a:1;#e8e0c8:5;b;"}
    assert places(found([row])) == [
        ("not-a-number", 2, "price"),
        ("blank-cell", 2, "quality"),
        ("empty-entry", 2, "colours"),
        ("malformed-chart-colour", 2, "colours"),
        ("malformed-chart-colour", 2, "colours"),
    ]


def test_findings_come_in_the_order_of_the_file(found):
    rows = [BASE | {"sku": f"S{n}", "quality": "x", "price": f"{n}x"} for n in range(30)]
    assert [f.row for f in found(rows)] == sorted([*range(2, 32)] * 2)
    assert [f.column for f in found(rows)] == ["price", "quality"] * 30


def test_every_bearer_of_a_repeated_sku_is_refused_and_named(read, found):
    rows = [BASE, BASE | {"sku": "L2"}, BASE | {"sku": " L1"}, BASE | {"price": "x"}]
    duplicates = [f for f in found(rows) if f.code == "duplicate-sku"]
    assert [f.row for f in duplicates] == [2, 4, 5]
    assert {f.detail for f in duplicates} == {"rows 2, 4, 5"}
    assert read(rows, skip_bad_rows=True).skus == {"L2"}


def test_very_many_bearers_are_counted_rather_than_named(found):
    assert found([BASE] * 500)[0].detail.endswith("20, 21 and 480 more")


@pytest.mark.parametrize("lead", "=+-@")
def test_what_looks_like_a_formula_is_a_warning(read, lead):
    shop = read([BASE | {"sku": f"{lead}1", "name": f"{lead}A1", "note": f"{lead}B1"}])
    warnings = [("formula-like", 2, column) for column in ("sku", "name", "note")]
    assert places(shop.findings) == warnings
    assert {f.level for f in shop.findings} == {"warning"}
    assert f"{lead}1" in shop


def test_signed_numbers_in_columns_of_the_shops_own_are_no_formulas(read):
    assert read([BASE | {"margin": "-5", "drift": "+0,3"}]).findings == ()


# Currencies.


@pytest.mark.parametrize(
    ("currency", "price", "held"), [("JPY", "350", 3_500_000), ("KWD", "3.505", 35_050)]
)
def test_prices_have_the_decimals_of_the_currency(read, currency, price, held):
    # Exponents 0 and 3: ISO 4217.
    shop = read([BASE | {"price": price}], currency=currency)
    assert shop.shelves["lamp"]["price"].item() == held
    assert shop.currency == currency


def test_decimals_are_counted_as_written(found):
    assert places(found([BASE | {"price": "350.0"}], currency="JPY")) == [
        ("too-many-decimals", 2, "price")
    ]


def test_without_a_currency_four_decimals_pass_with_one_warning(read, found):
    shop = read([BASE | {"price": "1.2345"}, BASE | {"sku": "L2"}], currency=None)
    assert places(shop.findings) == [("decimals-unchecked", None, "price")]
    assert shop.shelves["lamp"]["price"].tolist() == [12_345, 35_000]
    assert "too-many-decimals" in {
        f.code for f in found([BASE | {"price": "1.23456"}], currency=None)
    }


def test_an_unknown_currency_is_the_callers_mistake(read):
    with pytest.raises(KeyError, match="XYZ"):
        read([BASE], currency="XYZ")


# What is wrong with the file.

HEAD = b"sku,name,category,price,quality\n"
GOOD = b"L1,Lamp,lamp,1,1\n"

FILE_FAULTS = [
    (b"", "empty-file", None, None),
    (b"\xef\xbb\xbf\n \n,,\n", "empty-file", None, None),
    (HEAD, "no-rows", None, None),
    (HEAD + b",,,,\n", "no-rows", None, None),
    (b"\xef\xbb\xbf" + HEAD + GOOD + b"L2,L\xe4mp,lamp,1,1\n", "not-utf8", 3, "0xE4"),
    (b"\xef\xbb\xbf" + HEAD + GOOD + b'L2,"L\n\xfc",lamp,1,1\n', "not-utf8", 3, "0xFC"),
    ((HEAD + GOOD).decode().encode("utf-16") + b"\0", "undecodable-byte", None, "0x00"),
    (HEAD + GOOD + b"\nL2,L\0mp,lamp,1,1\n", "nul-byte", 4, None),
    (HEAD + GOOD + b'L2,"Lamp,lamp,1,1\n' + GOOD, "unclosed-quote", 3, None),
    (HEAD + GOOD + b'L2,"Lamp" ,lamp,1,1\n' + GOOD, "text-after-quote", 3, None),
    (HEAD + GOOD + b'L2,"Lamp"x,lamp,1,1', "text-after-quote", 3, None),
    (b"sku,name,category,price,quality,\nL1,Lamp,lamp,1,1,x\n", "blank-column-name", 1, None),
]


@pytest.mark.parametrize(("content", "code", "row", "value"), FILE_FAULTS)
def test_a_faulty_file_is_refused_even_when_rows_may_be_skipped(read, content, code, row, value):
    with pytest.raises(BadInput) as bad:
        read(content, skip_bad_rows=True)
    assert [(f.code, f.row, f.value) for f in bad.value.findings] == [(code, row, value)]


def test_a_broken_file_still_tells_what_was_found_before(found):
    findings = found(HEAD + b"L1,Lamp\n" + b'L2,"Lamp\n')
    assert [(f.code, f.row) for f in findings] == [("too-few-cells", 2), ("unclosed-quote", 3)]


@pytest.mark.parametrize("column", list(BASE))
def test_each_missing_column_is_one_finding(read, column):
    rows = [{key: cell for key, cell in BASE.items() if key != column}] * 3
    with pytest.raises(BadInput) as bad:
        read([*rows], skip_bad_rows=True)
    missing = [f for f in bad.value.findings if f.code == "missing-column"]
    assert places(missing) == [("missing-column", None, column)]


@pytest.mark.parametrize("written", ["prices", "prise"])
def test_a_nearly_right_header_is_named_in_the_hint(found, written):
    row = {key if key != "price" else written: cell for key, cell in BASE.items()}
    assert written.lower() in found([row])[0].hint.lower()


def test_a_misspelt_optional_column_is_a_warning(read):
    shop = read([BASE | {"trade cost": "1"}])
    assert [(f.level, f.value, f.detail) for f in shop.findings] == [
        ("warning", "trade cost", "trade_cost"),
    ]


def test_headers_and_the_words_of_kinds_are_read_in_any_case(read):
    row = {key.upper(): cell for key, cell in FABRIC.items()} | {"CATEGORY": "Fabric"}
    shop = read([row | {"WEAVE": "AIDA"}])
    assert shop.findings == ()
    assert shop.row(FABRIC["sku"])["weave"] == "aida"
    assert shop.categories == {"fabric"}


def test_two_columns_of_one_name_are_found(found):
    head = "sku,name,category,price,quality,name\nL1,Lamp,lamp,1,1,x\n"
    assert places(found(head)) == [("duplicate-column", 1, "name")]
    assert "columns 2, 6" in found(head)[0].sentence


def test_a_column_that_a_category_needs_is_missed_once(read):
    charts = [CHART | {"sku": f"C{n}"} for n in range(3)]
    for row in charts:
        del row["stitches_wide"]
    shop = read([*charts, BASE], skip_bad_rows=True)
    assert places(shop.findings) == [("needed-column-missing", None, "stitches_wide")]
    assert "3 chart rows need it" in shop.findings[0].sentence
    assert shop.skus == {"L1"}
    assert shop.categories == {"chart", "lamp"}
    assert shop.shelves["chart"].empty


def test_size_columns_are_missed_once(found):
    row = {key: cell for key, cell in FABRIC.items() if key not in {"height_cm", "width_in"}}
    assert places(found([row, row | {"sku": "L2"}])) == [
        ("needed-column-missing", None, "height_cm")
    ]
    assert places(found([BASE | {"category": "hoop"}])) == [
        ("needed-column-missing", None, "diameter_cm")
    ]


def test_one_pair_of_size_columns_is_enough(read):
    row = {key: cell for key, cell in FABRIC.items() if not key.endswith("_in")}
    assert read([row]).shelves["fabric"]["width"].item() == 36 * CM


@pytest.mark.parametrize(
    ("line", "code", "counts"),
    [
        ("L2,Lamp,lamp,1", "too-few-cells", "4 cells, and the header has 5"),
        ("L2", "too-few-cells", "1 cell, and the header has 5"),
        ("L2,Lamp,lamp,1,50,x", "too-many-cells", "6 cells, and the header has 5"),
        ('L2,"Lamp\n",lamp,1,5,', "too-many-cells", "6 cells, and the header has 5"),
    ],
)
def test_a_ragged_row_is_refused_with_both_counts(read, line, code, counts):
    text = (HEAD + GOOD).decode() + line + "\nL3,Lamp,lamp,1,1"
    shop = read(text, skip_bad_rows=True)
    assert [(f.code, f.row, f.detail) for f in shop.findings] == [(code, 3, counts)]
    assert list(shop.text.index) == [2, 4]


def test_a_path_that_is_no_file_is_a_finding(tmp_path):
    for path, code in ((tmp_path / "none.csv", "file-missing"), (tmp_path, "file-is-folder")):
        with pytest.raises(BadInput) as bad:
            read_catalogue(path)
        assert [(f.code, f.file) for f in bad.value.findings] == [(code, str(path))]


def test_a_file_that_cannot_be_read_is_a_finding(tmp_path):
    loop = tmp_path / "loop.csv"
    try:
        loop.symlink_to(loop)
    except OSError:
        pytest.skip("this system makes no symbolic links")
    with pytest.raises(BadInput) as bad:
        read_catalogue(loop)
    assert [f.code for f in bad.value.findings] == ["file-unreadable"]


# What holds of any file.

texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=30).map(str.strip)
wholes = st.integers(1, 10**6)
hexes = st.integers(0, 2**24 - 1).map("#{:06x}".format)


@ONE_FOLDER
@given(
    sku=texts.filter(bool),
    name=texts.filter(bool),
    price=st.integers(0, 10**11),
    quality=st.integers(0, 10**4),
    wide=wholes,
    colours=st.dictionaries(hexes, st.integers(1, 10**9), min_size=1),
    upper=st.booleans(),
)
def test_what_is_written_is_read_back(read, sku, name, price, quality, wide, colours, upper):
    written = ";".join(f"{shade.upper() if upper else shade}:{n}" for shade, n in colours.items())
    row = CHART | {
        "sku": sku,
        "name": name,
        "price": f"{price // 100}.{price % 100:02}",
        "quality": f"{quality // 100}.{quality % 100:02}",
        "stitches_wide": str(wide),
        "colours": written,
    }
    shelf = read([row]).shelves["chart"]
    assert (
        shelf.iloc[0].to_dict() | {"stitches_high": 77}
        == {
            "sku": sku,
            "name": name,
            "price": price * 100,
            "quality": quality,
            "stock": UNLIMITED,
            "serves": 1,
            "stitches_wide": wide,
            "stitches_high": 77,
            "colours": written.lower(),
            "colour_kinds": "",
            "colour_strands": "",
        }
        | NOT_GIVEN_CELLS
    )


@ONE_FOLDER
@given(
    st.lists(st.lists(st.sampled_from(['"', ",", "\n", "\r", " ", "a", "é", '""']), max_size=40))
)
@example([['"', "a", '"', '"', "\r", "\n", '"', ",", "a"]])
def test_the_csv_module_sees_the_same_rows(tmp_path, pieces):
    """The rows that reach the catalogue are those that Python's own parser finds."""
    body = "".join("".join(line) for line in pieces)
    path = tmp_path / "shop.csv"
    path.write_bytes(f"sku,name\n{body}".encode())
    try:
        with path.open(newline="", encoding="utf-8") as file:
            records = [[c.strip() for c in record] for record in csv.reader(file, strict=True)]
    except csv.Error:
        with pytest.raises(BadInput):
            read_records(path, "shop.csv")
        return
    read = read_records(path, "shop.csv")
    expected = {
        row: record for row, record in enumerate(records, 1) if len(record) == 2 and any(record)
    }
    del expected[1]
    columns = [read.columns[name].texts[read.columns[name].codes] for name in ("sku", "name")]
    assert dict(zip(read.rows.tolist(), map(list, zip(*columns, strict=True)), strict=True)) == (
        expected
    )


PIECES = """sku,name,category,price,quality|L1,a,chart,1,1|"|,|colours|fabric|#aabbcc:1;|-1|;|é"""
fragments = st.sampled_from(
    [*PIECES.encode().split(b"|"), b"\n", b"\r", b"\0", b"\xff", b"\xef\xbb\xbf"]
)


@ONE_FOLDER
@given(st.one_of(st.binary(), st.lists(fragments).map(b"".join)), st.booleans(), st.booleans())
def test_no_file_brings_anything_but_findings(read, content, headed, skip):
    head = b"sku,name,category,price,quality,colours,width_cm\n" if headed else b""
    try:
        shop = read(head + content, skip_bad_rows=skip)
    except BadInput as bad:
        findings, usable = bad.findings, None
    else:
        findings, usable = shop.findings, len(shop)
        assert usable == sum(map(len, shop.shelves.values()))
    assert all(f.sentence and f.place for f in findings)
    errors = any(f.level == "error" for f in findings)
    assert errors or usable is not None
    assert skip or not errors or usable is None


def test_findings_need_no_pandas():
    script = (
        "import sys, kitsolver.shop.findings, kitsolver.shop.catalogue_findings; "
        "print('pandas' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"


def test_what_a_chart_asks_of_each_colour_is_read_in_halves_lines_kinds_and_strands(read):
    cells = {
        "colours": "#E8E0C8:620.50;#7fc4c8:0:080.50;#20242c:9:0",
        "colour_kinds": "cotton; metallic ;cotton",
        "colour_strands": "2;1;3",
    }
    shelf = read([CHART | cells]).shelves["chart"].iloc[0]
    assert shelf["colours"] == "#e8e0c8:620.5;#7fc4c8:0:080.50;#20242c:9"
    one, two, three = charted(shelf["colours"], shelf["colour_kinds"], shelf["colour_strands"])
    assert one == ("#e8e0c8", Fraction(1241, 2), "cotton", 2, 0)
    assert two == ("#7fc4c8", 0, "metallic", 1, Fraction(161, 2) * CM)
    assert three == ("#20242c", 9, "cotton", 3, 0)


def test_openings_are_read_in_either_unit_and_only_one(read):
    shop = read([BASE | {"sku": "a", "opening_cm": "10 x 15.5"}, BASE | {"opening_in": "4"}])
    shelf = shop.shelves["lamp"].set_index("sku")
    assert shelf.loc["a", "opening_cm"] == f"{10 * CM};{155 * CM // 10}"
    assert shelf.loc["L1", "opening_in"] == f"{4 * INCH};{4 * INCH}"
    with pytest.raises(BadInput) as bad:
        read([BASE | {"opening_cm": "10", "opening_in": "4"}])
    assert [finding.code for finding in bad.value.findings] == ["two-openings"]


def test_off_the_roll_there_is_a_width_and_no_height(read):
    roll = FABRIC | {"sold_by": "length", "height_cm": "", "step_cm": "25", "smallest_cm": "50"}
    row = read([roll]).shelves["fabric"].iloc[0]
    assert (row["sold_by"], row["width"], row["height"]) == (1, 36 * CM, 0)
    assert (row["step_cm"], row["smallest_cm"]) == (25 * CM, 50 * CM)
    for cells, code in (
        ({"height_cm": "43"}, "roll-with-height"),
        ({"width_cm": ""}, "size-missing"),
        ({"width_in": "14"}, "size-in-two-units"),
    ):
        with pytest.raises(BadInput) as bad:
            read([roll | cells])
        assert code in [finding.code for finding in bad.value.findings]
