"""A brief that ends the process it arrives in, as often as it is told to."""

import os
from pathlib import Path


class Deadly:
    """Stands for a brief; what is left of it after so many deaths is the brief itself."""

    def __init__(self, brief, tally, deaths):
        self.brief, self.tally, self.deaths = brief, tally, deaths
        self.currency = brief.currency

    def __reduce__(self):
        return _arrive, (self.brief, self.tally, self.deaths)


def _arrive(brief, tally, deaths):
    path = Path(tally)
    died = path.stat().st_size if path.exists() else 0
    if died < deaths:
        with path.open("a") as file:
            file.write("x")
        os._exit(9)
    return brief
