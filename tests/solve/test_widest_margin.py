"""No kit within a goods total has a wider margin than the bound says, and some kit has as wide."""

from fractions import Fraction

import pytest
from seeds import over_seeds

from kitsolver import brief_of, read_catalogue
from kitsolver.craft.lengths import CM
from kitsolver.solve.decomposition.search import by_chart
from kitsolver.solve.decomposition.widest_margin import widest_margin
from kitsolver.solve.presolve.find import find_candidates
from kitsolver.solve.time_limit import TimeLimit

HUNDREDTH = Fraction(CM, 100)
SHOP = """\
sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,width_cm,height_cm,stock
C1,Gull,chart,5.00,80,70,70,#112233:100,,,,,
C2,Tern,chart,6.00,80,35,35,#112233:100,,,,,
F1,Small,fabric,2.00,70,,,,aida,14,20,20,
F2,Large,fabric,9.00,70,,,,aida,14,40,40,1
T1,Dusk,thread,1.00,90,,,#112233,,,,,
"""


def with_margin(brief, hundredths):
    """Return a brief with another margin, in hundredths of a centimetre."""
    data = brief.model_dump(mode="json")
    fit = {"margin_cm": f"{hundredths / 100}", "margin_in": None}
    return brief_of(data | {"fit": data["fit"] | fit})


def bound(catalogue, brief, asked=2_000):
    """Return the bound of a brief's margin, in hundredths of a centimetre."""
    candidates = find_candidates(catalogue, with_margin(brief, 0))
    most = candidates.most_goods(brief.total_cap)
    return widest_margin(candidates, most, HUNDREDTH, asked, TimeLimit())


@pytest.mark.parametrize(
    ("cap", "heads", "hundredths"),
    [
        # Finished sides of 12.7 and 6.35 cm on 20 cm and 40 cm.
        (7_99, 1, -1),
        (8_00, 1, 3_65),
        (9_00, 1, 6_82),
        (14_99, 1, 6_82),
        (15_00, 1, 13_65),
        (16_00, 1, 16_82),
        # For each of four heads a chart and thread; the small fabric in one piece or four, and the
        # large one, of which there is one.
        (29_99, 4, -1),
        (30_00, 4, 1_82),
        (32_00, 4, 3_65),
        (35_99, 4, 3_65),
        (36_00, 4, 6_82),
        (90_00, 4, 6_82),
    ],
)
def test_a_small_shop_has_the_margin_that_money_buys(cap, heads, hundredths, tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP, encoding="utf-8")
    catalogue = read_catalogue(path, currency="EUR")
    asked = {"currency": "EUR", "cap": f"{cap / 100:.2f}", "heads": heads}
    brief = brief_of(asked | {"holds": ["chart", "fabric", "thread"]})
    assert bound(catalogue, brief) == hundredths
    for margin, there in ((hundredths, True), (hundredths + 1, False)):
        if margin >= 0:
            now = find_candidates(catalogue, with_margin(brief, margin))
            assert (by_chart(now) is not None) == there


@over_seeds(range(6100, 6130), quick=3)
def test_no_kit_has_a_wider_margin(seed, draw):
    instance = draw(seed, have=False)
    most = bound(instance.catalogue, instance.brief)
    for margin in (0, 50, 100, 200, 400, 800, 1_500):
        candidates = find_candidates(instance.catalogue, with_margin(instance.brief, margin))
        if by_chart(candidates) is not None:
            assert margin <= most
