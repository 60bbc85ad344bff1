"""``kitsolver check``."""

from __future__ import annotations

from typing import Annotated

import typer

from kitsolver.cli.command_errors import BAD_INPUT, command_errors
from kitsolver.cli.console import console
from kitsolver.cli.options import CatalogueFile, Columns, Home, HomeColumns, JsonFile, Reads
from kitsolver.cli.results import write_json
from kitsolver.cli.sources import column_map


def check(
    catalogue: CatalogueFile,
    brief: Annotated[
        str | None, typer.Argument(metavar="[BRIEF]", help="Also hold this brief against it.")
    ] = None,
    currency: Annotated[
        str | None, typer.Option(metavar="CODE", help="The prices' currency, if no brief says it.")
    ] = None,
    columns: Columns = None,
    reads: Reads = None,
    home: Home = None,
    home_columns: HomeColumns = None,
    json: JsonFile = None,
    guess: Annotated[
        bool, typer.Option("--guess", help="Draft a map of the shop's own columns instead (TOML).")
    ] = False,
    most: Annotated[
        int | None, typer.Option("--most", min=0, help="Show the first so many findings singly.")
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="Show each finding by itself, however many are alike.")
    ] = False,
) -> None:
    """Show every finding in a catalogue.

    Many findings of one kind in one column are told as one; --all lists them.
    """
    with command_errors():
        from kitsolver.shop.sources.source_address import SourceAddress
        from kitsolver.show.all_findings import all_findings
        from kitsolver.show.findings import show_each, show_findings
        from kitsolver.show.skipped import skipped_sentences

        name = str(SourceAddress(catalogue))
        if guess:
            if brief is not None or columns is not None:
                message = "drafts a map, and takes no brief and no map beside it"
                raise typer.BadParameter(message, param_hint="--guess")
            from kitsolver.shop.guess.draft_toml import draft_toml
            from kitsolver.shop.guess.guess_source import guess_source
            from kitsolver.show.draft_record import draft_record

            draft = guess_source(catalogue, mapping=column_map(None, reads))
            if not write_json(json, draft_record(name, draft)):
                typer.echo(draft_toml(draft), nl=False)
            return
        if brief is None and (home is not None or home_columns is not None):
            raise typer.BadParameter("a home list is held to a brief", param_hint="--home")
        counts, findings = all_findings(
            catalogue,
            brief,
            currency,
            column_map(columns, reads),
            home=home,
            home_columns=home_columns,
        )
        only_data = False
        if json is not None:
            # The module of results' records takes as long to import as a catalogue to read.
            from kitsolver.show.json_record import findings_record

            only_data = write_json(json, findings_record(name, counts, findings))
        if not only_data:
            out = console()
            if every or most is not None:
                show_each(findings, out, most)
            else:
                show_findings(findings, out)
            errors = sum(not finding.warning for finding in findings)
            warnings = sum(finding.level == "warning" for finding in findings)
            for sentence in skipped_sentences(counts):
                out.print(sentence, highlight=False, soft_wrap=True)
            total = f"{name}: usable rows {counts.offered}, errors {errors}, warnings {warnings}"
            out.print(total, highlight=False, soft_wrap=True)
        if any(not finding.warning for finding in findings):
            raise typer.Exit(BAD_INPUT)
