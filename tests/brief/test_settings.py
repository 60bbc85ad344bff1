from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitsolver import brief_of, read_brief
from kitsolver.brief.brief_text import settings_of, toml_of
from kitsolver.brief.settings import setting, with_changes

DEMO = Path(__file__).parents[2] / "catalogues"

# Every kind of value that a brief can hold, and text that looks like another kind.
FULL = {
    "title": "30",
    "currency": "EUR",
    "cap_per_head": Decimal("18.50"),
    "heads": 3,
    "units": "in",
    "holds": ["chart", "fabric", "thread", "needle", "gift wrap"],
    "needs": {
        "chart": {"have": {"stitches_wide": 56, "stitches_high": 77, "colours": "#e8e0c8:620"}},
        "fabric": {
            "only": {"count": [14, Decimal("16.5")], "weave": ["aida"], "shelf": ["14", "true"]},
            "tags_none": ["stiff", 'the "odd" one'],
            "have": {"weave": "aida", "count": 14, "width_cm": 36, "height_cm": 43},
        },
        "thread": {"have": ["#e8e0c8"], "weight": 2},
        "gift wrap": {"max_price": "12.00"},
    },
    "extras": {"categories": [], "most": 0},
    "fit": {"margin_in": "2.50", "needles": {"12.5": [24, 26]}, "strands": 2},
    "till": {"discount_rate": "0.05", "tax_on_delivery": True, "rounding": "half-even"},
}


def read_again(brief):
    return brief_of(with_changes({}, (f"{key}={value}" for key, value in settings_of(brief))))


@pytest.mark.parametrize("name", ["bundle", "class-of-twelve", "gift-card"])
def test_the_demo_s_briefs_read_the_same_from_their_settings_and_as_toml(name, tmp_path):
    brief = read_brief(DEMO / f"{name}.toml")
    assert read_again(brief) == brief
    (tmp_path / "b.toml").write_text(toml_of(brief))
    assert read_brief(tmp_path / "b.toml") == brief


def test_every_kind_of_value_reads_the_same_again(tmp_path):
    brief = brief_of(FULL)
    assert read_again(brief) == brief
    (tmp_path / "b.toml").write_text(toml_of(brief))
    assert read_brief(tmp_path / "b.toml") == brief


def test_only_what_is_no_default_is_written():
    assert dict(settings_of(brief_of({"currency": "EUR", "cap": "30", "heads": 1}))) == {
        "currency": "EUR",
        "cap": "30",
    }
    assert toml_of(brief_of({"currency": "EUR", "cap": "30.00"})) == (
        'currency = "EUR"\ncap = "30.00"\n'
    )


@given(st.text())
def test_any_title_reads_the_same_again(title):
    brief = brief_of({"currency": "EUR", "cap": "1", "title": title})
    assert read_again(brief).title == title


@given(st.text(min_size=1), st.lists(st.text()))
def test_a_setting_gives_back_its_value_whatever_its_key(name, values):
    assert with_changes({}, [setting(["tables", name], values)]) == {"tables": {name: values}}
