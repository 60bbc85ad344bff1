"""The findings of briefs by themselves."""

from kitsolver.shop.findings import Finding


class UnreadableBrief(Finding):
    """The brief cannot be opened as a file."""

    says = "The brief cannot be read: {detail}."
    mend = "check the path"


class BriefNotUtf8(Finding):
    """A brief is text in UTF-8."""

    says = "The brief is not UTF-8: {detail}."
    mend = "save it as UTF-8 text"


class NotToml(Finding):
    """The brief is not well-formed TOML."""

    says = "The brief is not well-formed TOML: {detail}."


class TableForBrief(NotToml):
    """Goods, or another table, stand where the brief belongs."""

    says = "The brief looks like a table, and is not TOML."
    mend = "name the catalogue first, and the brief after it"


class NotASetting(Finding):
    """An override on the command line is not of the form key=value."""

    says = "The setting {value} is not of the form key=value."
    mend = "write for example --set needs.fabric.max_price=14.00"


class UnusableSetting(Finding):
    """An override on the command line is longer or deeper than any key of a brief takes."""

    says = "The setting {value} cannot be used: {detail}."
    mend = "write such a key in the brief itself"


class UnknownKey(Finding):
    """A key that no brief has; it is refused, so that no wish is passed over in silence."""

    says = "The brief has no key {column}."
    mend = "{detail}"


class MissingKey(Finding):
    """A key without a default is absent."""

    says = "The brief lacks the key {column}."


class BadValue(Finding):
    """A value is not of the kind its key asks for."""

    says = "{column} {detail}."


class NumberWithComma(Finding):
    """A number of the brief, or of the command line, is written with a comma."""

    says = "{value} is written with a comma, and numbers have a point for their decimals."
    mend = "write {detail}"


class NumberInPerCent(Finding):
    """A number of the brief, or of the command line, is written with a per cent sign."""

    says = "{value} is written in per cent, and rates are shares of 1."
    mend = "write {detail} if a rate is meant"


class ImpossibleRate(Finding):
    """A rate or share is outside 0 to 1; a discount of 1 would give the goods away."""

    says = "{column} {detail}."
    mend = "write a share, for example 0.2 for 20 %"


class UnknownCurrency(Finding):
    """The currency is no alphabetic code of ISO 4217 with a minor unit."""

    says = "{value} is no currency of ISO 4217."
    mend = "write its three capital letters, for example EUR"


class FinerThanCurrency(Finding):
    """A sum has more decimals than the currency."""

    says = "{column} is finer than the currency: {detail}."
    mend = "round it to a sum that can be paid"


class TwoCaps(Finding):
    """Both cap keys are given."""

    says = "The brief has both cap and cap_per_head."
    mend = "keep one of them"


class NoCap(Finding):
    """Neither cap key is given."""

    says = "The brief has neither cap nor cap_per_head."
    mend = 'write for example cap = "30.00"'


class TwoMargins(Finding):
    """Both margin keys are given."""

    says = "The brief has both margin_cm and margin_in."
    mend = "keep one of them"


class NotANeed(Finding):
    """A table [needs.X] stands for a category that holds does not name."""

    says = "{column} is set, but {value} is no need of this brief."
    mend = "add it to holds, or take the table out; {detail}"


class RepeatedNeed(Finding):
    """A category stands twice in holds."""

    says = "holds names {value} twice."
    mend = "name it once"


class UnequalWeights(Finding):
    """One weight is so many times another that the two cannot be weighed together."""

    says = "The weights are too far apart to be weighed together."
    mend = "use weights from 0.01 to 100, or 0 for what does not count"


class FabricShared(Finding):
    """Fabric cannot be shared: every head gets a piece."""

    says = "Fabric cannot be shared, so {column} has no meaning."
    mend = "take the key out"


class KeptAndLeftOut(Finding):
    """A sku is both to be in the kit and not to be."""

    says = "{value} is both kept and left out."
    mend = "take it out of one list"


class OwnedAndLeftOut(Finding):
    """A sku is both owned and left out."""

    says = "{value} is both owned and left out."
    mend = "take it out of one list"


class HomeMapAlone(Finding):
    """A brief has a map for a home list, and names no home list."""

    says = "{column} is a map of a home list, and the brief names no such list."
    mend = 'write from = "cupboard.csv" beside it, or take the key out'


class ConditionsOfNeed(Finding):
    """A brief sets conditions for the extras of a category that is one of its needs."""

    says = "{column} sets conditions for extras, and {value} is a need of this brief."
    mend = "write them as [needs.{value}]"


class HalfAMargin(Finding):
    """A margin needs both the price that a kit is sold at and the share of it that is left."""

    says = "The brief asks for a margin and does not say {detail}."
    mend = "write both sell_at and margin_rate, or neither"
