"""Encodings and delimiters of the exports are those that other libraries find.

The judges are charset-normalizer 3.5 (encodings), frictionless 5.21 (encodings) and clevercsv 0.8
(delimiters). Of encodings with one byte a character the first two know no more than which letters
are usual: they call some of these files cp1250, mac_iceland or cp862. So they judge UTF-8 and
UTF-16 only, and the others are held against the encoding that wrote them.
"""

import warnings

import clevercsv
import frictionless
import pytest
from charset_normalizer import from_bytes
from exports.writing import FILES

from kitsolver.shop.guess.header_row import find_header as by_shape
from kitsolver.shop.sources.bounds import Bounds, Reading
from kitsolver.shop.sources.csv_header import find_header
from kitsolver.shop.sources.encodings import encoding_of
from kitsolver.shop.sources.header_names import HeaderNames

TEXTS = sorted(path.name for path in FILES.iterdir() if path.suffix in (".csv", ".txt"))
# Every byte of these is told by a mark or by UTF-8 itself.
CERTAIN = {
    "cupboard-5.csv": "utf-8",
    "cupboard.csv": "utf-8",
    "wholesaler-2.csv": "utf-8",
    "wholesaler-3.csv": "utf-16",
    "wholesaler-4.csv": "utf-8",
    "wholesaler-5.txt": "utf-16",
    "wholesaler.txt": "utf-16",
}


def reading(name):
    return Reading(name, Bounds(), header=HeaderNames(by_shape=by_shape))


def decoded(name):
    """Return the text of an export as kitsolver decodes it."""
    with (FILES / name).open("rb") as file:
        codec = encoding_of(file, reading(name)).codec
    return codec, (FILES / name).read_bytes().decode(codec)


@pytest.mark.parametrize("name", TEXTS)
def test_the_delimiter_is_that_which_clevercsv_finds(name):
    _, text = decoded(name)
    found = find_header(text.splitlines(keepends=True), reading(name))
    assert found.delimiter == clevercsv.Sniffer().sniff(text, verbose=False).delimiter


@pytest.mark.parametrize(("name", "encoding"), CERTAIN.items())
def test_the_encoding_is_that_which_two_others_find(name, encoding):
    codec, text = decoded(name)
    assert codec.startswith(encoding)
    judged = from_bytes((FILES / name).read_bytes()).best()
    assert judged.encoding.replace("_", "-") == encoding
    assert str(judged).lstrip("\ufeff") == text.lstrip("\ufeff")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        described = frictionless.describe(str(FILES / name))
    assert described.encoding.startswith(encoding)


@pytest.mark.parametrize("name", [name for name in TEXTS if name not in CERTAIN])
def test_with_a_byte_a_character_the_text_is_that_which_was_written(name):
    written = {"till-2.txt": "iso8859-15", "cupboard-4.csv": "iso8859-15"}.get(name, "cp1252")
    _, text = decoded(name)
    assert text == (FILES / name).read_bytes().decode(written)
