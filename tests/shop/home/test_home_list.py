"""Home lists: what they say, what completes their rows, and every finding."""

import pytest

from kitsolver.shop.findings import BadInput
from kitsolver.shop.home.home_reading import with_home
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.reading import read_catalogue
from kitsolver.shop.source import read_source

SHOP = """\
sku,name,category,price,quality,stock,colours,weave,count,width_cm,height_cm,sold_by,needle_sizes,skein_m,series
TH-RED,Red,thread,1.20,80,9,#ff0000,,,,,,,,shore
TH-PACK,Two,thread,2.20,70,9,#00ff00;#0000ff,,,,,,,,shore
FA-AIDA,Aida,fabric,6.00,60,4,,aida,14,30.48,40,,,,
FA-ROLL,Roll,fabric,2.00,60,,,aida,14,150,,length,,,
NE-24,Needles,needle,1.50,75,3,,,,,,,24,,
"""


@pytest.fixture
def shop(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP)
    return read_catalogue(path, currency="EUR")


@pytest.fixture
def at_home(shop, tmp_path):
    def read(text, *, mapping=None, **options):
        path = tmp_path / "home.csv"
        path.write_text(text)
        return with_home(shop, read_source(path, mapping=mapping), **options)

    return read


def refusals(read, text, **options):
    with pytest.raises(BadInput) as bad:
        read(text, **options)
    return [(f.code, f.row, f.column, f.value) for f in bad.value.findings]


def test_a_header_of_sku_alone_will_do(at_home, shop):
    catalogue, findings = at_home("sku\nTH-RED\nNE-24\n")
    assert findings == ()
    assert len(catalogue) == len(shop)
    thread, needle = catalogue.at_home("TH-RED"), catalogue.at_home("NE-24")
    assert (thread.units, thread.metres, thread.only_here) == (0, 8, False)
    assert (needle.units, needle.length, needle.only_here) == (1, None, False)
    assert catalogue.at_home("FA-AIDA") is None


def test_goods_only_at_home_are_rows_at_price_0(at_home):
    catalogue, _ = at_home(
        "sku,name,category,price,weave,count,width_in,height_in,stock,colours,left_m\n"
        "OFFCUT,Offcut,fabric,9.999,aida,14,9,10,2,,\n"
        "OLD,Old red,thread,,,,,,,#aa0000,0.75\n"
    )
    offcut, old = catalogue.at_home("OFFCUT"), catalogue.at_home("OLD")
    assert (offcut.units, offcut.only_here, old.metres) == (2, True, 0.75)
    row = catalogue.row("OFFCUT")
    assert (row["price"], row["quality"], row["stock"], row["series"]) == ("0", "50", "2", "")
    assert catalogue.place_of(catalogue.row_number("OFFCUT"))[1] == 2
    assert list(catalogue.shelves["fabric"]["sku"]) == ["FA-AIDA", "FA-ROLL", "OFFCUT"]


def test_metres_left_overrule_the_units(at_home):
    catalogue, _ = at_home("sku,stock,left_m\nTH-RED,3,2.5\n")
    assert catalogue.at_home("TH-RED").metres == 2.5


def test_other_goods_take_the_quality_that_the_brief_gives(at_home):
    catalogue, _ = at_home(
        "sku,name,category,needle_sizes,quality\nA,Old,needle,24,\nB,Own,needle,24,81.5\n",
        quality=60,
    )
    assert [catalogue.row(sku)["quality"] for sku in "AB"] == ["60", "81.5"]


def test_equal_cells_are_equal_by_value(at_home):
    at_home("sku,count,width_in,quality,series\nFA-AIDA,14.0,12,60.00,\nTH-RED,,,,shore\n")


def test_a_column_that_the_catalogue_lacks_is_a_note_of_one_s_own(at_home):
    at_home("sku,where\nNE-24,top drawer\n")


def test_a_map_reads_metres_with_a_decimal_comma(at_home):
    mapping = ColumnMap.model_validate(
        {"columns": {"sku": "Nr", "left_m": "Rest"}, "decimal_comma": True}
    )
    catalogue, _ = at_home('Nr,Rest\nTH-RED,"2,50"\n', mapping=mapping)
    assert catalogue.at_home("TH-RED").metres == 2.5


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("stock\n1\n", [("missing-column", None, "sku", None)]),
        (
            "sku,left_m\nTH-RED,1\nNE-24,\nTH-RED,2\n",
            [("repeated-at-home", row, "sku", "TH-RED") for row in (2, 4)],
        ),
        ("sku,name\nNE-24,Others\n", [("other-than-catalogue", 2, "name", "Others")]),
        ("sku,quality\nNE-24,76\n", [("other-than-catalogue", 2, "quality", "76")]),
        ("sku,width_in\nFA-AIDA,13\n", [("other-than-catalogue", 2, "width_in", "13")]),
        ("sku\nFA-ROLL\n", [("by-length-at-home", 2, "sku", "FA-ROLL")]),
        (
            "sku,name,category,sold_by\nX,Piece,fabric,Length\n",
            [("by-length-at-home", 2, "sku", "X")],
        ),
        ("sku,left_m\nTH-PACK,3\n", [("metres-of-other-goods", 2, "left_m", "3")]),
        ("sku,left_m\nNE-24,3\n", [("metres-of-other-goods", 2, "left_m", "3")]),
        ("sku,left_m\nTH-RED,1.005\n", [("too-many-decimals", 2, "left_m", "1.005")]),
        ("sku,stock\nNE-24,1.5\n", [("not-whole", 2, "stock", "1.5")]),
        ("sku,name,category\nX,,scissors\n", [("blank-cell", 2, "name", "")]),
        ("sku,stock\nNE-25,1\n", [("unknown-at-home", 2, "sku", "NE-25")]),
        ("sku,name\nNE-25,Needles\n", [("unknown-at-home", 2, "sku", "NE-25")]),
    ],
)
def test_what_is_wrong_is_found_with_its_place(at_home, text, found):
    assert refusals(at_home, text) == found


def test_a_mistyped_sku_is_told_with_the_one_that_comes_near(at_home):
    with pytest.raises(BadInput) as bad:
        at_home("sku,stock\nNE-25,1\nXXXXXXXX,1\n")
    near, far = bad.value.findings
    assert near.sentence.startswith("The catalogue has no goods of sku NE-25")
    assert near.hint == "did you mean NE-24?"
    assert far.hint.startswith("correct the sku, or fill in the name and category")


def test_goods_whose_row_was_refused_are_refused_at_home(tmp_path):
    shop, home = tmp_path / "shop.csv", tmp_path / "home.csv"
    shop.write_text(SHOP.replace("NE-24,Needles,needle,1.50", "NE-24,Needles,needle,cheap"))
    home.write_text("sku\nNE-24\n")
    catalogue = read_catalogue(shop, currency="EUR", skip_bad_rows=True)
    with pytest.raises(BadInput) as bad:
        with_home(catalogue, read_source(home))
    assert [f.code for f in bad.value.findings] == ["refused-at-home"]


def test_rows_with_findings_are_left_out_only_if_the_user_says_so(at_home):
    text = "sku,left_m\nTH-RED,2\nTH-PACK,3\n"
    catalogue, findings = at_home(text, skip_bad_rows=True)
    assert set(catalogue.home.rows) == {"TH-RED"}
    assert [f.row for f in findings] == [3]


def test_an_empty_cupboard_is_a_list_like_any_other(at_home, shop):
    catalogue, findings = at_home("sku,stock\n")
    assert (len(catalogue), findings) == (len(shop), ())
    assert catalogue.home.rows == {}


def test_how_a_list_was_read_is_told_and_what_a_map_contradicts_is_refused(shop, tmp_path):
    path = tmp_path / "home.csv"
    path.write_text("My cupboard\n\nsku;left_m\nTH-RED;2.5\n")
    rows = read_source(path, header_by=("sku",))
    assert [finding.sentence for finding in with_home(shop, rows)[1]] == [
        "Read parted by semicolons, header in row 3."
    ]
    mapping = ColumnMap(decimal_comma=True, thousands=".")
    rows = read_source(path, header_by=("sku",), mapping=mapping)
    assert ("not-as-mapped", 4, "left_m", "2.5") in refusals(
        lambda _: with_home(shop, rows), path.read_text()
    )
