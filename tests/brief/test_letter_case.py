"""Categories, weaves and kinds are read in any case and held in lower case."""

import pytest

from kitsolver import BadInput, Brief
from kitsolver.brief.letter_case import lower_case
from kitsolver.brief.range import read_range
from kitsolver.brief.settings import with_changes

EUR = {"currency": "EUR", "cap": "30"}


def brief(**keys):
    return Brief.model_validate({**EUR, **keys})


def test_a_brief_that_is_written_with_capitals_is_the_same_brief():
    written = brief(
        holds=["Chart", " FABRIC ", "thread"],
        needs={"Fabric": {"only": {"weave": ["Aida", "linen"]}}, "chart": {"weight": 2}},
        extras={"categories": ["Hoop"], "conditions": {"Hoop": {"min_quality": 50}}},
        shades={"kinds": {"Silk": ["Stranded"]}},
        limits=[{"name": "A", "where": {"category": ["Hoop", "case"]}, "most": 1}],
        pairs=[{"name": "B", "if": {"category": "Thread"}, "never": {"only": {"kind": "Silk"}}}],
        alike=[{"name": "C", "column": "series", "of": ["Chart", "case"]}],
    )
    held = brief(
        holds=["chart", "fabric", "thread"],
        needs={"fabric": {"only": {"weave": ["aida", "linen"]}}, "chart": {"weight": 2}},
        extras={"categories": ["hoop"], "conditions": {"hoop": {"min_quality": 50}}},
        shades={"kinds": {"silk": ["stranded"]}},
        limits=[{"name": "A", "where": {"category": ["hoop", "case"]}, "most": 1}],
        pairs=[{"name": "B", "if": {"category": "thread"}, "never": {"only": {"kind": "silk"}}}],
        alike=[{"name": "C", "column": "series", "of": ["chart", "case"]}],
    )
    assert written == held
    assert written.needs.fabric.only["weave"] == ("aida", "linen")


def test_a_weave_at_home_too():
    assert brief(needs={"fabric": {"have": {"weave": "Linen"}}}).needs.fabric.have.weave == "linen"


def test_other_words_are_left_as_they_stand():
    data = {
        "title": "Kite",
        "choose": {"keep": ["CH-Kite"]},
        "needs": {"fabric": {"only": {"Series": ["North"]}, "tags_any": ["Soft"]}},
        "limits": [{"name": "Post", "column": "Weight", "where": {"only": {"Maker": "We"}}}],
    }
    assert lower_case(data) == data


def test_two_tables_that_only_their_case_tells_apart_are_refused():
    with pytest.raises(BadInput) as bad:
        brief(needs={"Fabric": {"weight": 2}, "fabric": {"weight": 3}})
    assert any("Fabric" in str(found) for found in bad.value.findings)


@pytest.mark.parametrize(
    ("data", "path"),
    [
        ({"needs": {"Scissors": {"maxprice": 3}}}, "needs.scissors.maxprice"),
        ({"extras": {"conditions": {"Hoop": {"q": 1}}}}, "extras.conditions.hoop.q"),
    ],
)
def test_an_unknown_key_in_a_table_that_is_written_with_a_capital_is_found(data, path):
    """Guided fuzzing found a KeyError: findings name the table as it is held."""
    with pytest.raises(BadInput) as bad:
        brief(**data)
    assert [(found.code, found.column) for found in bad.value.findings] == [("unknown-key", path)]


def test_a_setting_changes_the_table_that_is_there():
    changed = with_changes(
        {**EUR, "needs": {"Fabric": {"weight": 2}}}, ["needs.FABRIC.max_price=9", "cap=12"]
    )
    assert changed == {
        "currency": "EUR",
        "cap": 12,
        "needs": {"fabric": {"weight": 2, "max_price": 9}},
    }


def test_a_range_puts_tables_together_whatever_their_case(tmp_path):
    file = tmp_path / "range.toml"
    file.write_text(
        'currency = "EUR"\ndistinct = ["Chart"]\n[brief]\ncap = "30"\n'
        "[brief.needs.Fabric]\nweight = 2\n"
        '[[kits]]\nname = "one"\n[kits.needs.fabric]\nmin_quality = 40\n'
    )
    found = read_range(file)
    fabric = found.kits[0].brief.needs.fabric
    assert (found.distinct, fabric.weight, fabric.min_quality) == (("chart",), 2, 40)
