"""Numbers as people write them are refused with the way to write them."""

import pytest

from kitsolver import BadInput, brief_of
from kitsolver.brief.written_numbers import miswritten


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("30,00", ("number-with-comma", "30.00")),
        ("0,5", ("number-with-comma", "0.5")),
        ("1.234,50", ("number-with-comma", "1234.50")),
        ("1 234,50", ("number-with-comma", "1234.50")),
        ("1,234.50", ("number-with-comma", "1234.50")),
        ("1,234", ("number-with-comma", "1234 or 1.234")),
        ("1,234,567", ("number-with-comma", "1234567")),
        ("30 %", ("number-in-per-cent", "0.3")),
        ("100%", ("number-in-per-cent", "1")),
        ("7,5%", ("number-in-per-cent", "0.075")),
        ("30.00", None),
        ("thirty", None),
        ("1,2,3", None),
        (",5", None),
        ("1" * 50 + ",5", None),
        ("9" * 50 + " %", None),
    ],
)
def test_a_comma_or_a_per_cent_sign_is_recognised(text, told):
    assert miswritten(text) == told


@pytest.mark.parametrize(
    ("key", "value", "hint"),
    [
        ("cap", "30,00", "write 30.00"),
        ("heads", "2,0", "write 2.0"),
        ("till", {"discount_rate": "5 %"}, "write 0.05 if a rate is meant"),
        ("needs", {"fabric": {"max_price": "12,50"}}, "write 12.50"),
    ],
)
def test_the_finding_says_how_to_write_it(key, value, hint):
    with pytest.raises(BadInput) as bad:
        brief_of({"currency": "EUR", "cap": "30", key: value})
    (found,) = bad.value.findings
    assert found.hint == hint
