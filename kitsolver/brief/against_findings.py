"""The findings of briefs that are held against a catalogue."""

from kitsolver.shop.findings import Finding


class OwnedAndListed(Finding):
    """A sku is both owned and in the home list, which says how much of it there is."""

    says = "{value} is both owned and in the home list."
    mend = "take it out of choose.own, or out of the home list"


class HomeListUnread(Finding):
    """A brief names a home list, and the catalogue that it is held against has none."""

    says = "The brief names the home list {value}, and it was not read."
    mend = "read it: kitsolver.with_home_list in Python, --home SOURCE on the command line"


class UnknownSku(Finding):
    """A sku to keep or owned is not in the catalogue."""

    says = "The catalogue has no usable row of sku {value}, which {column} names."
    mend = "{detail}"


class UnknownLeftOut(Finding):
    """A sku to leave out is not in the catalogue, which changes nothing."""

    warning = True
    says = "The catalogue has no usable row of sku {value}, which {column} names."
    mend = "{detail}"


class UnknownCategory(Finding):
    """A category that neither the catalogue nor the craft knows."""

    says = "The catalogue has no category {value}, which {column} names."
    mend = "{detail}"


class UnknownExtraCategory(Finding):
    """A category for extras that the catalogue does not have today; the others still serve."""

    warning = True
    says = "The catalogue has no category {value}, which {column} names."
    mend = "{detail}"


class ExtraIsNeed(Finding):
    """A category for extras is a need, of which the kit holds exactly one choice anyway."""

    warning = True
    says = "{value} is a need of this brief, so no extra comes from it."
    mend = "take it out of {column}"


class NoScore(Finding):
    """A cell of a column by which a need is scored is no number."""

    says = "{value} is no number, and the brief scores rows by it."
    mend = "write digits with an optional point, or leave it blank for none"


class UnevenRoll(Finding):
    """A step of fabric off the roll does not come to whole minor units at its price for 10 cm."""

    says = "A step of {value} comes to no whole sum in {detail} at its price for 10 cm."
    mend = "change price or step_cm so that it does"


class UncostedRow(Finding):
    """A margin is asked for, and a row that could be bought has no trade cost."""

    says = "{value} has no trade_cost, and the brief asks for a margin."
    mend = 'fill it in, or write uncosted = "leave out" in [shop]'


class UnknownConditionColumn(Finding):
    """A condition names a column that the catalogue does not have."""

    says = "The catalogue has no column {value}, which {column} names."
    mend = "{detail}"


class ForeignColumn(Finding):
    """A condition names a column that no row of its category fills, for it is another's."""

    warning = True
    says = "No row that {column} is for has {value}, which is a column of {detail}."
    mend = "move the condition to the table of that category"


class OtherCurrencies(Finding):
    """The catalogue was read for prices in another currency than the brief's."""

    says = "The brief is in {value}, and the catalogue's prices are in {detail}."
    mend = "read the catalogue with the brief's currency, if its prices are in that currency"


class PriceFinerThanCurrency(Finding):
    """A price of the catalogue has more decimals than the brief's currency."""

    says = "The price of {value} is finer than {detail}."
    mend = "name the currency when reading the catalogue to see every such price"
