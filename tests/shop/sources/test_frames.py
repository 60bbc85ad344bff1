"""A table in memory is read as a file of the same rows, whatever library holds it."""

from decimal import Decimal
from pathlib import Path

import pandas as pd
import pytest

from kitsolver import BadInput, read_catalogue

SHOP = Path(__file__).parents[3] / "catalogues" / "tormellick-whelk.csv"


@pytest.fixture(scope="module")
def of_file():
    return read_catalogue(SHOP, currency="EUR")


def test_a_frame_of_texts_is_the_file_s_catalogue(of_file):
    frame = pd.read_csv(SHOP, dtype=str, keep_default_na=False)
    assert read_catalogue(frame, currency="EUR") == of_file


def test_a_frame_with_numbers_gives_the_same_goods(of_file):
    """Numbers lose trailing zeros as texts, and nothing as values."""
    read = read_catalogue(pd.read_csv(SHOP), currency="EUR")
    assert read.shelves.keys() == of_file.shelves.keys()
    for category, shelf in of_file.shelves.items():
        same = read.shelves[category].reset_index(drop=True)
        pd.testing.assert_frame_equal(same, shelf.reset_index(drop=True))


def test_another_library_s_table_is_read_by_the_interchange_protocol(of_file):
    pa = pytest.importorskip("pyarrow")
    table = pa.Table.from_pandas(pd.read_csv(SHOP, dtype=str, keep_default_na=False))
    assert not isinstance(table, pd.DataFrame)
    assert read_catalogue(table, currency="EUR") == of_file


LEAST = {"sku": ["S1", "S2"], "name": ["Stork", "Heron"], "category": ["scissors"] * 2}


@pytest.mark.parametrize(
    "prices",
    [
        pd.Series([Decimal("5.10"), Decimal(8)]),
        pd.Series([5.1, 8.0]),
        pd.Series([5.1, 8.0], dtype="float32"),
        pd.Series(["5.1", "8"], dtype="category"),
        pd.Series([5.1, 8.0], dtype="Float64"),
    ],
    ids=lambda series: str(series.dtype),
)
def test_prices_of_any_type_are_exact(prices):
    frame = pd.DataFrame(LEAST | {"price": prices, "quality": [60, 80]})
    shelf = read_catalogue(frame, currency="EUR").shelves["scissors"]
    assert shelf["price"].tolist() == [51_000, 80_000]


@pytest.mark.parametrize("missing", [None, float("nan"), pd.NA, pd.NaT], ids=repr)
def test_what_is_missing_is_a_blank_cell(missing):
    frame = pd.DataFrame(LEAST | {"price": [5, 8], "quality": [60, 80], "stock": [missing, 3]})
    assert read_catalogue(frame, currency="EUR").text["stock"].tolist() == ["", "3"]


def test_findings_name_the_table_and_the_record():
    frame = pd.DataFrame(LEAST | {"price": ["5", "dear"], "quality": [60, 80]})
    for name, told in ((None, "the table"), ("goods", "goods")):
        with pytest.raises(BadInput) as bad:
            read_catalogue(frame, currency="EUR", name=name)
        (found,) = bad.value.findings
        assert (found.code, found.file, found.row) == ("not-a-number", told, 2)


def test_a_table_that_cannot_be_read_is_bad_input():
    class Broken:
        def __dataframe__(self, nan_as_null=False, allow_copy=True):
            raise RuntimeError("its memory is gone")

    with pytest.raises(BadInput, match="its memory is gone"):
        read_catalogue(Broken())


def test_catalogues_compare_by_what_they_offer(of_file, tmp_path):
    copy = tmp_path / "copy.csv"
    copy.write_bytes(SHOP.read_bytes())
    assert read_catalogue(copy, currency="EUR") == of_file
    assert read_catalogue(SHOP) != of_file
    copy.write_bytes(SHOP.read_bytes().replace(b"Hermit", b"Hermet"))
    assert read_catalogue(copy, currency="EUR") != of_file
    assert of_file != "a catalogue"
