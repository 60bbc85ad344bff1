"""The sentence that a visit begins with: what it says, and the brief that it asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kitsolver.page.address import Address, copies_in
from kitsolver.page.page_findings import NotACount, TwoNumbers
from kitsolver.page.wishes.typed_numbers import TwoReadings, read_number
from kitsolver.shop.findings import BadInput

# Whom a kit may be for. Several kits from one stock have a view of their own.
WAYS = ("one", "class", "bundles", "several")


@dataclass(frozen=True)
class Beginning:
    """What was filled into the sentence.

    Parameters
    ----------
    sum, currency : str
        What may be spent.
    way : str
        Whom it is for: one of WAYS.
    number : str
        How many people, bundles or kits.
    each : str
        ``each`` if the sum is meant for each of them.
    goods : str
        ``here`` or ``own``.
    """

    sum: str = ""
    currency: str = "EUR"
    way: str = "one"
    number: str = ""
    each: str = ""
    goods: str = "here"


def address_of(given: Beginning, plain: Address) -> Address:
    """Return the address of what a sentence asks for, on the catalogue of another address.

    Raises
    ------
    BadInput
        If the sum may be read in two ways, or the number is none.
    """
    amount = read_number(given.sum)
    if isinstance(amount, TwoReadings):
        detail = " or ".join(amount.readings)
        raise BadInput(
            [TwoNumbers(file="the sentence", column="cap", value=given.sum, detail=detail)]
        )
    settings = {"currency": given.currency.strip().upper()}
    number = copies_in(given.number, 0) if given.number.strip() else 0
    if given.way != "one" and given.number.strip() and not _is_whole(given.number):
        raise BadInput([NotACount(file="the sentence", column="heads", value=given.number[:40])])
    if given.way == "class":
        settings["cap_per_head" if given.each else "cap"] = amount
        settings["heads"] = str(max(1, number))
        return replace(plain, settings=settings, way="class")
    settings["cap"] = amount
    if given.way == "bundles":
        return replace(plain, settings=settings, way="bundles", copies=max(1, number))
    return replace(plain, settings=settings, way="one")


def _is_whole(text: str) -> bool:
    text = text.strip()
    return text.isascii() and text.isdigit() and int(text[:12]) > 0
