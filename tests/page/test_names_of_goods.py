"""The page calls goods by their names where commands call them by their skus."""

from pathlib import Path

import pytest

from kitsolver import read_brief, read_catalogue, why_no_kit
from kitsolver.page.everyday import everyday, skus_named

DEMO = Path(__file__).parents[2] / "catalogues"
NEEDLE = 'needs.needle.only.sku=["NE-26-6"]'


@pytest.mark.parametrize(
    ("sets", "sku"),
    [
        (["needs.scissors.have=true", 'choose.keep=["SC-HERON"]'], "SC-HERON"),
        ([NEEDLE, 'choose.leave_out=["NE-26-6"]'], "NE-26-6"),
        (["shades.tolerance=0.05"], "CH-"),
    ],
)
def test_no_sku_is_left_in_what_the_page_says(sets, sku):
    catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")
    why = why_no_kit(catalogue, read_brief(DEMO / "bundle.toml", sets=sets))
    told = [*why.because, *(mend.says for mend in why.mends)]
    assert any(sku in sentence for sentence in told)
    # The condition that asks for a sku says which.
    others = [sentence.replace(f"have sku {sku}", "") for sentence in told]
    names = {one: catalogue.row(one)["name"] for one in skus_named(others) if one in catalogue}
    said = [everyday(sentence, names) for sentence in others]
    assert not [sentence for sentence in said if sku in sentence]
