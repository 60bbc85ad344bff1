"""The kinds of finding a saved kit can give."""

from kitsolver.shop.findings import Finding


class UnreadableKit(Finding):
    """The saved kit cannot be opened as a file."""

    says = "The saved kit cannot be read: {detail}."
    mend = "check the path"


class NotASavedKit(Finding):
    """The file is no kit as `pick --json` writes it."""

    says = "The file is no saved kit: {detail}."
    mend = "save one with kitsolver pick --json"


class OtherSchema(Finding):
    """The kit was saved in a form that this version does not read."""

    says = "The kit was saved in the form {value}, and this version reads {detail}."
    mend = "pick the kit again with this version"


class NothingSaved(Finding):
    """The file tells that there was no kit, so that there is nothing to recheck."""

    says = "The file holds no kit: its status is {value}."
    mend = "ask kitsolver why there is none, with the same catalogue and brief"
