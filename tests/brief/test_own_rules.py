"""Rules of one's own in a brief: their keys, their names, and what is wrong with them."""

from decimal import Decimal

import pytest

from brief.conftest import places
from kitsolver import BadInput, brief_of
from kitsolver.brief.brief_text import settings_of, toml_of
from kitsolver.brief.reading import brief_from_text
from kitsolver.brief.settings import with_changes

BASE = {"currency": "EUR", "cap": 30}
RULES = {
    **BASE,
    "limits": [
        {"column": "weight_g", "most": 500},
        {"column": "weight_g", "least": "0.25", "blank": 0},
        {"name": "three treats", "where": {"category": ["bead", "card"]}, "most": 3},
    ],
    "pairs": [
        {"if": {"category": "thread", "only": {"kind": ["silk"]}}, "never": {"category": "hoop"}},
        {"name": "wrapped", "with": {"category": "wrap"}},
    ],
    "alike": [{"column": "series", "of": ["fabric", "thread"], "blank": "refuse"}],
}


def names(brief):
    return [rule.name for rule in (*brief.limits, *brief.pairs, *brief.alike)]


def test_a_rule_without_a_name_is_called_by_its_column_or_its_place():
    found = names(brief_of(RULES))
    assert found == ["weight_g", "limits 2", "three treats", "pairs 1", "wrapped", "series"]


def test_a_column_is_no_name_where_another_rule_bears_it():
    data = {**BASE, "limits": [{"column": "a", "most": 1}, {"name": "a", "most": 2}]}
    assert names(brief_of(data)) == ["limits 1", "a"]


def test_rules_survive_writing_and_reading():
    brief = brief_of(RULES)
    assert brief_of(brief.model_dump(mode="json")) == brief
    assert brief_from_text(toml_of(brief)) == brief
    sets = [f"{key}={value}" for key, value in settings_of(brief)]
    assert brief_of(with_changes({}, sets)) == brief


def test_a_pair_whose_side_is_any_row_survives_too():
    brief = brief_of({**BASE, "pairs": [{"if": {}, "never": {"category": "hoop"}}]})
    assert brief_from_text(toml_of(brief)) == brief
    assert brief.pairs[0].if_ is not None


@pytest.mark.parametrize(
    ("setting", "value"),
    [
        ('limits."weight_g".most=612.5', Decimal("612.5")),
        ('limits."limits 2".most=4', Decimal(4)),
        ("limits.'three treats'.most=5", Decimal(5)),
    ],
)
def test_a_setting_finds_a_rule_by_its_name(setting, value):
    brief = brief_of(with_changes(RULES, [setting]))
    assert value in {limit.most for limit in brief.limits}
    assert names(brief) == names(brief_of(RULES))


def test_a_setting_reaches_into_a_rule():
    brief = brief_of(
        with_changes(RULES, ['pairs."pairs 1".if.only.kind=["gold"]', 'alike."series".blank="any"'])
    )
    assert brief.pairs[0].if_.only == {"kind": ("gold",)}
    assert brief.alike[0].blank == "any"


def test_a_rule_is_taken_out_by_a_setting_without_keys():
    brief = brief_of(with_changes(RULES, ['limits."weight_g"={}', 'limits."limits 2".least=1']))
    assert names(brief) == ["limits 2", "three treats", "pairs 1", "wrapped", "series"]


def test_a_setting_for_an_unknown_rule_names_the_nearest():
    with pytest.raises(BadInput) as bad:
        with_changes(RULES, ['limits."weightg".most=1'])
    (finding,) = bad.value.findings
    assert (finding.code, finding.value) == ("unknown-rule", "weightg")
    assert finding.hint == "did you mean weight_g?"


@pytest.mark.parametrize(
    ("more", "code", "column"),
    [
        ("[[limits]]\ncolumn = 'a'", "bad-value", "limits 1"),
        ("[[limits]]\ncolumn = 'a'\nleast = 2\nmost = 1", "bad-value", "limits 1"),
        ("[[limits]]\nmost = 1\na_head = true", "bad-value", "limits 1"),
        ("[[limits]]\ncolumn = 'a'\nmost = 0.1234567", "bad-value", "limits 1.most"),
        ("[[limits]]\ncolumn = 'a'\nmost = 1\nblank = 1", "bad-value", "limits 1.blank"),
        ("[[limits]]\ncolumn = 'a'\nmost = 1\nblank = false", "bad-value", "limits 1.blank"),
        ("[[limits]]\nname = ''\nmost = 1", "bad-value", "limits 1.name"),
        (f"[[limits]]\nname = '{'x' * 61}'\nmost = 1", "bad-value", "limits 1.name"),
        ("[[limits]]\nmost = 1\nmots = 1", "unknown-key", "limits 1.mots"),
        ("[[limits]]\nmost = 1\nwhere = {category = []}", "bad-value", "limits 1.where.category"),
        ("[[pairs]]\nif = {}", "bad-value", "pairs 1"),
        ("[[pairs]]\nthen = {}\nwith = {}", "bad-value", "pairs 1"),
        ("[[pairs]]\nthen = {catgory = 'x'}", "unknown-key", "pairs 1.then.catgory"),
        ("[[alike]]\nof = ['x']", "missing-key", "alike 1.column"),
        ("[[alike]]\ncolumn = 'x'\nblank = 'none'", "bad-value", "alike 1.blank"),
        ("limits = 3", "bad-value", "limits"),
        ("limits = [3]", "bad-value", "limits 1"),
        ("[size]\nat_most_cm = [20]", "bad-value", "size.at_most_cm"),
        ("[size]\nat_most_cm = [20, 0]", "bad-value", "size.at_most_cm.1"),
        ("[lesson]\nhours_at_most = 0", "bad-value", "lesson.hours_at_most"),
        ("[needs.fabric]\nat_least = {count = 'x'}", "bad-value", "needs.fabric.at_least.count"),
    ],
)
def test_what_is_wrong_with_a_rule_is_told_in_its_place(found, more, code, column):
    assert [(code, column)] == [(one.code, one.column) for one in found(more)]


def test_the_nearest_key_of_a_rule_is_named(found):
    (finding,) = found("[[pairs]]\nnevr = {}\nwith = {}")
    assert finding.hint == "did you mean never?"
    (finding,) = found("[[pairs]]\nif = {catgory = 'x'}\nwith = {}")
    assert finding.hint == "did you mean category?"


def test_two_rules_of_one_name_are_refused(found):
    more = "[[limits]]\nname='a'\nmost=1\n[[alike]]\nname='a'\ncolumn='b'"
    assert places(found(more)) == [("repeated-rule-name", "limits and alike", "a")]


def test_a_price_in_a_rule_is_no_finer_than_the_currency(found):
    more = "[[limits]]\nmost = 1\nwhere = {max_price = '1.005'}"
    assert places(found(more)) == [
        ("finer-than-currency", 'limits "limits 1".where.max_price', "1.005")
    ]
