"""The findings of a home list."""

from kitsolver.shop.findings import Finding


class RepeatedAtHome(Finding):
    """Several rows of a home list have the same sku."""

    says = "Several rows of the home list have the sku {value}: {detail}."
    mend = "list it once: stock counts its units, and left_m the metres left over all skeins"


class UnknownAtHome(Finding):
    """A row of a home list has a sku that the catalogue lacks, and does not say what it is."""

    says = "The catalogue has no goods of sku {value}, and the row does not say what they are."
    mend = "{detail}"


class OtherThanCatalogue(Finding):
    """A row of a home list says something else of goods than the catalogue does."""

    says = "{value} is not what the catalogue says of these goods: {detail}."
    mend = "leave the cell blank, or list other goods under another sku"


class ByLengthAtHome(Finding):
    """A row of a home list is of goods sold by length, of which a piece is at home."""

    says = "{value} is sold by length, and what is at home is a piece of it."
    mend = "list the piece under a sku of its own, with its width and height"


class RefusedAtHome(Finding):
    """The catalogue's row of the goods was refused, so nothing is known of them."""

    says = "The catalogue's row of {value} was refused, so it cannot be used from home either."
    mend = "correct that row of the catalogue"


class MetresOfOtherGoods(Finding):
    """A row of a home list gives the metres that are left of what is no single thread."""

    says = "{value} m are said to be left of what is no single thread."
    mend = "leave left_m blank, and count whole units in stock"
