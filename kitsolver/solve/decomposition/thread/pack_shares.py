"""How colours share what packs cost such that they score least.

The shares are found by dual ascent, one pack after the other, as it is done for the uncapacitated
facility location problem (Erlenkotter 1978, Operations Research 26(6):992-1009; recalled from
memory).
"""

from __future__ import annotations

from collections.abc import Mapping

# Sweeps over all packs, at the most; the bound falls with every one.
_SWEEPS = 6

# By pack and colour what the colour pays for a skein of it.
Shares = dict[tuple[str, int], int]
# By pack and colour the best score of its places, and the units that the colour takes.
Packs = Mapping[str, Mapping[int, tuple[int, int]]]


def share_prices(
    packs: Packs, price: Mapping[str, int], alone: list[int]
) -> tuple[list[int], Shares]:
    """Return what each colour scores at most, and what it pays for a unit of each pack.

    Parameters
    ----------
    packs : mapping of str to mapping of int to (int, int)
        By pack and colour the best score of its places, and the units that the colour takes.
    price : mapping of str to int
        By pack what a unit takes from the score.
    alone : list of int
        By colour the best score of its other places.
    """
    shares: Shares = {}
    # Packs that gain more than they cost, beside single places; no others pay for anybody.
    paying = {}
    for sku, users in packs.items():
        gains = [rounded_up(max(0, one - alone[c]), units) for c, (one, units) in users.items()]
        if sum(gains) > price[sku]:
            paying[sku] = users
        else:
            spare = (price[sku] - sum(gains)) // len(gains)
            shares |= {(sku, c): g + spare for c, g in zip(users, gains, strict=True)}
    return _ascend(paying, price, alone, shares), shares


def _ascend(paying: Packs, price: Mapping[str, int], alone: list[int], shares: Shares) -> list[int]:
    """Share the prices of packs that pay; return what each colour scores at most."""
    # What each colour scores with each of these packs, at what it pays.
    net: list[dict[str, int]] = [{} for _ in alone]
    for sku, users in paying.items():
        for colour, (score, units) in users.items():
            shares[sku, colour] = price[sku] // len(users)
            net[colour][sku] = score - shares[sku, colour] * units
    best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
    for _ in range(_SWEEPS):
        before = sum(best)
        for sku, users in paying.items():
            gains = []
            for colour, (score, units) in users.items():
                del net[colour][sku]
                other = max([alone[colour], *net[colour].values()])
                gains.append(max(0, score - other) // units)
            gained = sum(gains)
            spare = max(0, price[sku] - gained) // len(gains)
            for (colour, (score, units)), gain in zip(users.items(), gains, strict=True):
                share = gain * price[sku] // gained if gained > price[sku] else gain + spare
                shares[sku, colour] = share
                net[colour][sku] = score - share * units
        best = [max([one, *others.values()]) for one, others in zip(alone, net, strict=True)]
        if sum(best) == before:
            break
    return best


def rounded_up(number: int, divisor: int) -> int:
    """Return a quotient rounded up."""
    return -(-number // divisor)
