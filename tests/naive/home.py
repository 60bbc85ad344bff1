"""What is at home (section 9 of the specification): units, and the thread of part-used skeins."""

import csv
import io
from fractions import Fraction

from .numbers import exact


def listed(text):
    """Read the rows of a home list by their sku."""
    rows = csv.DictReader(io.StringIO(text, newline=""))
    return {row["sku"].strip(): {k: v.strip() for k, v in row.items()} for row in rows}


def is_single(cells):
    return cells["category"] == "thread" and ";" not in cells["colours"]


def there(said, cells):
    """Give (units, metres) that are at home of a row; metres None of what is no single thread."""
    units = int(said.get("stock") or 1)
    if not is_single(cells):
        return units, None
    left = said.get("left_m")
    return 0, exact(left) if left else units * exact(cells["skein_m"] or 8)


def fewest_bought(whole, root, skein, pools, metres):
    """Give the fewest skeins to buy where each pool needs whole + root * sqrt(2) metres.

    Every number of last skeins that home lengths could stand for is tried, and every number of
    whole skeins beside them.
    """
    skeins = 1
    while not at_most(root, Fraction(skeins) * skein - whole):
        skeins += 1
    rest = whole - (skeins - 1) * skein
    saved = 0
    for parts in range(pools + 1):
        for more in range(pools * skeins - parts + 1):
            if at_most(parts * root, metres - parts * rest - more * skein):
                saved = max(saved, parts + more)
    return pools * skeins - saved


def at_most(root, bound):
    """Tell whether root * sqrt(2) is at most a bound; root is not below zero."""
    return bound >= 0 and 2 * root**2 <= bound**2


def spared(row, number):
    """Give how many of a number of skeins that no chart asks for are to be bought."""
    skein = exact(row.cells["skein_m"] or 8)
    return number - min(number, row.metres // skein)
