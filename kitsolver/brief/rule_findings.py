"""The findings of ranges and of rules of one's own, by themselves and against a catalogue."""

from kitsolver.shop.findings import Finding


class UnknownRule(Finding):
    """A setting names a rule of one's own that the brief does not have."""

    says = "The brief has no rule {value} among its {column}."
    mend = "{detail}"


class RepeatedRuleName(Finding):
    """Two rules of one's own have the same name, by which they are told and set."""

    says = "Two rules of the brief have the name {value}."
    mend = "give each a name of its own"


class UnknownRuleCategory(Finding):
    """A rule of one's own names a category that the catalogue does not have today."""

    warning = True
    says = "The catalogue has no category {value}, which {column} names."
    mend = "{detail}"


class NotNumeric(Finding):
    """A brief compares or adds up a column that holds no numbers."""

    says = "{column} names {value}, which {detail}."
    mend = "name a column of numbers"


class TextAmongNumbers(Finding):
    """A cell of a column that a brief compares or adds up is no number."""

    says = "{value} is no number of at most six decimals, and {detail} looks at it."
    mend = "write digits with an optional point, or leave it blank"


class BlankInLimit(Finding):
    """A row that could be offered has nothing in a column that a limit adds up."""

    says = "{value} has no {column}, which the limit {detail} adds up."
    mend = 'fill it in, or write blank = 0 or blank = "leave out" in the limit'
