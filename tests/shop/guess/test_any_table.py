"""Whatever a table holds, its draft is a map that is read, and is the same for the same table."""

import csv
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitsolver import BadInput
from kitsolver.shop.guess.draft_toml import draft_toml
from kitsolver.shop.guess.guess_source import guess_source
from kitsolver.shop.maps.mapping import read_map

HEADERS = (
    "Artikel", "sku", "Preis", "EK", "price", "Price", "Größe", "size", "wide", "high", "Breite",
    "Höhe", "count", "Farbe 1", "Farbe 2", "Farbe", "stars", "Note", "Art", "Category", "Nadel",
    "Ø", "download", "Status", "Fadenzahl", "brins", "x", "", "  ", "Total", "1", '"', "a=b", "#",
    "[columns]", "tags", "couleurs", "\u2028", "width_cm", "Size (in)",
)  # fmt: skip
CELLS = (
    "", "", "A-1", "A-2", "1,25", "2.50", "1.250", "1,250", "€ 3", "14 ct", "30 x 45 cm", "56x77",
    "#a0b1c2", "a0b1c2", "#a0b1c2:12;#ffffff:3", "★★★", "4/5", "4/0", "Aida", "Garn", "Stoffe",
    "chart", "Total", "Summe", "ausgelaufen", "ja", "yes", "26", "24;26", "nr. 26", '12"', "-5",
    "1e9", "NaN", "x", "a\tb", "'", "\\", "0", "00000000", "½", "١٢",
)  # fmt: skip


@st.composite
def tables(draw):
    width = draw(st.integers(1, 7))
    header = draw(st.lists(st.sampled_from(HEADERS), min_size=width, max_size=width))
    row = st.lists(st.sampled_from(CELLS), min_size=width, max_size=width)
    titles = draw(st.lists(row, max_size=1))
    return [*titles, header, *draw(st.lists(row, max_size=6))]


@pytest.mark.slow
@given(tables(), st.sampled_from(",;|"))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_a_draft_is_a_map_that_is_read(tmp_path, rows, delimiter):
    path = tmp_path / "any.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=delimiter).writerows(rows)
    try:
        draft = guess_source(path)
    except BadInput:
        return
    text = draft_toml(draft)
    assert tomllib.loads(text) == draft.data
    (tmp_path / "map.toml").write_text(text, encoding="utf-8")
    read = read_map(tmp_path / "map.toml")
    assert read == draft.map
    assert guess_source(path) == draft


@pytest.mark.parametrize("content", ["", "\n\n", "\ufeff", ";;;\n;;\n"])
def test_a_blank_file_is_refused(tmp_path, content):
    (tmp_path / "blank.csv").write_text(content, encoding="utf-8")
    with pytest.raises(BadInput):
        guess_source(tmp_path / "blank.csv")


@pytest.mark.parametrize("content", ["a", "a;b\n", "sku,price"])
def test_a_header_without_rows_lacks_what_every_row_needs(tmp_path, content):
    (tmp_path / "bare.csv").write_text(content, encoding="utf-8")
    draft = guess_source(tmp_path / "bare.csv")
    assert {each.column for each in draft.missing} >= {"name", "category"}
