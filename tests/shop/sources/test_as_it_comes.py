"""Files as tills, spreadsheets and databases write them are read by what they hold."""

import csv
import io
import tomllib

import openpyxl
import pytest

from kitsolver import BadInput, read_catalogue
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.source import read_source

HEADER = ["sku", "name", "category", "price", "quality", "tags"]
ROWS = [
    ["A1", "Stickschere groß", "scissors", "8.50", "70", "sharp;steel"],
    ["A2", 'Nähkissen "Möwe", klein', "pincushion", "4.00", "60", ""],
]
TITLES = [["Sortimentsliste"], [], ["Stand", "", "26.11.2026"]]


def text_of(delimiter, rows):
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue()


def read(tmp_path, content, **mapping):
    path = tmp_path / "export.txt"
    path.write_bytes(content)
    return read_catalogue(path, currency="EUR", mapping=ColumnMap(**mapping) if mapping else None)


def notes(goods):
    return [finding.sentence for finding in goods.findings]


@pytest.mark.parametrize("titles", [[], TITLES], ids=["plain", "titles"])
@pytest.mark.parametrize(
    ("delimiter", "words"),
    [(",", ""), (";", "semicolons"), ("\t", "tabs"), ("|", "vertical bars")],
    ids=["comma", "semicolon", "tab", "bar"],
)
@pytest.mark.parametrize(
    ("encoding", "called"),
    [
        ("utf-8", ""),
        ("utf-8-sig", ""),
        ("utf-16", "UTF-16"),
        ("cp1252", "Windows-1252"),
    ],
)
def test_every_way_to_write_a_file_gives_the_same_rows(
    tmp_path, titles, delimiter, words, encoding, called
):
    content = text_of(delimiter, [*titles, HEADER, *ROWS]).encode(encoding)
    goods = read(tmp_path, content)
    assert goods.text.to_numpy().tolist() == ROWS
    assert list(goods.text.columns) == HEADER
    row = len(titles) + 1
    assert list(goods.text.index) == [row + 1, row + 2]
    taken = [f"as {called}"] if called else []
    taken += [f"parted by {words}"] if words else []
    if titles:
        taken.append(f"header in row {row}" if taken else f"with the header in row {row}")
    assert notes(goods) == ([f"Read {', '.join(taken)}."] if taken else [])
    assert all(finding.level == "note" for finding in goods.findings)


@pytest.mark.parametrize(
    ("word", "encoding", "codec", "other"),
    [
        # Bytes from 80 to 9F are signs of Windows-1252 alone.
        ("20 € für „Möwe“", "Windows-1252", "cp1252", None),
        ("Möwe und Qualle", "Windows-1252", "cp1252", None),
        ("20€", "ISO 8859-15", "iso8859-15", "20¤"),
        ("½Möwe", "Windows-1252", "cp1252", "œMöwe"),
    ],
)
def test_eight_bits_are_read_by_the_rule_and_what_is_uncertain_is_told(
    tmp_path, word, encoding, codec, other
):
    rows = [["A1", word, "scissors", "8.50", "70", ""]]
    goods = read(tmp_path, text_of(";", [HEADER, *rows]).encode(codec))
    assert goods.row("A1")["name"] == word
    note, *uncertain = goods.findings
    assert note.sentence == f"Read as {encoding}, parted by semicolons."
    told = [(one.code, one.level, one.row, one.value) for one in uncertain]
    assert told == ([("ambiguous-encoding", "warning", 2, word)] if other else [])
    assert all(other in one.sentence for one in uncertain)


def test_damaged_utf_8_is_told_with_both_readings(tmp_path):
    rows = [["A1", "Möwe", "scissors", "8.50", "70", ""], ["A2", "?", "bag", "1", "1", ""]]
    content = text_of(",", [HEADER, *rows]).encode().replace(b"?", b"\xff")
    goods = read(tmp_path, content)
    assert goods.row("A1")["name"] == "MÃ¶we"
    (found,) = [one for one in goods.findings if one.code == "ambiguous-encoding"]
    assert (found.row, found.value) == (2, "MÃ¶we")
    assert "in UTF-8 it is Möwe" in found.sentence


def test_the_map_overrules_the_encoding(tmp_path):
    rows = [["A1", "½Möwe", "scissors", "8.50", "70", ""]]
    content = text_of(",", [HEADER, *rows]).encode("cp1252")
    goods = read(tmp_path, content, file={"encoding": "ISO-8859-15"})
    assert goods.row("A1")["name"] == "œMöwe"
    assert notes(goods) == ["Read as ISO 8859-15."]
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content, file={"encoding": "utf-8"})
    assert [(one.code, one.row) for one in caught.value.findings] == [("not-utf8", 2)]


def test_a_byte_that_is_no_character_is_a_finding(tmp_path):
    content = text_of(",", [HEADER, *ROWS]).encode("cp1252").replace(b"8.50", b"8.5\x81")
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content)
    (found,) = caught.value.findings
    assert (found.code, found.row, found.value) == ("undecodable-byte", 2, "0x81")
    assert "Windows-1252" in found.sentence


def test_of_two_delimiters_that_with_more_known_names_is_taken(tmp_path):
    # With commas the header has two known names, with semicolons five.
    content = "sku,price;name;category;quality;sku;price\nx,y;a bag;bag;50;A1;1\n"
    path = tmp_path / "shop.csv"
    path.write_text(content)
    records = read_source(path).records
    assert records.header == ("sku,price", "name", "category", "quality", "sku", "price")


def test_of_two_delimiters_with_the_same_names_that_with_more_cells_is_taken(tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text("a,sku,price\n")
    assert read_source(path).records.header == ("a", "sku", "price")
    path.write_text("x;sku;price;p,q,r\n")
    assert read_source(path).records.header == ("x", "sku", "price", "p,q,r")


def test_the_map_s_headers_find_the_header(tmp_path):
    content = (
        "Preisliste;2026\nsku und price\nARTIKEL;Name;Warengruppe;vk\nA1;Schere;scissors;8.50\n"
    )
    goods = read(
        tmp_path,
        content.encode(),
        columns={"sku": "Artikel", "price": "VK", "category": "warengruppe"},
        defaults={"quality": "50"},
    )
    assert goods.row("A1")["price"] == "8.50"
    assert notes(goods) == ["Read parted by semicolons, header in row 3."]


def test_the_map_names_the_header_and_the_delimiter(tmp_path):
    content = "sku,name,category,price,quality\n\nsku^name^category^price^quality\nA^b^bag^1^1\n"
    goods = read(tmp_path, content.encode(), file={"header_row": 3, "delimiter": "^"})
    assert goods.skus == {"A"}
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content.encode(), file={"header_row": 2})
    assert [one.code for one in caught.value.findings] == ["header-row-missing"]
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content.encode(), file={"header_row": 99})
    assert [(one.code, one.value) for one in caught.value.findings] == [
        ("header-row-missing", "99")
    ]
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content.encode(), file={"delimiter": ";"})
    (found,) = caught.value.findings
    assert (found.code, found.value, found.detail) == ("wrong-delimiter", "commas", "semicolons")


def test_a_title_with_a_quote_that_is_never_closed_is_passed_over(tmp_path):
    content = '"Sortiment 14" Aida\n\nName;sku;category;price;quality\nx;A;bag;1;1\n'
    assert read(tmp_path, content.encode()).skus == {"A"}


def test_rows_of_several_lines_above_the_header_count_once(tmp_path):
    content = '"Sortiment\n2026";x\n\nsku;name;category;price;quality\nA;x;bag;1;1\n'
    goods = read(tmp_path, content.encode())
    assert list(goods.text.index) == [4]
    assert notes(goods) == ["Read parted by semicolons, header in row 3."]
    assert read(tmp_path, content.encode(), file={"header_row": 3}).text.equals(goods.text)


def test_a_delimiter_behind_every_row_makes_no_column(tmp_path):
    content = "sku;name;category;price;quality;;\nA;x;bag;1;1;;\n"
    assert list(read(tmp_path, content.encode()).text.columns) == HEADER[:5]


def test_without_a_known_header_the_likely_row_is_shown_with_what_it_lacks(tmp_path):
    content = "Preisliste\nStand; 2026\nArtikel;Titel;Gruppe;Preis\nA;x;bag;1\nB;x;bag;1\n"
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content.encode())
    codes = {one.code for one in caught.value.findings}
    assert codes == {"read-as", "missing-column"}
    assert caught.value.findings[0].sentence == "Read parted by semicolons, header in row 3."


def book(tmp_path, sheets, name):
    made = openpyxl.Workbook()
    made.remove(made.active)
    for title, rows in sheets.items():
        sheet = made.create_sheet(title)
        for row in rows:
            sheet.append(row)
    made.save(tmp_path / "made.xlsx")
    return (tmp_path / "made.xlsx").rename(tmp_path / name)


def test_a_workbook_is_read_whatever_its_ending(tmp_path):
    path = book(tmp_path, {"Notes": [["hello"]], "Goods": [*TITLES, HEADER, *ROWS]}, "shop.csv")
    mapping = ColumnMap(file={"sheet": "Goods"})
    for goods in (
        read_catalogue(f"{path}#Goods", currency="EUR"),
        read_catalogue(path, currency="EUR", mapping=mapping),
    ):
        assert goods.text.to_numpy().tolist() == [[*row] for row in ROWS_OF_A_BOOK]
        assert notes(goods) == ["Read from the sheet Goods, header in row 4."]
    with pytest.raises(BadInput) as caught:
        read_catalogue(path, currency="EUR", mapping=ColumnMap(file={"sheet": "Godos"}))
    (found,) = caught.value.findings
    assert (found.code, found.hint) == ("unknown-sheet", "did you mean Goods?")


ROWS_OF_A_BOOK = ROWS


def test_the_header_of_a_sheet_can_be_named(tmp_path):
    path = book(tmp_path, {"Goods": [HEADER, ["x"], HEADER, *ROWS]}, "shop.xlsx")
    goods = read_catalogue(path, currency="EUR", mapping=ColumnMap(file={"header_row": 3}))
    assert len(goods) == 2
    with pytest.raises(BadInput) as caught:
        read_source(path, mapping=ColumnMap(file={"header_row": 30}))
    assert [one.code for one in caught.value.findings] == ["header-row-missing"]


def test_a_csv_file_has_no_sheets(tmp_path):
    (tmp_path / "shop.csv").write_text(text_of(",", [HEADER, *ROWS]))
    with pytest.raises(BadInput) as caught:
        read_source(f"{tmp_path / 'shop.csv'}#Goods")
    (found,) = caught.value.findings
    assert (found.code, found.hint) == ("unknown-sheet", "a CSV file has none")


def test_a_file_s_own_name_may_hold_the_sign_of_a_sheet(tmp_path):
    (tmp_path / "shop#2.csv").write_text(text_of(",", [HEADER, *ROWS]), encoding="utf-8")
    assert len(read_catalogue(tmp_path / "shop#2.csv", currency="EUR")) == 2


def test_a_home_list_is_found_by_its_sku_alone(tmp_path):
    path = tmp_path / "cupboard.csv"
    path.write_text("My cupboard\n\nsku;stock\nA1;2\n")
    assert read_source(path, header_by=("sku",)).records.header == ("sku", "stock")


TOTALS = "Artikel;Titel;category;price;quality\nA;x;bag;1;1\n"


@pytest.mark.parametrize(
    ("row", "column", "word"),
    [
        ("Summe;;;1;", "Artikel", "Summe"),
        (";Gesamt: 2 Artikel;;1;", "Titel", "Gesamt: 2 Artikel"),
        (";;;TOTAL;", "price", "TOTAL"),
        ("Totaal;;bag;1;1", "Artikel", "Totaal"),
        (";Suma;1", "Titel", "Suma"),
        ("Summe;;;1;;;", "Artikel", "Summe"),
    ],
)
def test_a_row_of_totals_is_one_finding_whose_hint_mends_it(tmp_path, row, column, word):
    columns = {"sku": "Artikel", "name": "Titel"}
    content = f"{TOTALS}{row}\n".encode()
    with pytest.raises(BadInput) as caught:
        read(tmp_path, content, columns=columns)
    found = [one for one in caught.value.findings if one.level == "error"]
    assert [(one.code, one.row, one.column, one.value) for one in found] == [
        ("totals-row", 3, column, word)
    ]
    mend = found[0].hint.partition("write ")[2].partition(" in a map")[0]
    assert mend == f'pass_over = {{ "{column}" = ["{word}"] }}'
    goods = read(tmp_path, content, columns=columns, **tomllib.loads(mend))
    assert goods.skus == {"A"}
    assert [(each.kind, each.rows) for each in goods.skipped] == [("passed over", 1)]


def test_goods_that_are_called_total_are_no_totals(tmp_path):
    content = TOTALS.replace("Artikel", "sku").replace("Titel", "name") + "T;Total;bag;1;1\n"
    assert read(tmp_path, content.encode()).skus == {"A", "T"}
