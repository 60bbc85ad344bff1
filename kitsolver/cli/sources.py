"""Reading what a command works on: the catalogue, the brief, and sums on the command line."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any, Concatenate, ParamSpec, get_type_hints

import typer

from kitsolver.cli.command_errors import BAD_INPUT
from kitsolver.cli.console import console, print_error
from kitsolver.cli.options import (
    BriefFile,
    CatalogueFile,
    Columns,
    Home,
    HomeColumns,
    Reads,
    Sets,
    SkipBadRows,
)

if TYPE_CHECKING:
    from kitsolver.brief.brief import Brief
    from kitsolver.shop.catalogue import Catalogue
    from kitsolver.shop.maps.mapping import ColumnMap

P = ParamSpec("P")


@dataclass(frozen=True)
class Sources:
    """The arguments and options of every command that asks one brief of a catalogue."""

    catalogue: CatalogueFile
    brief: BriefFile
    sets: Sets = None
    columns: Columns = None
    reads: Reads = None
    skip_bad_rows: SkipBadRows = False
    home: Home = None
    home_columns: HomeColumns = None

    def read(
        self, cap: str | None = None, *, keep_written: bool = False
    ) -> tuple[Brief, Catalogue]:
        """Return the brief and the catalogue; warnings go to standard error.

        Parameters
        ----------
        cap : str, optional
            Replaces the brief's cap.
        keep_written : bool
            Keep the catalogue's rows as the shop writes them, too.

        Raises
        ------
        BadInput
            If one of them cannot be used.
        """
        from kitsolver.brief.home_source import with_home_list
        from kitsolver.brief.option_places import at_options, told_at_options
        from kitsolver.brief.reading import read_brief
        from kitsolver.brief.validate_against import validate_against
        from kitsolver.show.findings import show_findings

        sets = self.sets or []
        with told_at_options(self.brief, sets, cap):
            brief = read_brief(self.brief, sets=sets, cap=cap)
        mapping = column_map(self.columns, self.reads)
        catalogue = read_goods(
            self.catalogue,
            brief.currency,
            mapping,
            self.skip_bad_rows,
            keep_written=keep_written,
        )
        brief, catalogue, findings = with_home_list(
            catalogue,
            brief,
            folder=Path(self.brief).parent,
            home=self.home,
            home_columns=self.home_columns,
            skip_bad_rows=self.skip_bad_rows,
        )
        show_findings(findings, console(stderr=True))
        with told_at_options(self.brief, sets, cap):
            warnings = validate_against(brief, catalogue, self.brief)
        show_findings(at_options(warnings, self.brief, sets, cap), console(stderr=True))
        return brief, catalogue


def takes_sources(command: Callable[Concatenate[Sources, P], None]) -> Callable[..., None]:
    """Give a command the arguments and options of `Sources` before its own.

    The command gets them as its first parameter.
    """
    names = [field.name for field in fields(Sources)]
    own = inspect.signature(command).parameters.values()

    def gathered(**given: Any) -> None:
        sources = Sources(**{name: given.pop(name) for name in names})
        command(sources, **given)  # type: ignore[call-arg] # P is only known to hold its parameters

    # Typer reads the parameters of a command from its signature.
    shared = inspect.signature(Sources).parameters.values()
    parameters = (*shared, *list(own)[1:])
    required = [each for each in parameters if each.default is inspect.Parameter.empty]
    others = [each for each in parameters if each.default is not inspect.Parameter.empty]
    hints = get_type_hints(Sources, include_extras=True)
    hints |= {
        name: hint
        for name, hint in get_type_hints(command, include_extras=True).items()
        if name != "return"
    }
    gathered.__signature__ = inspect.Signature(  # type: ignore[attr-defined] # read by inspect
        [
            each.replace(annotation=hints[each.name], kind=inspect.Parameter.KEYWORD_ONLY)
            for each in (*required, *others)
        ]
    )
    gathered.__annotations__ = {each.name: hints[each.name] for each in parameters}
    gathered.__name__, gathered.__doc__ = command.__name__, command.__doc__
    return gathered


def read_goods(
    source: str,
    currency: str | None,
    mapping: ColumnMap | None,
    skip_bad_rows: bool,
    *,
    keep_written: bool = False,
) -> Catalogue:
    """Return the catalogue of a source; warnings go to standard error.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    from kitsolver.shop.reading import read_catalogue
    from kitsolver.show.findings import show_summary

    with catalogue_errors():
        catalogue = read_catalogue(
            source,
            currency=currency,
            skip_bad_rows=skip_bad_rows,
            mapping=mapping,
            keep_written=keep_written,
        )
    show_summary(catalogue.findings, console(stderr=True))
    return catalogue


@contextmanager
def catalogue_errors() -> Iterator[None]:
    """End the command if a catalogue has errors; if they are many, with one line about them.

    Raises
    ------
    BadInput
        If they are few.
    """
    from kitsolver.shop.findings import BadInput
    from kitsolver.show.findings import FEW, show_summary

    try:
        yield
    except BadInput as bad:
        if len(bad.findings) <= FEW:
            raise
        show_summary(bad.findings, console(stderr=True))
        print_error("  hint: mend them, or go on without these rows: --skip-bad-rows")
        raise typer.Exit(BAD_INPUT) from None


def column_map(columns: str | None, reads: list[str] | None) -> ColumnMap | None:
    """Return the map of columns that options name, if any.

    Parameters
    ----------
    columns : str, optional
        The map's file.
    reads : list of str, optional
        Keys of its table ``[file]`` with other values, as ``KEY=VALUE``.

    Raises
    ------
    BadInput
        If it cannot be used.
    """
    if columns is None and not reads:
        return None
    from kitsolver.shop.maps.mapping import ColumnMap, read_map

    found = None if columns is None else read_map(columns)
    return (found or ColumnMap()).reading(reads) if reads else found


def sum_of(text: str, brief: Brief, option: str) -> int:
    """Return a sum given on the command line, in the brief's minor units.

    Raises
    ------
    BadInput
        If it is no sum of the brief's currency.
    """
    from dataclasses import replace

    from kitsolver.brief.reading import with_settings
    from kitsolver.shop.findings import BadInput

    try:
        return with_settings(brief, cap=text).total_cap
    except BadInput as bad:
        found = [replace(one, file="the command", column=option) for one in bad.findings]
        raise BadInput(found) from None
