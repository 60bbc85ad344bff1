"""Fixtures for all tests."""

import pytest
from hypothesis import settings
from instances.read import read_instance

# An example that takes long on a busy machine is no failure.
settings.register_profile("no deadline", deadline=None)
settings.load_profile("no deadline")


@pytest.fixture
def draw(tmp_path):
    """Draw a random instance by its seed, and read it."""

    def draw(seed, **switches):
        return read_instance(tmp_path, seed, **switches)

    return draw
