"""The columns that rows of one category use: charts, fabric, thread, needles, hoops.

To add such a column, add an entry to `goods_columns`.
"""

from __future__ import annotations

from operator import add, mul

from kitsolver.craft import lengths
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop import catalogue_findings
from kitsolver.shop.columns import cells
from kitsolver.shop.columns.column import Column, Joined, Size
from kitsolver.shop.columns.number_cells import Number

# More than any shop needs, and small enough for sums and products to stay within 64 bits.
MOST = 1_000_000

# Columns of charts with one entry for each colour of the chart.
FOR_EACH_COLOUR = ("colour_kinds", "colour_strands")

# The size of fabric off the roll, which is cut to any height.
ROLL = Size("fabric", (("width_cm",), ("width_in",)))
SIZES = (
    Size("fabric", (("width_cm", "height_cm"), ("width_in", "height_in"))),
    Size("hoop", (("diameter_cm",), ("diameter_in",))),
)

JOINED = (
    Joined("width", "fabric", add, ("width_cm", "width_in")),
    Joined("height", "fabric", add, ("height_cm", "height_in")),
    Joined("diameter", "hoop", add, ("diameter_cm", "diameter_in")),
    Joined("skein_length", "thread", mul, ("skein_m", "strands")),
)


def _length(
    name: str, held: int, category: str, blank: int = 0, *, meaning: str, example: str
) -> Column:
    return Column(
        name,
        Number(MOST, held=held, decimals=lengths.MOST_DECIMALS),
        blank,
        (category,),
        shelved=blank > 0,
        meaning=meaning,
        example=example,
        unit=name.rpartition("_")[2],
    )


def goods_columns() -> tuple[Column, ...]:
    """Return the columns that rows of one category use."""
    whole = Number(MOST)
    fine = Number(MOST, held=10_000, decimals=4)
    blank = catalogue_findings.BlankCell
    return (
        Column(
            "stitches_wide",
            whole,
            blank,
            ("chart",),
            meaning="The width of the design.",
            example="60",
            unit="stitches",
        ),
        Column(
            "stitches_high",
            whole,
            blank,
            ("chart",),
            meaning="The height of the design.",
            example="56",
            unit="stitches",
        ),
        Column(
            "colours",
            cells.chart_colours,
            catalogue_findings.ChartWithoutColours,
            ("chart",),
            meaning="Each colour with its stitches, and centimetres of backstitch if there is.",
            example="#ff8a53:652;#1f2223:108:12.5",
        ),
        Column(
            "colour_kinds",
            cells.listed(cells.lower_line),
            "",
            ("chart",),
            meaning="For each colour in order the kind of thread.",
            example="cotton;metallic",
        ),
        Column(
            "colour_strands",
            cells.listed(Number(100)),
            "",
            ("chart",),
            meaning="For each colour in order the strands in the needle.",
            example="2;1",
            unit="strands",
        ),
        Column(
            "weave",
            cells.weave,
            blank,
            ("fabric",),
            meaning="The weave, which decides the effective count.",
            example="aida",
        ),
        Column(
            "count",
            fine,
            blank,
            ("fabric",),
            meaning="The count.",
            example="14",
            unit="threads per inch",
        ),
        _length(
            "width_cm",
            lengths.CM,
            "fabric",
            meaning="The width of a piece, or of the roll.",
            example="30",
        ),
        _length("height_cm", lengths.CM, "fabric", meaning="The height of a piece.", example="35"),
        _length(
            "width_in",
            lengths.INCH,
            "fabric",
            meaning="The width of a piece, or of the roll.",
            example="12",
        ),
        _length(
            "height_in", lengths.INCH, "fabric", meaning="The height of a piece.", example="14"
        ),
        Column(
            "sold_by",
            cells.sold_by,
            0,
            ("fabric",),
            meaning="Whether a unit is a piece, or a step off the roll.",
            example="length",
        ),
        _length(
            "smallest_cm",
            lengths.CM,
            "fabric",
            10 * lengths.CM,
            meaning="Off the roll, the smallest cut.",
            example="20",
        ),
        _length(
            "step_cm",
            lengths.CM,
            "fabric",
            10 * lengths.CM,
            meaning="Off the roll, the step by which it is cut.",
            example="5",
        ),
        Column(
            "colours",
            cells.fabric_colour,
            "",
            ("fabric",),
            meaning="The fabric's own colour.",
            example="#fdfdfb",
        ),
        Column(
            "colours",
            cells.listed(cells.colour),
            blank,
            ("thread",),
            meaning="One colour for a single, several for a pack with a skein of each.",
            example="#feb596",
        ),
        Column(
            "skein_m",
            fine,
            8 * fine.held,
            ("thread",),
            shelved=False,
            meaning="The length of a skein.",
            example="8",
            unit="m",
        ),
        Column(
            "strands",
            Number(1_000),
            6,
            ("thread",),
            meaning="The strands of a skein.",
            example="6",
            unit="strands",
        ),
        Column(
            "kind",
            cells.lower_line,
            USUAL_KIND,
            ("thread",),
            meaning="The kind of thread.",
            example="metallic",
        ),
        Column(
            "needle_sizes",
            cells.listed(whole),
            blank,
            ("needle",),
            meaning="The tapestry sizes.",
            example="24;26",
        ),
        _length("diameter_cm", lengths.CM, "hoop", meaning="The inner diameter.", example="15"),
        _length("diameter_in", lengths.INCH, "hoop", meaning="The inner diameter.", example="6"),
    )
