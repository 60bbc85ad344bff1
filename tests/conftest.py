"""Fixtures for all tests."""

import pytest
from instances.read import read_instance


@pytest.fixture
def draw(tmp_path):
    """Draw a random instance by its seed, and read it."""

    def draw(seed, **switches):
        return read_instance(tmp_path, seed, **switches)

    return draw
