"""The addresses of the page: they hold the catalogue and the brief, so that they can be sent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from urllib.parse import quote_plus

from kitsolver.brief.brief import Brief
from kitsolver.brief.brief_text import settings_of
from kitsolver.brief.reading import brief_of
from kitsolver.brief.settings import setting, with_changes
from kitsolver.shop.money import to_text

CATALOGUE, SKIP, TO, MADE_ON = "catalogue", "skip_bad_rows", "to", "made_on"
WAY, COPIES, COLUMNS, HELD = "way", "copies", "columns", "held"
HOME, SEEN = "home_list", "seen"
MOST_COPIES = 10_000
SOURCE = "the address"


@dataclass(frozen=True)
class Address:
    """What an address asks for.

    Parameters
    ----------
    settings : mapping of str to str
        All that the brief says beside the defaults; empty if nothing is asked yet.
    catalogue : str
        The digest of the catalogue; blank for the one the page was started with.
    skip_bad_rows : bool
        Whether its rows with errors are left out.
    to : str
        The upper end of the ladder; blank for twice the cap.
    made_on : str
        The digest of the catalogue that the page had as its own when it made the address; blank
        where `catalogue` is named, and in addresses made by hand.
    way : str
        Whom the kit is for, which decides with which sentence the form begins.
    copies : int
        How many such kits the shop puts together.
    columns : str
        The digest of the map by which the catalogue is read; blank for none.
    held : str
        The parameters of another kit, which is set beside this one; blank for none.
    home : str
        The digest of the home list; blank for none.
    seen : str
        The sum and the skus of the kit that was shown when the address was sent; else blank.
    """

    settings: Mapping[str, str]
    catalogue: str = ""
    skip_bad_rows: bool = False
    to: str = ""
    made_on: str = ""
    way: str = ""
    copies: int = 1
    columns: str = ""
    held: str = ""
    home: str = ""
    seen: str = ""

    @classmethod
    def read(cls, parameters: Iterable[tuple[str, str]]) -> Address:
        """Return what the parameters of an address say; of several alike the last counts."""
        given = dict(parameters)
        return cls(
            catalogue=given.pop(CATALOGUE, ""),
            skip_bad_rows=bool(given.pop(SKIP, "")),
            to=given.pop(TO, ""),
            made_on=given.pop(MADE_ON, ""),
            way=given.pop(WAY, ""),
            columns=given.pop(COLUMNS, ""),
            held=given.pop(HELD, ""),
            home=given.pop(HOME, ""),
            seen=given.pop(SEEN, ""),
            copies=copies_in(given.pop(COPIES, "")),
            settings=given,
        )

    @property
    def brief(self) -> Brief:
        """The brief; what somebody wrote is read, which is for a worker process to do.

        Raises
        ------
        BadInput
            With every finding.
        """
        sets = (f"{key}={value}" for key, value in self.settings.items())
        return brief_of(with_changes({}, sets, source=SOURCE), SOURCE)

    def asking(self, brief: Brief) -> Address:
        """Return the address of another brief for the same catalogue and ladder."""
        return replace(self, settings=dict(settings_of(brief)))

    def at(self, cap: int, brief: Brief, to: int) -> Address:
        """Return the address of the same brief at another cap, on the same ladder."""
        settings = {key: text for key, text in self.settings.items() if key != "cap_per_head"}
        settings["cap"] = to_text(cap, brief.currency)
        return replace(self, settings=settings, to=to_text(to, brief.currency))

    def choosing(self, **lists: Iterable[str]) -> Address:
        """Return the address with other lists of skus that are kept, left out or owned."""
        settings = dict(self.settings)
        for name, skus in lists.items():
            key, _, value = setting(("choose", name), list(skus)).partition("=")
            settings.pop(key, None)
            if value != "[]":
                settings[key] = value
        return replace(self, settings=settings)

    def having(self, need: str) -> Address:
        """Return the address with a need that is at home."""
        key, _, value = setting(("needs", need, "have"), True).partition("=")
        return replace(self, settings={**self.settings, key: value})

    def holding(self) -> Address:
        """Return the address that holds its own kit beside the next."""
        return replace(self, held=replace(self, held="").query)

    def ways(self) -> Iterator[tuple[str, str]]:
        """Yield every way in with the address that changes to it, and keeps what is said."""
        for way in ("one", "class", "bundles"):
            settings = dict(self.settings)
            if way != "class":
                # One kit has no heads; what it may cost is then said for it alone.
                settings.pop("heads", None)
                settings.pop("spare", None)
                if each := settings.pop("cap_per_head", None):
                    settings["cap"] = each
            copies = self.copies if way == "bundles" else 1
            yield way, replace(self, settings=settings, way=way, copies=copies).href()
        yield "several", replace(self, way="", copies=1).href("/several")

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """The parameters."""
        own = (
            (CATALOGUE, self.catalogue),
            (SKIP, "yes" * self.skip_bad_rows),
            (COLUMNS, self.columns),
            (TO, self.to),
            (MADE_ON, self.made_on),
            (WAY, self.way),
            (COPIES, str(self.copies) if self.copies > 1 else ""),
            (HELD, self.held),
            (HOME, self.home),
            (SEEN, self.seen),
        )
        return [*((key, value) for key, value in own if value), *self.settings.items()]

    @property
    def query(self) -> str:
        """The part of the address after its question mark."""
        return encoded(self.pairs)

    def href(self, path: str = "/", **more: str) -> str:
        """Return the address of one of the page's views."""
        parts = (self.query, encoded(more.items()))
        return f"{path}?{'&'.join(part for part in parts if part)}"


def encoded(pairs: Iterable[tuple[str, str]]) -> str:
    """Return parameters as they stand after the question mark of an address."""
    return "&".join(_encoded(key, value) for key, value in pairs)


# A view has a hundred addresses that differ in one parameter.
@lru_cache(1024)
def _encoded(key: str, value: str) -> str:
    return f"{quote_plus(key)}={quote_plus(value)}"


def copies_in(text: str, otherwise: int = 1) -> int:
    """Return a number of copies; `otherwise` for anything that is none."""
    text = text.strip()
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else otherwise
    return min(MOST_COPIES, max(1, number))
