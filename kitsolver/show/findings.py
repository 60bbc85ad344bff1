"""Findings on the terminal: one by one, alike ones told as one, or summed up in a line."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from rich.console import Console
from rich.text import Text

from kitsolver.shop.findings import Finding

# Up to so many findings of one kind are told one by one, and so are those of one file in a summary.
FEW = 3
# Of alike findings so many rows, and so many values, are named.
_ROWS_NAMED = 8
_VALUES_NAMED = 3
# A summary names so many kinds of findings.
_KINDS_NAMED = 3


def show_findings(findings: Iterable[Finding], console: Console) -> None:
    """Print findings; those of one kind in one column of a file are told as one if they are many.

    A group stands where its first finding does.
    """
    for group in _alike(findings):
        if len(group) > FEW:
            _show_group(group, console)
        else:
            show_each(group, console)


def show_each(findings: Iterable[Finding], console: Console, most: int | None = None) -> None:
    """Print findings one by one, each with its place and its hint; at most `most` of them."""
    every = list(findings)
    for finding in every[:most]:
        value = "" if finding.value is None else f": {finding.value!r}"
        _show(finding, f"{finding.place}{value}", finding.hint, [], console)
    if most is not None and len(every) > most:
        console.print(f"and {len(every) - most} more", highlight=False)


def show_summary(findings: Iterable[Finding], console: Console) -> None:
    """Print one line for each file that has many findings, and the findings of other files."""
    by_file: dict[str, list[Finding]] = {}
    for finding in findings:
        by_file.setdefault(finding.file, []).append(finding)
    for file, found in by_file.items():
        if len(found) > FEW:
            console.print(Text(summary(file, found)), soft_wrap=True)
        else:
            show_each(found, console)


def summary(file: str, findings: Sequence[Finding]) -> str:
    """Return how many findings of which kinds a file has, in one line."""
    errors = sum(not finding.warning for finding in findings)
    warnings = sum(finding.level == "warning" for finding in findings)
    kinds = Counter((finding.code, finding.column) for finding in findings)
    named = [
        f"{code} in {column} {number:,}" if column else f"{code} {number:,}"
        for (code, column), number in kinds.most_common(_KINDS_NAMED)
    ]
    named += ["others"] if len(kinds) > _KINDS_NAMED else []
    counts = [_counted(errors, "error"), _counted(warnings, "warning")]
    told = " and ".join(count for count in counts if count)
    return f"{file}: {told} ({', '.join(named)}); kitsolver check shows them"


def _alike(findings: Iterable[Finding]) -> Iterable[list[Finding]]:
    """Return the findings by kind, file and column, each group where its first one stands."""
    groups: dict[tuple[type[Finding], str, str | None], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((type(finding), finding.file, finding.column), []).append(finding)
    return groups.values()


def _show_group(group: Sequence[Finding], console: Console) -> None:
    """Print how many alike findings there are, the first of them, and the rows where they are."""
    first = group[0]
    place = ", ".join(part for part in (first.file, first.column or "") if part)
    hint = first.hint
    if hint and any(finding.hint != hint for finding in group):
        hint = f"{hint} (so for {first.value!r})"
    _show(first, f"{place}: {len(group):,} findings", hint, list(_where(group)), console)


def _where(group: Sequence[Finding]) -> Iterator[str]:
    """Yield in which rows alike findings are, and which values other than the first one they have.

    Each is a line.
    """
    rows = list(dict.fromkeys(f.row for f in group if f.row is not None))
    if rows:
        yield f"in rows {_listed(map(str, rows), _ROWS_NAMED, len(rows))}"
    values = dict.fromkeys(f.value for f in group if f.value)
    if len(values) > 1:
        yield f"values {_listed(map(repr, values), _VALUES_NAMED, len(values))}"


def _listed(texts: Iterable[str], most: int, number: int) -> str:
    """Return the first texts, and how many of them there are beyond these."""
    rest = f" and {number - most:,} more" if number > most else ""
    return f"{', '.join(islice(texts, most))}{rest}"


def _show(finding: Finding, place: str, hint: str, more: Sequence[str], console: Console) -> None:
    """Print the level, code and sentence of a finding, what more is told of it, and a hint."""
    style = "yellow" if finding.warning else "red"
    console.print(
        Text(f"{finding.level} ({finding.code}) ", style=style) + Text(place, style="bold"),
        soft_wrap=True,
    )
    for line in (finding.sentence, *more):
        console.print(Text(f"  {line}"), soft_wrap=True)
    if hint:
        console.print(Text(f"  hint: {hint}"), soft_wrap=True)


def _counted(number: int, what: str) -> str:
    if not number:
        return ""
    return f"1 {what}" if number == 1 else f"{number:,} {what}s"
