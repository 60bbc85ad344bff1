"""Findings: what is wrong, in one sentence, with its place and its mend."""

import importlib
import re

import pytest

from kitsolver.shop.catalogue_findings import DuplicateSku, NegativeNumber
from kitsolver.shop.findings import BadInput, code_of, finding_classes, nearest
from kitsolver.shop.sources.file_findings import NotUtf8

for _home in (
    "brief.brief_findings",
    "brief.range_findings",
    "shop.catalogue_findings",
    "shop.sources.file_findings",
    "shop.sources.source_findings",
    "show.files",
):
    importlib.import_module(f"kitsolver.{_home}")


def test_a_code_is_the_name_of_its_kind():
    assert code_of(DuplicateSku) == DuplicateSku(file="f").code == "duplicate-sku"
    assert code_of(NotUtf8) == "not-utf8"


def test_kinds_are_those_that_say_something_each_under_its_own_code():
    codes = [code_of(kind) for kind in finding_classes()]
    assert codes == sorted(set(codes))
    assert {"duplicate-sku", "two-caps", "not-toml"} < set(codes)
    assert "finding" not in codes


@pytest.mark.parametrize("kind", finding_classes(), ids=code_of)
def test_each_kind_is_one_sentence_and_names_nothing_a_finding_lacks(kind):
    finding = kind(file="shop.csv", row=3, column="price", value="x", detail="said so")
    assert re.fullmatch(r"[^\n]*[^.\n]\.", finding.sentence)
    assert finding.level == ("note" if kind.note else "warning" if kind.warning else "error")
    assert not finding.hint.endswith(".")
    assert kind.__doc__


@pytest.mark.parametrize(
    ("where", "place"),
    [
        ({}, "f.csv"),
        ({"row": 3}, "f.csv, row 3"),
        ({"column": "price"}, "f.csv, price"),
        ({"row": 3, "column": "price"}, "f.csv, row 3, price"),
        ({"row": 0}, "f.csv, row 0"),
    ],
)
def test_a_place_is_told_as_far_as_known(where, place):
    assert DuplicateSku(file="f.csv", **where).place == place


def test_sentence_and_hint_are_filled():
    finding = NegativeNumber(file="f.csv", column="price", value="-9", detail="at least 0")
    assert finding.sentence == "-9 is negative."
    assert finding.hint == "price must be at least 0"


def test_braces_in_what_is_found_are_shown_as_they_are():
    finding = DuplicateSku(file="f", value="{detail}", detail="{0} {")
    assert finding.sentence == "Several rows have the sku {detail}: {0} {."


def test_bad_input_carries_every_finding_and_tells_them():
    findings = [DuplicateSku(file="f", row=row, detail="d") for row in (2, 3)]
    bad = BadInput(iter(findings))
    assert bad.findings == tuple(findings)
    assert all(f"f, row {row}" in str(bad) for row in (2, 3))


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("wieght", "did you mean weight?"),
        ("HEADS", "did you mean heads?"),
        ("zzz", ""),
        ("", ""),
    ],
)
def test_the_nearest_known_word_is_named_if_it_is_near(word, hint):
    assert nearest(word, {"weight", "heads", "holds"}) == hint


def test_the_nearest_word_is_the_same_in_any_order():
    known = ["tin-1", "tin-2", "tin-3"]
    assert nearest("tin-4", known) == nearest("tin-4", known[::-1]) != ""


def test_nothing_known_nothing_near():
    assert nearest("heads", []) == ""
