"""The colours of a chart, with stitches, kind, strands and backstitch, from its cells."""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from itertools import repeat

from kitsolver.craft.lengths import CM
from kitsolver.craft.thread import NO_LINES, USUAL_KIND, Charted

_made_of = partial(tuple.__new__, Charted)


def charted(colours: str, kinds: str = "", strands: str = "") -> tuple[Charted, ...]:
    """Return the colours of a chart, in its order.

    Parameters
    ----------
    colours : str
        ``#rrggbb:stitches``, or with the length of backstitch in cm behind, parted by ``;``.
    kinds, strands : str
        For each colour the kind of thread and the number of strands, parted by ``;``; blank where
        the chart does not give them.
    """
    parts = colours.lower().replace(";", ":").split(":")
    of_two = len(parts) == 2 * (colours.count(";") + 1) == 2 * colours.count(":")
    if of_two and not (kinds or strands or "." in colours or " " in colours):
        # Charts of nothing else are read in bulk: a large shop has a hundred thousand colours.
        stitches = map(int, parts[1::2])
        same = repeat(USUAL_KIND), repeat(None), repeat(NO_LINES)
        return tuple(map(_made_of, zip(parts[::2], stitches, *same, strict=False)))
    entries = [entry.strip().split(":") for entry in colours.split(";")]
    said = [word.strip() for word in kinds.split(";")] if kinds else [USUAL_KIND] * len(entries)
    plies = [int(number) for number in strands.split(";")] if strands else [None] * len(entries)
    return tuple(
        [
            Charted(
                entry[0].lower(),
                _stitches(entry[1]),
                kind,
                number,
                Fraction(entry[2]) * CM if len(entry) > 2 else NO_LINES,
            )
            for entry, kind, number in zip(entries, said, plies, strict=True)
        ]
    )


def _stitches(text: str) -> int | Fraction:
    return Fraction(text) if "." in text else int(text)
