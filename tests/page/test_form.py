"""The form and the address hold a brief whole: what is asked comes back as it was."""

import random
from pathlib import Path

import pytest
from instances import instance, to_toml
from seeds import over_seeds

from kitsolver import BadInput, brief_of, read_brief
from kitsolver.brief.brief_text import settings_of
from kitsolver.craft.colour import differences
from kitsolver.page.address import Address
from kitsolver.page.catalogue_summary import summary_of
from kitsolver.page.catalogue_to_read import CatalogueToRead
from kitsolver.page.wishes.colour_wishes import colour_words
from kitsolver.page.wishes.filled_in import brief_from
from kitsolver.page.wishes.groups import first_sentences, groups_of
from kitsolver.page.wishes.rest import keys_of_brief
from kitsolver.page.wishes.typed_numbers import TwoReadings, read_number
from kitsolver.page.wishes.values import values_of

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
    values = values_of(brief, shop)
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
        ({"holds": ["chart", "hoop"]}, {"holds": ["chart", "hoop"]}),
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
        ("fit.waste", "200"),
        ("size.at_most_cm", "20"),
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


@pytest.mark.parametrize("way", ["one", "class", "bundles"])
def test_every_key_of_a_brief_has_one_blank(way, shop):
    holds = ("chart", "fabric", "thread", "hoop", "sail")
    groups = (first_sentences(way), *groups_of(holds, shop))
    names = [field.name for group in groups for field in group.fields]
    assert len(set(names)) > 100
    keys = {".".join(path) for path in keys_of_brief(holds)}
    # Home lists are handed in as files.
    assert keys - set(names) - {"cap_per_head", "home.from", "home.columns"} == (
        {"heads", "spare"} if way != "class" else set()
    )
    twice = {name for name in names if names.count(name) > 1}
    assert twice == set()


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("18,00", "18.00"),
        ("18.5", "18.5"),
        ("0,125", "0.125"),
        ("1 234,50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1,234.50", "1234.50"),
        ("1,234,567", "1234567"),
        ("1\u202f234", "1234"),
        ("1'234.50", "1234.50"),
        ("12", "12"),
        ("much", "much"),
        ("1,2,3", "1,2,3"),
        ("1,234", TwoReadings("1,234", ("1234", "1.234"))),
        ("12.345", TwoReadings("12.345", ("12345", "12.345"))),
    ],
)
def test_numbers_are_read_with_comma_or_point(typed, read):
    assert read_number(typed) == read


def test_rates_are_typed_in_per_cent(shop):
    brief = again(brief_of(PLAIN), shop, **{"fit.waste": ["12,5 %"], "till.tax_rate": ["7"]})
    assert brief == brief_of(PLAIN | {"fit": {"waste": 0.125}, "till": {"tax_rate": 0.07}})
    assert values_of(brief, shop)["fit.waste"] == ["12.5"]


def test_a_number_that_may_be_two_asks_which(shop):
    with pytest.raises(BadInput) as caught:
        again(brief_of(PLAIN), shop, cap=["1,234"], heads=["x"])
    told = {finding.column: finding for finding in caught.value.findings}
    assert set(told) == {"cap", "heads"}
    assert told["cap"].detail == "1234 or 1.234"
    assert again(brief_of(PLAIN), shop, cap=["1,234"], meant=["cap=1234"]).cap == 1234


def test_a_blank_that_the_form_did_not_have_changes_nothing(shop):
    brief = read_brief(DEMO / "class-of-twelve.toml")
    assert brief_from({"title": ["new"]}, brief, shop) == brief.model_copy(update={"title": "new"})


def test_rules_of_one_s_own_are_written_as_in_the_brief(shop):
    rules = '[[limits]]\nname = "few"\nmost = 9\n'
    brief = again(
        brief_of(PLAIN), shop, limits=[rules], **{"needs.chart.at_least": ["{ shades = 3 }"]}
    )
    expected = {
        "limits": [{"name": "few", "most": 9}],
        "needs": {"chart": {"at_least": {"shades": 3}}},
    }
    assert brief == brief_of(PLAIN | expected)
    assert again(brief, shop) == brief


def test_an_address_s_choices_can_be_taken_back():
    address = Address({}).asking(brief_of(PLAIN))
    skus = [f"SKU {random.Random(number).random()}" for number in range(3)]
    kept = address.choosing(keep=skus, own=skus[:1])
    assert kept.brief.choose.keep == tuple(skus)
    assert kept.choosing(keep=[], own=[]) == address


def test_a_word_stands_for_its_colours_and_far_threads_still_differ(shop):
    brief = again(
        brief_of(PLAIN), shop, **{"shades.wish": ["Blue; #123456"], "swatch": ["#ffffff"]}
    )
    assert brief.shades.mode == "free"
    assert brief.shades.wish == (*colour_words()["blue"], "#123456", "#ffffff")
    # The farthest thread has some points left; the shop has browns far from any blue.
    assert brief.shades.mismatch < 5
    farthest = differences(brief.shades.wish, shop.thread_colours).min(axis=0).max() / 10_000
    assert 0 <= 100 - float(brief.shades.mismatch) * farthest < 100
    assert again(brief, shop) == brief
    with pytest.raises(BadInput):
        again(brief_of(PLAIN), shop, **{"shades.wish": ["bluish"]})


def test_what_was_said_of_copies_stays_when_the_brief_cannot_be_used(client):
    page = client.get("/?currency=EUR&cap=x&copies=40&way=bundles")
    assert page.status_code == 422
    assert 'name="copies" value="40"' in page.text
