"""Headers and categories are known by their words, in six languages."""

import tomllib
from importlib.resources import files

import pytest

from kitsolver.shop.columns.registry import KNOWN, LEFT
from kitsolver.shop.guess.goods import goods_of
from kitsolver.shop.guess.meanings import RELIABLE
from kitsolver.shop.guess.words import EXACT, LANGUAGES, matches, tokens_of

WORDS = tomllib.loads(
    files("kitsolver.shop.guess").joinpath("words.toml").read_text(encoding="utf-8")
)
TABLES = ("columns", "unused", "goods", "weaves", "kinds", "answers", "rows")
# Columns that few shops have, and that a header of theirs hardly names.
IN_ENGLISH = {"colour_kinds", "colour_strands"}
OTHERS = {"size"}
NOT_GUESSED = {
    "tax_rate", "line", "sold_by", "smallest_cm", "step_cm", "width_in", "height_in",
    "diameter_in", "opening_in",
}  # fmt: skip


def best(table, text):
    return {m.meaning for m in matches(table, text) if m.score == EXACT}


@pytest.mark.parametrize("table", TABLES)
def test_every_word_is_known_as_what_it_means(table):
    for meaning, by_language in WORDS[table].items():
        for words in by_language.values():
            for word in words:
                assert meaning in best(table, word), word
                assert meaning in best(table, word.upper()), word


def test_every_column_has_words_in_six_languages():
    assert set(WORDS["columns"]) | NOT_GUESSED == KNOWN | OTHERS | {LEFT}
    for meaning, by_language in WORDS["columns"].items():
        assert set(by_language) == (LANGUAGES.keys() if meaning not in IN_ENGLISH else {"en"})


def test_no_word_stands_twice_in_a_list():
    for table in TABLES:
        for by_language in WORDS[table].values():
            for words in by_language.values():
                assert len(set(words)) == len(words)


@pytest.mark.parametrize(
    ("header", "meaning"),
    [
        ("VK-Preis brutto (EUR)", "price"),
        ("P.V.P.", "price"),
        ("Hoehe", "height_cm"),
        ("retailPrice", "price"),
        ("Pr. di vendita", "price"),
        ("Fäden je Zoll", "count"),
        ("HPI", "count"),
        ("stitches_wide", "stitches_wide"),
        ("Ø", "diameter_cm"),
        ("Discription", "name"),
    ],
)
def test_headers_are_known_in_other_spellings(header, meaning):
    assert matches("columns", header)[0].meaning == meaning


def test_mwst_is_one_word_and_the_tax():
    assert matches("unused", "MwSt")[0].meaning == "the tax"
    assert tokens_of("MwSt") == ("mwst",)


@pytest.mark.parametrize("header", ["Min Qty", "Preisgruppe", "Your Price", "Kundenpreis"])
def test_a_strange_word_beside_a_known_one_makes_it_unsure(header):
    found = [m for m in matches("columns", header) if m.score >= RELIABLE]
    assert not found


@pytest.mark.parametrize(
    ("category", "goods"),
    [
        ("Aida-Stoffe", "fabric"),
        ("Fils à broder", "thread"),
        ("Stickscheren", "scissors"),
        ("borduurgarens", "thread"),
        ("Hilos", "thread"),
        ("telai", "hoop"),
        # What goes with goods is none of them.
        ("Étui à aiguilles", None),
        ("needle cases", None),
        ("Nadelkissen", None),
        ("Zubehör", None),
    ],
)
def test_the_word_that_names_the_thing_says_which_goods_they_are(category, goods):
    found = goods_of(category)
    assert (found.meaning if found else None) == goods
