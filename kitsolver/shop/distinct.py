"""The distinct values of a column, and for each row which of them it has."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

# Of more values pandas finds the distinct ones faster than a dictionary, its import counted in.
MANY = 1 << 15


def distinct(values: NDArray[Any]) -> tuple[NDArray[np.intp], NDArray[Any]]:
    """Return for each value the place of it among the distinct ones, and those.

    Parameters
    ----------
    values : array, shape (n,)
        Values that can be keys of a dictionary.

    Returns
    -------
    codes : array of int, shape (n,)
        Places.
    found : array
        The distinct values in the order in which they come first; None may come as NaN.
    """
    if len(values) > MANY:
        import pandas as pd

        return pd.factorize(values, use_na_sentinel=False)
    listed = values.tolist()
    every = dict.fromkeys(listed)
    place = dict(zip(every, range(len(every)), strict=True))
    codes = np.fromiter(map(place.__getitem__, listed), dtype=np.intp, count=len(listed))
    return codes, np.fromiter(every, dtype=values.dtype, count=len(every))
