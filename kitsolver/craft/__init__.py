"""The trade's arithmetic: pure functions of numbers."""
