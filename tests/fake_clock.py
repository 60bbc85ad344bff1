"""A clock on which time passes only as it is looked at: the same on every machine."""

from types import SimpleNamespace

from kitsolver.solve import time_limit


class FakeClock:
    """Goes on by a second each time it is looked at; `now` is how often that was."""

    def __init__(self, monkeypatch):
        self.now = 0
        monkeypatch.setattr(time_limit, "time", SimpleNamespace(monotonic=self._look))

    def _look(self):
        self.now += 1
        return float(self.now)
