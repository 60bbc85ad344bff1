"""A brief that ends the worker process that receives it, a given number of times."""

import os
from pathlib import Path


class LethalBrief:
    """Stands for a brief. Whoever unpickles it dies; after `deaths` deaths it is the brief itself.

    The file `tally` holds a letter for each death, as the dead process can remember nothing.
    """

    def __init__(self, brief, tally, deaths):
        self.brief, self.tally, self.deaths = brief, tally, deaths
        self.currency = brief.currency

    def __reduce__(self):
        return _unpickled, (self.brief, self.tally, self.deaths)


def _unpickled(brief, tally, deaths):
    path = Path(tally)
    died = path.stat().st_size if path.exists() else 0
    if died < deaths:
        with path.open("a") as file:
            file.write("x")
        os._exit(9)
    return brief
