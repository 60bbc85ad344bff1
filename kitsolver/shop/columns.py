"""The columns of a catalogue. To add a column, add an entry to `columns`."""

from __future__ import annotations

from functools import cache
from operator import add, mul

from kitsolver.craft import lengths
from kitsolver.craft.thread import USUAL_KIND
from kitsolver.shop import bulk, catalogue_findings, cells, money
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, UNLIMITED
from kitsolver.shop.column import Column, Joined, Size
from kitsolver.shop.number_cells import Number

# Far more than any shop needs, and so little that sums and products stay within 64 bits.
_MOST_MONEY = 1_000_000_000
_MOST = 1_000_000


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
        Number(_MOST, held=held, decimals=lengths.MOST_DECIMALS),
        blank,
        (category,),
        shelved=blank > 0,
        meaning=meaning,
        example=example,
        unit=name.rpartition("_")[2],
    )


def _aperture(unit: int) -> cells.Aperture:
    return cells.Aperture(Number(_MOST, held=unit, decimals=lengths.MOST_DECIMALS))


@cache
def columns(currency: str | None = None) -> tuple[Column, ...]:
    """Return every column that is read, prices having the decimals of `currency`.

    Raises
    ------
    KeyError
        If `currency` is unknown.
    """
    decimals = money.MOST_DECIMALS if currency is None else money.exponent(currency)
    price = Number(
        _MOST_MONEY, 10**money.MOST_DECIMALS, decimals, positive=False, in_currency=currency or ""
    )
    whole = Number(_MOST)
    fine = Number(_MOST, held=10_000, decimals=4)
    blank = catalogue_findings.BlankCell
    return (
        Column(
            "sku",
            cells.line,
            blank,
            sound=bulk.lines,
            meaning="What the shop calls the row; unique in the catalogue.",
            example="CH-HERMIT",
        ),
        Column(
            "name",
            cells.line,
            blank,
            sound=bulk.lines,
            meaning="What people read.",
            example="Hermit Crab Moving House",
        ),
        Column(
            "category",
            cells.lower_line,
            blank,
            shelved=False,
            meaning="What the row is for.",
            example="chart",
        ),
        Column(
            "price",
            price,
            blank,
            meaning="The shelf price of a unit; off the roll, of 10 cm.",
            example="3.90",
            unit="the currency",
        ),
        Column(
            "quality",
            Number(100, held=100, decimals=2, positive=False),
            blank,
            meaning="How good the row is.",
            example="72.5",
            unit="0 to 100",
        ),
        Column(
            "stock",
            Number(_MOST_MONEY, positive=False),
            UNLIMITED,
            meaning="Units in stock.",
            example="12",
        ),
        Column(
            "serves", whole, 1, meaning="How many heads one unit serves.", example="6", unit="heads"
        ),
        Column(
            "trade_cost",
            price,
            NOT_GIVEN,
            meaning="What the shop pays for a unit.",
            example="1.80",
            unit="the currency",
        ),
        Column(
            "tax_rate",
            Number(1, held=RATE_UNIT, decimals=6, positive=False),
            NOT_GIVEN,
            meaning="The row's own tax rate, in place of the till's.",
            example="0.07",
            unit="0 to 1",
        ),
        Column(
            "download",
            cells.yes_or_no,
            0,
            meaning="Whether the goods are downloaded, and so not delivered.",
            example="yes",
        ),
        Column(
            "tags",
            cells.words,
            "",
            shelved=False,
            meaning="Words that conditions can ask for.",
            example="beginner;sea",
        ),
        Column(
            "line",
            cells.words,
            "",
            shelved=False,
            meaning="Rows of one category with the same text are the same goods in other packs.",
            example="gilt needles",
        ),
        Column(
            "gtin",
            cells.gtin,
            "",
            shelved=False,
            sound=bulk.gtins,
            meaning="The GS1 number, with its check digit.",
            example="2000000000008",
        ),
        Column(
            "opening_cm",
            _aperture(lengths.CM),
            "",
            meaning="The aperture of a frame or card; one number for a square or a circle.",
            example="10x15",
            unit="cm",
        ),
        Column(
            "opening_in",
            _aperture(lengths.INCH),
            "",
            meaning="The aperture of a frame or card; one number for a square or a circle.",
            example="4x6",
            unit="in",
        ),
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


REQUIRED = tuple(c.name for c in columns() if c.required and not c.categories)
KNOWN = frozenset(c.name for c in columns())
NUMERIC = frozenset(c.name for c in columns() if isinstance(c.reads, Number))
