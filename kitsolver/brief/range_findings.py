"""The findings of a range of kits."""

from kitsolver.shop.findings import Finding


class EmptyRange(Finding):
    """A range asks for no kit at all."""

    says = "The range asks for no kit."
    mend = "write a table [[kits]] for each, with a name"


class RepeatedKitName(Finding):
    """Two kits of a range have one name."""

    says = "Several kits of the range have the name {value}."
    mend = "give each a name of its own"


class UnusableKitName(Finding):
    """A kit's name is the name of its sheet's file, and must do for one on any system."""

    says = "{value} cannot be the name of a sheet: {detail}."
    mend = "use letters, digits, hyphens and underscores"


class OtherCurrency(Finding):
    """A kit's brief is in another currency than its range."""

    says = "{column} is {value}, which is not the range's currency."
    mend = "all kits of a range are in one currency"


class HomeListInRange(Finding):
    """A kit of a range names a home list, and a range is made from the shop's stock."""

    says = "{column} names what a buyer has at home, and a range is made from the shop's stock."
    mend = "take it out, and pick each buyer's kit by itself"


class WeighedTogether(Finding):
    """Kits are compared jointly by quality and extras apart, which a brief weighs together."""

    says = '{column} is "together", and kits that are best together count extras apart.'
    mend = 'write spend = "leftover" there, or plan = "in order" for the range'


class UnknownDistinct(Finding):
    """A category that is to be distinct is in no row of the catalogue."""

    warning = True
    says = "The catalogue has no category {value}, which {column} names."
    mend = "{detail}"
