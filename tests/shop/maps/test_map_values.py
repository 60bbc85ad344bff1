"""Every key of a map, each with values that a shop has, and with those that it refuses."""

import csv
import io

import pytest

from kitsolver import BadInput, read_catalogue
from kitsolver.shop.maps.mapping import ColumnMap, read_map
from kitsolver.shop.skipped import Skipped

BASE = {"sku": "A", "name": "a thing", "category": "bag", "price": "1.00", "quality": "50"}
FABRIC = {
    "category": "fabric",
    "weave": "aida",
    "count": "14",
    "width_cm": "30",
    "height_cm": "45",
}


def written(rows):
    header = list(dict.fromkeys(name for row in rows for name in row))
    text = io.StringIO()
    lines = csv.DictWriter(text, header, restval="")
    lines.writeheader()
    lines.writerows(rows)
    return text.getvalue()


@pytest.fixture
def read(tmp_path):
    def read(*rows, skip_bad_rows=False, **keys):
        path = tmp_path / "shop.csv"
        path.write_text(written([BASE | row for row in rows]), encoding="utf-8")
        return read_catalogue(
            path, currency="EUR", mapping=ColumnMap(**keys), skip_bad_rows=skip_bad_rows
        )

    return read


@pytest.fixture
def cell(read):
    """Return what a cell becomes by a map, in a row of its own."""

    def cell(column, text, others=None, **keys):
        return read((others or {}) | {column: text}, **keys).row("A")[column]

    return cell


@pytest.fixture
def found(read):
    """Return the only finding of some rows: its code, row, column and value."""

    def found(*rows, **keys):
        with pytest.raises(BadInput) as caught:
            read(*rows, **keys)
        (one,) = caught.value.findings
        return one.code, one.row, one.column, one.value

    return found


@pytest.mark.parametrize(
    ("text", "keys", "price"),
    [
        ("1.234,50", {"decimal_comma": True, "thousands": "."}, "1234.50"),
        ("1234,5", {"decimal_comma": True, "thousands": "."}, "1234.5"),
        ("1.234", {"decimal_comma": True, "thousands": "."}, "1234"),
        ("1.234.567,89", {"decimal_comma": True, "thousands": "."}, "1234567.89"),
        ("1,234.50", {"thousands": ","}, "1234.50"),
        ("1,234", {"thousands": ","}, "1234"),
        ("1 234,50", {"decimal_comma": True, "thousands": " "}, "1234.50"),
        ("1\u202f234,50", {"decimal_comma": True, "thousands": " "}, "1234.50"),
        ("1\u00a0234,50", {"decimal_comma": True, "thousands": " "}, "1234.50"),
        ("1'234.50", {"thousands": "'"}, "1234.50"),
        ("5,06 €", {"decimal_comma": True, "currency_signs": ["€", "EUR"]}, "5.06"),
        ("EUR 5.06", {"currency_signs": ["€", "EUR"]}, "5.06"),
        ("eur5.06", {"currency_signs": ["€", "EUR"]}, "5.06"),
        ("€5", {"currency_signs": ["€"]}, "5"),
    ],
)
def test_sums_of_money(cell, text, keys, price):
    assert cell("price", text, **keys) == price


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("5,06 €", {"decimal_comma": True}),
        ("5.06 $", {"currency_signs": ["€"]}),
        ("€ 5.06 €", {"currency_signs": ["€"]}),
        ("€", {"currency_signs": ["€"]}),
        ("5.06 ct", {"units_in_cells": ["ct"]}),
        ("1.23,50", {"decimal_comma": True, "thousands": "."}),
        ("12,34.50", {"thousands": ","}),
        ("1,5", {"thousands": ","}),
    ],
)
def test_only_what_the_map_says_is_dropped(found, text, keys):
    assert found({"price": text}, **keys) == ("not-a-number", 2, "price", text)


@pytest.mark.parametrize(
    ("column", "keys"),
    [("quality", {"quality_most": 5}), ("width_cm", {"lengths": {"width_cm": "mm"}})],
)
def test_a_number_of_more_digits_than_decimals_have_is_a_finding(found, column, keys):
    number = "2" * 50
    assert found(FABRIC | {column: number}, **keys) == ("number-too-large", 2, column, number)


def test_a_number_that_the_map_contradicts_is_refused(found):
    keys = {"decimal_comma": True, "thousands": "."}
    assert found({"price": "3.50"}, **keys) == ("not-as-mapped", 2, "price", "3.50")


@pytest.mark.parametrize(
    ("text", "keys", "quality"),
    [
        ("4", {"quality_most": 5}, "80"),
        ("4/5", {"quality_most": 5}, "80"),
        ("4 / 5", {"quality_most": "5.0"}, "80"),
        ("4,5/5", {"quality_most": 5, "decimal_comma": True}, "90"),
        ("★★★★", {"quality_most": 5, "stars": "★"}, "80"),
        ("★★★★☆", {"quality_most": 5, "stars": "★"}, "80"),
        ("★ ★", {"quality_most": 3, "stars": "★"}, "66.67"),
        ("***", {"quality_most": 5, "stars": "*"}, "60"),
        ("85 Punkte", {"units_in_cells": ["Punkte"]}, "85"),
        ("", {"defaults": {"quality": 50}}, "50"),
        ("", {"defaults": {"quality": "62.5"}, "quality_most": 5}, "62.5"),
    ],
)
def test_qualities(cell, text, keys, quality):
    assert cell("quality", text, **keys) == quality


@pytest.mark.parametrize(
    ("text", "keys", "code"),
    [
        ("4/10", {"quality_most": 5}, "not-a-number"),
        ("4/5", {}, "not-a-number"),
        ("★★★★", {"quality_most": 5}, "not-a-number"),
        ("★★★½", {"quality_most": 5, "stars": "★"}, "not-a-number"),
        ("6", {"quality_most": 5}, "number-too-large"),
        ("★★★★★★", {"quality_most": 5, "stars": "★"}, "number-too-large"),
    ],
)
def test_qualities_of_another_scale_are_refused_as_they_are_written(found, text, keys, code):
    assert found({"quality": text}, **keys) == (code, 2, "quality", text)


@pytest.mark.parametrize(
    ("column", "text", "keys", "value"),
    [
        ("width_cm", "450 mm", {}, "45"),
        ("width_cm", "45 CM", {}, "45"),
        ("width_cm", "0,45m", {"decimal_comma": True}, "45"),
        ("width_cm", "12 in", {}, "30.48"),
        ("width_cm", "450", {"lengths": {"width_cm": "mm"}}, "45"),
        # The unit beside a number is nearer than that of the column.
        ("width_cm", "45 cm", {"lengths": {"width_cm": "mm"}}, "45"),
        ("width_cm", "45 cm", {"units_in_cells": ["cm", "mm"]}, "45"),
        ("width_cm", "450 mm", {"units_in_cells": ["cm", "mm"]}, "45"),
        ("width_cm", "breit 45 cm", {"units_in_cells": ["breit"]}, "45"),
        ("count", "14 ct", {"units_in_cells": ["ct"]}, "14"),
        ("count", "ct. 14", {"units_in_cells": ["ct."]}, "14"),
        ("count", "14CT", {"units_in_cells": ["ct"]}, "14"),
    ],
)
def test_units(cell, column, text, keys, value):
    assert cell(column, text, FABRIC, **keys) == value


def test_a_unit_that_the_map_does_not_name_is_refused(found):
    assert found(FABRIC | {"count": "14 ct"})[0] == "not-a-number"
    assert found(FABRIC | {"width_cm": "45 ell"})[0] == "not-a-number"


def test_centimetres_are_not_rounded_to_inches(found):
    row = FABRIC | {"width_cm": "", "height_cm": "", "width_in": "12", "height_in": "30 cm"}
    assert found(row) == ("too-many-decimals", 2, "height_in", "30 cm")


def test_openings_have_units_too(cell):
    frame = {"category": "frame"}
    assert cell("opening_cm", "100 x 150 mm", frame) == "10x15"
    assert cell("opening_cm", "10*15", frame) == "10x15"
    assert cell("opening_cm", "120", frame, lengths={"opening_cm": "mm"}) == "12"
    assert cell("opening_cm", "9,5×13,5 cm", frame, decimal_comma=True) == "9.5x13.5"


@pytest.mark.parametrize(
    ("column", "text", "others", "keys", "value"),
    [
        ("category", "BEUTEL", {}, {"categories": {"Beutel": "bag"}}, "bag"),
        ("category", "Bag", {}, {}, "bag"),
        ("weave", "Stramin", FABRIC, {"weaves": {"stramin": "Aida"}}, "aida"),
        ("weave", "AIDA", FABRIC, {"weaves": {"stramin": "aida"}}, "aida"),
        (
            "kind",
            "Metallgarn",
            {"category": "thread", "colours": "#aabbcc"},
            {"kinds": {"METALLGARN": "metallic"}},
            "metallic",
        ),
        ("download", "JA", {}, {"yes": ["ja", "j"], "no": ["nein"]}, "yes"),
        ("download", "nein", {}, {"yes": ["ja"], "no": ["Nein"]}, "no"),
        ("download", "0", {}, {"yes": [1], "no": [0]}, "no"),
        ("colours", "AABBCC", {"category": "thread"}, {"bare_hex": True}, "#AABBCC"),
        (
            "colours",
            "aabbcc;#ddeeff",
            {"category": "thread"},
            {"bare_hex": True},
            "#aabbcc;#ddeeff",
        ),
        (
            "colours",
            "aabbcc:12; 112233:5",
            {"category": "chart", "stitches_wide": "9", "stitches_high": "9"},
            {"bare_hex": True},
            "#aabbcc:12;#112233:5",
        ),
        (
            "needle_sizes",
            "Nr. 24; Nr. 26",
            {"category": "needle"},
            {"units_in_cells": ["Nr."]},
            "24;26",
        ),
    ],
)
def test_words_and_colours(cell, column, text, others, keys, value):
    assert cell(column, text, others, **keys) == value


def test_a_word_that_the_map_does_not_name_is_refused(found):
    assert found({"download": "oui"}, yes=["ja"])[0] == "neither-yes-nor-no"
    assert found({"category": "thread", "colours": "aabbcc"})[0] == "malformed-colour"
    assert found(FABRIC | {"weave": "Samt"}, weaves={"Stramin": "aida"}) == (
        "unknown-weave",
        2,
        "weave",
        "Samt",
    )


@pytest.mark.parametrize("written", ["30 x 45 cm", "30×45", "300*450 MM", "30 cm X 0.45 m"])
def test_one_cell_fills_several_columns(read, written):
    row = {name: FABRIC[name] for name in ("category", "weave", "count")} | {"Maß": written}
    goods = read(row, split={"maß": ["width_cm", "height_cm"]})
    assert goods.row("A")["Maß"] == written
    assert (goods.row("A")["width_cm"], goods.row("A")["height_cm"]) == ("30", "45")


def test_stitches_are_split_too(read):
    chart = {"category": "chart", "colours": "#aabbcc:9", "Stiche": "60 x 56 st"}
    goods = read(chart, split={"Stiche": ["stitches_wide", "stitches_high"]}, units_in_cells=["st"])
    assert goods.shelves["chart"]["stitches_high"].tolist() == [56]


@pytest.mark.parametrize("written", ["30", "30 x", "30 x 45 x 2", "x"])
def test_a_cell_of_too_few_or_too_many_parts_is_one_finding(found, written):
    row = {name: FABRIC[name] for name in ("category", "weave", "count")} | {"Maß": written}
    keys = {"split": {"Maß": ["width_cm", "height_cm"]}}
    assert found(row, **keys) == ("unequal-parts", 2, "Maß", written)


def test_several_columns_are_one_list(read):
    pack = {"category": "thread", "Farbe 1": "aabbcc", "Farbe 2": "", "Farbe 3": "112233"}
    goods = read(pack, join={"colours": ["Farbe 1", "farbe 2", "Farbe 3"]}, bare_hex=True)
    assert goods.row("A")["colours"] == "#aabbcc;#112233"
    single = {"sku": "B", "category": "thread", "Farbe 1": "445566"}
    goods = read(pack, single, join={"colours": ["Farbe 1", "Farbe 2", "Farbe 3"]}, bare_hex=True)
    assert goods.row("B")["colours"] == "#445566"


def test_a_shop_without_scores_gets_them_from_a_default(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text("Artikel,Titel,Preis\nA,x,1\nB,y,2\n")
    mapping = ColumnMap(
        columns={"sku": "artikel", "name": "TITEL", "price": "Preis"},
        defaults={"quality": 50, "category": "Thread", "colours": "#ffffff", "download": False},
    )
    goods = read_catalogue(path, currency="EUR", mapping=mapping)
    assert goods.row("A") == {
        "sku": "A", "name": "x", "price": "1", "quality": "50", "category": "thread",
        "colours": "#ffffff", "download": "no",
    }  # fmt: skip


def test_a_default_of_one_category_s_column_fills_only_its_rows(read):
    goods = read(FABRIC | {"weave": ""}, {"sku": "B"}, defaults={"weave": "linen"})
    assert (goods.row("A")["weave"], goods.row("B")["weave"]) == ("linen", "")


def test_rows_are_passed_over_by_what_a_cell_says_and_counted(read):
    goods = read(
        {"Status": ""},
        {"sku": "B", "Status": "Discontinued", "category": "Lamp"},
        {"sku": "", "price": "99.00", "name": "Summe"},
        {"sku": "D", "Status": "gone", "price": "?"},
        pass_over={"status": ["discontinued", "gone"], "name": ["SUMME"]},
    )
    assert goods.skus == {"A"}
    assert goods.findings == ()
    assert goods.skipped == (Skipped("passed over", "bag", 2), Skipped("passed over", "lamp", 1))
    assert goods.passed_over == {"B": 3, "D": 5}
    assert goods.categories == {"bag"}


def test_refused_rows_are_counted_before_those_passed_over(read):
    goods = read(
        {},
        {"sku": "B", "price": "?"},
        {"sku": "C", "quality": "0"},
        pass_over={"quality": [0]},
        skip_bad_rows=True,
    )
    assert goods.skipped == (Skipped("refused", "bag", 1), Skipped("passed over", "bag", 1))


def test_our_name_of_a_mapped_header_names_it_in_pass_over(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text("Artikel,name,category,price,quality\nA,x,bag,1,1\nSumme,,,9,\n")
    mapping = ColumnMap(columns={"sku": "Artikel"}, pass_over={"sku": ["summe"]})
    assert read_catalogue(path, currency="EUR", mapping=mapping).skus == {"A"}


@pytest.mark.parametrize(
    ("keys", "header", "use"),
    [
        ({"columns": {"price": "VK"}}, "VK", "price"),
        ({"split": {"Maß": ["width_cm", "height_cm"]}}, "Maß", "width_cm and height_cm"),
        ({"join": {"colours": ["Farbe 1"]}}, "Farbe 1", "colours"),
        ({"pass_over": {"Status": ["x"]}}, "Status", "pass_over"),
    ],
)
def test_a_header_that_is_not_there_is_a_finding(found, keys, header, use):
    assert found({}, **keys) == ("mapped-column-missing", None, header, use)


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ("thousands = '12'", "thousands", "12"),
        ("thousands = '.'", "thousands", "."),
        ("decimal_comma = true\nthousands = ','", "thousands", ","),
        ("stars = 'ab'", "stars", "ab"),
        ("currency_signs = ['1€']", "currency_signs", "1€"),
        ("units_in_cells = ['.']", "units_in_cells", "."),
        ("yes = ['ja']\nno = ['JA']", "yes", "ja"),
        ("[weaves]\nSamt = 'velvet'", "weaves.Samt", "velvet"),
        ("[categories]\nGarn = 'thread'\ngarn = 'yarn'", "categories.garn", "yarn"),
        ("[split]\nx = ['width_cm']", "split.x", "width_cm"),
        ("[join]\ncolours = []", "join.colours", ""),
        ("[pass_over]\nx = []", "pass_over.x", ""),
        (
            "[columns]\nwidth_cm = 'x'\n[split]\ny = ['width_cm', 'height_cm']",
            "width_cm",
            "width_cm",
        ),
        ("[file]\nencoding = 'utf-9'", "file.encoding", "utf-9"),
        ("[file]\nencoding = 'punycode'", "file.encoding", "punycode"),
        ("[file]\ndelimiter = 'xx'", "file.delimiter", "xx"),
        ("[file]\nheader_row = 0", "file.header_row", "0"),
        ("bare_hex = 'perhaps'", "bare_hex", "perhaps"),
    ],
)
def test_what_a_map_says_wrongly_is_a_finding_with_its_key_and_a_hint(tmp_path, text, key, value):
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_map(tmp_path / "map.toml")
    (found,) = caught.value.findings
    assert (found.code, found.column, found.value) == ("bad-map", key, value)
    assert found.hint


@pytest.mark.parametrize(
    ("text", "key", "hint"),
    [
        ("[split]\nx = ['width_cm', 'hight_cm']", "split.x", "did you mean height_cm?"),
        ("[join]\ncolour = ['x']", "join.colour", "did you mean colours?"),
        ("[defaults]\nqualty = 1", "defaults.qualty", "did you mean quality?"),
    ],
)
def test_a_column_that_no_catalogue_has_is_a_finding(tmp_path, text, key, hint):
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_map(tmp_path / "map.toml")
    (found,) = caught.value.findings
    assert (found.code, found.column, found.hint) == ("unknown-own-column", key, hint)


@pytest.mark.parametrize(
    ("text", "read_as", "keys"),
    [
        ("5,00", "5", {"decimal_comma": True}),
        ("5,000", "5", {"decimal_comma": True}),
        ("1.205,0", "1205", {"decimal_comma": True}),
        ("5.00", "5", {}),
        ("10", "10", {}),
    ],
)
def test_decimals_that_are_all_zero_leave_a_whole_number(cell, text, read_as, keys):
    assert cell("stock", text, **keys) == read_as


@pytest.mark.parametrize(
    ("text", "keys"),
    [("5,50", {"decimal_comma": True}), ("5.5", {}), ("5.000", {})],
)
def test_a_part_of_a_piece_is_refused_and_so_is_what_may_be_thousands(found, text, keys):
    assert found({"stock": text}, **keys)[0] == "not-whole"
