"""Small random instances, seeded, that meet many rules at once and lie near their boundaries."""

from .draw import instance
from .text import to_toml

__all__ = ["instance", "to_toml"]
