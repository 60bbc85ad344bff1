"""The columns of a catalogue. To add one that every row may use, add an entry to `columns`."""

from __future__ import annotations

from functools import cache

from kitsolver.craft import lengths
from kitsolver.shop import catalogue_findings, money
from kitsolver.shop.catalogue import NOT_GIVEN, RATE_UNIT, UNLIMITED
from kitsolver.shop.columns import bulk, cells
from kitsolver.shop.columns.column import Column
from kitsolver.shop.columns.goods_columns import MOST, goods_columns
from kitsolver.shop.columns.number_cells import Number

# As MOST, for sums of money and for stock.
_MOST_MONEY = 1_000_000_000


def _aperture(unit: int) -> cells.Aperture:
    return cells.Aperture(Number(MOST, held=unit, decimals=lengths.MOST_DECIMALS))


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
    whole = Number(MOST)
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
        *goods_columns(),
    )


# A home list's own column: the metres of thread that are left.
LEFT = "left_m"
REQUIRED = tuple(c.name for c in columns() if c.required and not c.categories)
KNOWN = frozenset(c.name for c in columns())
NUMERIC = frozenset(c.name for c in columns() if isinstance(c.reads, Number))
# Columns of whole numbers.
WHOLE = frozenset(c.name for c in columns() if isinstance(c.reads, Number) and not c.reads.decimals)
# Columns whose cells are lists, parted by semicolons.
LISTS = frozenset({"colours", "colour_kinds", "colour_strands", "needle_sizes", "tags"})
