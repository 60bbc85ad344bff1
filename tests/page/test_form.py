"""The form and the address hold a brief whole: what is asked comes back as it was."""

import random
from pathlib import Path

import pytest
from instances import instance, to_toml
from seeds import over_seeds

from kitsolver import BadInput, brief_of, read_brief
from kitsolver.brief.brief_text import settings_of
from kitsolver.page.address import Address
from kitsolver.page.catalogue_summary import summary_of
from kitsolver.page.form import brief_from, values_of
from kitsolver.page.form_fields import groups_of, sum_group
from kitsolver.page.worker import CatalogueToRead

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
PLAIN = {"currency": "EUR", "cap": "30.00"}
SHADES = ["#e8e0c8", "#7fc4c8"]


def only(**columns):
    return {"needs": {"fabric": {"only": columns}}}


@pytest.fixture(scope="module")
def shop():
    return summary_of(CatalogueToRead("digest", SHOP.name, SHOP, "EUR"))


def again(brief, shop, **typed):
    values = values_of(brief, groups_of(brief.holds, shop), shop)
    return brief_from(values | typed, brief, shop)


@pytest.mark.parametrize("name", ["bundle", "class-of-twelve", "gift-card"])
def test_a_form_that_nobody_touched_asks_for_the_same(name, shop):
    brief = read_brief(DEMO / f"{name}.toml")
    assert again(brief, shop) == brief
    assert Address({}).asking(brief).brief == brief


@over_seeds(range(81_000, 81_060), quick=10)
def test_so_does_one_for_a_random_brief(seed, tmp_path):
    text, asked = instance(seed)
    (tmp_path / "shop.csv").write_text(text, encoding="utf-8", newline="")
    (tmp_path / "brief.toml").write_text(to_toml(asked), encoding="utf-8")
    brief = read_brief(tmp_path / "brief.toml")
    there = summary_of(CatalogueToRead("digest", "shop.csv", tmp_path / "shop.csv", brief.currency))
    same = again(brief, there)
    assert dict(settings_of(same)) == dict(settings_of(brief))
    assert Address.read(Address({}).asking(brief).pairs).brief == brief


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ({"heads": ["12"]}, {"heads": 12}),
        ({"heads": ["12"], "cap_is": ["cap_per_head"]}, {"heads": 12, "cap_per_head": "30.00"}),
        ({"holds": ["chart; hoop"]}, {"holds": ["chart", "hoop"]}),
        ({"needs.scissors.have": ["yes"]}, {"needs": {"scissors": {"have": True}}}),
        (
            {"shades_at_home": ["#e8e0c8; #7fc4c8"]},
            {"needs": {"thread": {"have": ["#e8e0c8", "#7fc4c8"]}}},
        ),
        (
            {"needs.fabric.only.count": ["14; 16.5"]},
            {"needs": {"fabric": {"only": {"count": [14, 16.5]}}}},
        ),
        (
            {"needs.fabric.only.weave": ["aida", "linen"]},
            {"needs": {"fabric": {"only": {"weave": ["aida", "linen"]}}}},
        ),
        ({"extras.categories": ["bag", "case"]}, {"extras": {"categories": ["bag", "case"]}}),
        ({"extras.categories": []}, {"extras": {"categories": []}}),
        ({"chart": ["CH-URCHIN"]}, {"choose": {"keep": ["CH-URCHIN"]}}),
        ({"till.tax_on_delivery": ["yes"]}, {"till": {"tax_on_delivery": True}}),
        ({"title": ["  30  "]}, {"title": "30"}),
    ],
)
def test_what_is_typed_is_asked_for(typed, expected, shop):
    wanted = PLAIN | expected
    if "cap_per_head" in wanted:
        del wanted["cap"]
    assert again(brief_of(PLAIN), shop, **typed) == brief_of(wanted)


@pytest.mark.parametrize(
    ("field", "text"),
    [
        ("cap", "thirty"),
        ("heads", "1.5"),
        ("heads", "0"),
        ("currency", "XYZ"),
        ("fit.waste", "2"),
    ],
)
def test_what_cannot_be_used_is_a_finding_at_its_field(field, text, shop):
    with pytest.raises(BadInput) as caught:
        again(brief_of(PLAIN), shop, **{field: [text]})
    assert field in {finding.column for finding in caught.value.findings}


def test_what_has_no_field_stays_as_it_was(shop):
    table = {"weave": "aida", "count": 14, "width_cm": 36, "height_cm": 43}
    only = {"shelf": ["A1"]}
    asked = PLAIN | {"needs": {"fabric": {"have": table}, "chart": {"only": only}}}
    brief = again(brief_of(asked), shop, heads=["2"])
    assert brief == brief_of(asked | {"heads": 2})
    assert again(brief, shop, **{"needs.fabric.have": []}).need("fabric").have is False


def test_a_chart_taken_back_leaves_other_kept_rows(shop):
    brief = brief_of(PLAIN | {"choose": {"keep": ["CH-URCHIN", "SC-HERON"]}})
    assert again(brief, shop, chart=[""]).choose.keep == ("SC-HERON",)


def test_every_field_has_a_name_of_its_own(shop):
    names = [
        field.name
        for group in (sum_group(), *groups_of(brief_of(PLAIN).holds, shop))
        for field in group.fields
    ]
    assert len(names) == len(set(names)) > 40


def test_an_address_s_choices_can_be_taken_back():
    address = Address({}).asking(brief_of(PLAIN))
    skus = [f"SKU {random.Random(number).random()}" for number in range(3)]
    kept = address.choosing(keep=skus, own=skus[:1])
    assert kept.brief.choose.keep == tuple(skus)
    assert kept.choosing(keep=[], own=[]) == address
