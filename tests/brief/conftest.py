"""Briefs for a shop of nothing in particular: the least that can be asked, and more."""

import pytest

from kitsolver import BadInput, read_brief

LEAST = 'currency = "EUR"\ncap = "30.00"\n'


def places(findings):
    return [(f.code, f.column, f.value) for f in findings]


@pytest.fixture
def read(tmp_path):
    """Write a brief, by default the least one with `more` after it, and read it."""

    def read(more="", *, least=LEAST, **options):
        path = tmp_path / "brief.toml"
        text = more if isinstance(more, bytes) else (least + more).encode()
        path.write_bytes(text)
        return read_brief(path, **options)

    return read


@pytest.fixture
def found(read):
    """Return the findings of a brief that cannot be used."""

    def found(*args, **options):
        with pytest.raises(BadInput) as bad:
            read(*args, **options)
        return bad.value.findings

    return found
