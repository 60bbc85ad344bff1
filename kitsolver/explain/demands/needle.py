"""Needle: one of its sizes suits the effective count of the fabric."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from kitsolver.brief.brief import Brief
from kitsolver.craft.fit import effective_count
from kitsolver.craft.needles import suiting
from kitsolver.explain.demands.explanation import Conflict, Obstacle, RuleExplanation
from kitsolver.explain.demands.fit import fitting_pairs
from kitsolver.explain.wording import count_text, listed, numbers_text
from kitsolver.shop.catalogue import Catalogue
from kitsolver.solve.candidates.candidate import Needle
from kitsolver.solve.rules import needle as rule

# A catalogue holds counts in ten-thousandths.
COUNT_UNIT = 10_000
# So many counts are told; a shop with more has all kinds of fabric.
_MOST_COUNTS = 4


def _obstacles(conflict: Conflict) -> Iterator[Obstacle]:
    """Tell which sizes the fabric takes and which sizes there are, where none suits."""
    candidates = conflict.alone.designs
    needles = [row for row in candidates.needs.get("needle", ()) if isinstance(row, Needle)]
    fit = candidates.brief.fit
    counts = {fabric.count for _, fabric in fitting_pairs(candidates)}
    if not needles or not counts:
        return
    if any(_suits(needle, count, fit.needle_table) for needle in needles for count in counts):
        return
    known = sorted(count for count in counts if count is not None)
    takes = [
        f"an effective count of {count_text(count)} takes size "
        f"{listed([str(size) for size in sorted(suiting(count, fit.needle_table))], 'or')}"
        for count in known[:_MOST_COUNTS]
    ]
    sizes = numbers_text({size for needle in needles for size in needle.sizes or ()})
    where = "the needle at home has" if not needles[0].sku else "the needles that are left have"
    yield Obstacle(f"{listed(takes)}, and {where} {sizes}", {"needle": True})


def _suits(
    needle: Needle, count: Fraction | None, table: Mapping[Fraction, frozenset[int]]
) -> bool:
    return needle.sizes is None or count is None or bool(needle.sizes & suiting(count, table))


def _bars(sku: str, brief: Brief, catalogue: Catalogue) -> Iterator[str]:
    """Tell of sizes that suit no fabric on sale, where fabric is bought."""
    row, fabrics = catalogue.row(sku), catalogue.rows.get("fabric")
    bought = "fabric" in brief.holds and not brief.need("fabric").have
    if row["category"] != "needle" or fabrics is None or not bought:
        return
    pairs = set(zip(fabrics["weave"], fabrics["count"].tolist(), strict=True))
    takes: set[int] = set()
    for weave, count in pairs:
        effective = effective_count(weave, Fraction(count, COUNT_UNIT), brief.fit.over)
        takes |= suiting(effective, brief.fit.needle_table)
    sizes = {int(size) for size in row["needle_sizes"].split(";")}
    if not sizes & takes:
        has = numbers_text(sizes)
        yield f"It has size {has}, and the fabric on sale takes size {numbers_text(takes)}."


EXPLANATION = RuleExplanation(rule.SuitingNeedle, obstacles=_obstacles, bars=_bars)
