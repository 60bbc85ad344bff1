"""A range as its file says it, and what is found wrong with one."""

import pytest

from kitsolver import BadInput
from kitsolver.brief.range import read_range

HEAD = 'currency = "EUR"\n'
ONE = '[[kits]]\nname = "one"\ncap = "20.00"\n'


@pytest.fixture
def asked(tmp_path):
    def read(text):
        path = tmp_path / "range.toml"
        path.write_text(text, encoding="utf-8")
        return read_range(path)

    return read


def test_what_holds_for_all_is_under_what_each_says(asked, tmp_path):
    (tmp_path / "base.toml").write_text(
        'currency = "EUR"\ncap_per_head = "9.00"\nheads = 2\n[needs.fabric]\nweight = 3\n',
        encoding="utf-8",
    )
    found = asked(
        HEAD
        + 'title = "Both"\ndistinct = ["chart"]\nplan = "in order"\n'
        + '[brief.needs.fabric]\nmax_price = "9.00"\n'
        + '[[kits]]\nname = "one"\ncopies = 4\nbrief = "base.toml"\nneeds.fabric.weight = 2\n'
        + '[[kits]]\nname = "two"\nbrief = "base.toml"\ncap = "30.00"\n'
    )
    assert (found.title, found.distinct, found.in_order) == ("Both", ("chart",), True)
    one, two = found.kits
    assert (one.name, one.copies, two.copies) == ("one", 4, 1)
    assert one.brief.total_cap == 1800
    assert two.brief.total_cap == 3000
    fabrics = [kit.brief.need("fabric") for kit in (one, two)]
    assert [str(fabric.weight) for fabric in fabrics] == ["2", "3"]
    assert {str(fabric.max_price) for fabric in fabrics} == {"9.00"}
    assert one.brief.title == "one"


@pytest.mark.parametrize(
    ("text", "code", "column"),
    [
        (ONE, "missing-key", "currency"),
        (HEAD, "missing-key", "kits"),
        (HEAD + "kits = []", "empty-range", "kits"),
        (HEAD + ONE + ONE, "repeated-kit-name", "kits.name"),
        (HEAD + "colour = 1\n" + ONE, "unknown-key", "colour"),
        (HEAD + 'plan = "apart"\n' + ONE, "bad-value", "plan"),
        (HEAD + ONE + "copies = 0\n", "bad-value", "kits.0.copies"),
        (HEAD + ONE + "neds = 1\n", "unknown-key", "kits.one.neds"),
        (HEAD + ONE + "copeis = 2\n", "unknown-key", "kits.one.copeis"),
        (HEAD + '[[kits]]\nname = "one"\n', "no-cap", "kits.one"),
        (HEAD + '[[kits]]\nname = "y"\ncurrency = "JPY"\ncap = 2\n', "other-currency", None),
        (HEAD + ONE + 'extras.spend = "together"\n', "weighed-together", "kits.one.extras.spend"),
        (HEAD + ONE + 'brief = "gone.toml"\n', "unreadable-brief", None),
    ],
)
def test_what_is_wrong_is_told_with_its_place(asked, text, code, column):
    with pytest.raises(BadInput) as bad:
        asked(text)
    (finding, *_) = bad.value.findings
    assert finding.code == code
    assert column is None or finding.column == column
