"""The findings of what is handed in to the page or the API."""

from __future__ import annotations

from kitsolver.shop.findings import Finding


class TooManyBytes(Finding):
    """What was handed in is larger than the page takes."""

    says = "This is larger than the page takes: {detail}."
    mend = "hand in a smaller file, or use the command line, which takes any"


class TooManyRows(Finding):
    """A catalogue that was handed in has more rows than the page takes."""

    says = "This has more rows than the page takes: {detail}."
    mend = "hand in fewer rows, or use the command line, which takes any number"


class CatalogueForgotten(Finding):
    """An address names a catalogue that is not kept: it was handed in long ago, or elsewhere."""

    says = "The catalogue of this address is not at hand."
    mend = "hand the file in again; what is asked stays in the address"


class NotUnderstood(Finding):
    """A request to the page or the API lacks something, or has it in another form."""

    says = "{detail}."
    mend = "the API's own description is at /api/openapi.json"


class HomeListNamed(Finding):
    """A brief on the page names a file or a database as its home list, which nobody hands in."""

    says = "{column} names a file or a database, and the page reads none by its name."
    mend = "hand the home list in as a file"


class SumTooFine(Finding):
    """A sum in a request has more decimals than its currency."""

    says = "The sum is finer than the brief's currency goes."


class NotACount(Finding):
    """How many people, bundles or kits there are is no whole number."""

    says = "{value} is no whole number of people, bundles or kits."
    mend = "write it in digits, such as 12"


class TwoNumbers(Finding):
    """A number was typed into the form that can be read in two ways."""

    says = "{value} may be read in two ways: {detail}."
    mend = "choose which is meant, or write it without a mark for thousands"


class ColumnTwice(Finding):
    """Two columns of goods that were handed in are said to be the same one of ours."""

    says = "More than one column is said to be {value}."
    mend = "choose one of them, and leave the other as it is"


class NoSum(Finding):
    """The end of the ladder in an address is no sum of the brief's currency."""

    says = "This is no sum in the brief's currency."
    mend = "write it such as 25.00"


class NotEnoughInStock(Finding):
    """The stock does not make as many copies of a kit as a sheet is asked for."""

    says = "The stock does not make so many copies: {detail}."
    mend = "ask for fewer copies, or use kitsolver range, which finds kits that the stock makes"


class LadderUpsideDown(Finding):
    """A request asks for a ladder that begins above its end."""

    says = "The lowest cap is above the highest."


class FolderUnusable(Finding):
    """The folder in which the page is to keep goods and kits cannot be used."""

    says = "Nothing can be kept there: {detail}."
    mend = "name a folder that may be written to, or one that does not exist yet"


class PortTaken(Finding):
    """The page cannot be served where it was asked for."""

    says = "Something else is served there, or may not be."
    mend = "name another, for example --port 0 for any that is free"
