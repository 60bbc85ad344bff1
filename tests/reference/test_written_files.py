"""How files are written: other readers' verdicts on the same bytes, and RFC 4180 as it stands."""

import csv
import io
import string

import charset_normalizer
import clevercsv
import frictionless
import pytest

from kitsolver.shop.source import read_source
from kitsolver.shop.sources.bounds import Bounds, Reading
from kitsolver.shop.sources.csv_header import find_header
from kitsolver.shop.sources.encodings import encoding_of
from kitsolver.shop.sources.file_format import FileFormat
from kitsolver.shop.sources.header_names import HeaderNames

HEADER = ["sku", "name", "category", "price", "quality", "notes"]
NAMES = [
    "Stickschere groß",
    "Nähkissen «Möwe»",
    "Rähmchen für Anfänger",
    "Garn, weiß; stark",
    "Öse",
]


def export(delimiter, encoding):
    """Return a till's export of twenty rows."""
    text = io.StringIO()
    lines = csv.writer(text, delimiter=delimiter)
    lines.writerow(HEADER)
    for number in range(20):
        name = NAMES[number % len(NAMES)]
        lines.writerow([f"A{number:03}", name, "tools", f"{number}.50", number, "für den Kurs"])
    return text.getvalue().encode(encoding)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_other_readers_agree_on_encoding_and_delimiter(tmp_path, delimiter, encoding):
    content = export(delimiter, encoding)
    reading = Reading("x", Bounds(), FileFormat(), HeaderNames(frozenset({"sku", "price"})))
    codec = encoding_of(io.BytesIO(content), reading).codec
    ours = content.decode(codec)
    # charset-normalizer may name another encoding that gives the same text.
    theirs = charset_normalizer.from_bytes(content).best()
    assert theirs is not None
    assert str(theirs).removeprefix("\ufeff") == ours.removeprefix("\ufeff")
    found = find_header(io.StringIO(ours, newline=""), reading)
    assert found.delimiter == delimiter
    assert clevercsv.Sniffer().sniff(ours).delimiter == delimiter
    path = tmp_path / "export.csv"
    path.write_bytes(content)
    if encoding != "utf-16":
        # frictionless takes a sample for its guess, in which UTF-16 is not known.
        resource = frictionless.describe(str(path), encoding=codec)
        dialect = resource.dialect.to_dict().get("csv", {})
        assert dialect.get("delimiter", ",") == delimiter
        assert [field.name.removeprefix("\ufeff") for field in resource.schema.fields] == HEADER
    assert read_source(path).records.header == tuple(HEADER)


# The code charts of ISO/IEC 8859-15:1999, and index windows-1252 of the WHATWG Encoding Standard:
# beyond 80 to 9F they differ in these places, and elsewhere both are ISO 8859-1.
DIFFERENT = bytes([0xA4, 0xA6, 0xA8, 0xB4, 0xB8, 0xBC, 0xBD, 0xBE])


@pytest.mark.parametrize(
    ("encoding", "signs"), [("iso8859-15", "€ŠšŽžŒœŸ"), ("cp1252", "¤¦¨´¸¼½¾")]
)
def test_where_two_encodings_differ(encoding, signs):
    assert DIFFERENT.decode(encoding) == signs
    others = set(range(0xA0, 0x100)) - set(DIFFERENT)
    assert all(bytes([byte]).decode(encoding) == chr(byte) for byte in others)


RFC_4180 = [
    # Section 2, rules 1 and 2: the last record may have an ending line break, or none.
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    # Rule 5: each field may or may not be enclosed in double quotes.
    ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx\r\n', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    # Rule 6: line breaks, double quotes and commas stand within double quotes.
    (
        '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx\r\n',
        [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]],
    ),
    # Rule 7: a double quote is doubled.
    ('"aaa","b""bb","ccc"\r\n', [["aaa", 'b"bb', "ccc"]]),
]


@pytest.mark.parametrize(("text", "rows"), RFC_4180)
def test_the_examples_of_rfc_4180(tmp_path, text, rows):
    path = tmp_path / "x.csv"
    path.write_bytes(b"sku,price,x\r\n" + text.encode())
    columns = read_source(path).records.columns
    cells = [columns[name].texts[columns[name].codes].tolist() for name in columns]
    assert [list(row) for row in zip(*cells, strict=True)] == rows


def test_spaces_are_part_of_a_field_and_trimmed_as_the_format_page_says(tmp_path):
    # RFC 4180, rule 4, calls spaces a part of the field; a catalogue's text is trimmed.
    path = tmp_path / "x.csv"
    path.write_text("sku,price\n a b , 1\n")
    assert read_source(path).records.columns["sku"].texts.tolist() == ["a b"]


def test_every_printable_character_survives(tmp_path):
    path = tmp_path / "x.csv"
    text = io.StringIO()
    csv.writer(text).writerows([["sku", "price"], [string.printable.strip(), "1"]])
    path.write_bytes(text.getvalue().encode())
    assert read_source(path).records.columns["sku"].texts.tolist() == [string.printable.strip()]
