"""The findings of many briefs at once."""

from kitsolver.shop.findings import Finding


class NoBaseBrief(Finding):
    """A CSV of briefs only says what differs from a base brief, and none is named."""

    says = "The file lists changes to a brief, and no base brief is named."
    mend = "name it with --base BRIEF.toml"


class RepeatedBriefName(Finding):
    """Several briefs of a batch have one name, so their results would take each other's place."""

    says = "Several briefs have the name {value}: {detail}."
    mend = "give each a name of its own; capitals do not tell names apart"


class UnusableBriefName(Finding):
    """A brief's name is the name of its result's file, and must do for one on any system."""

    says = "{value} cannot be the name of a result: {detail}."
    mend = "use letters, digits, hyphens and underscores"


class TimeLimitTooShort(Finding):
    """The time limit of one brief of a batch passed before any kit was found."""

    says = "The time limit passed before any kit was found."
    mend = "give more time, for example --seconds 60"
