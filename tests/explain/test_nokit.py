"""Why there is no kit: every conflict and every mend held against the naive twin."""

import csv
import io
import shlex
from decimal import Decimal
from typing import NamedTuple

import pytest
from instances import instance, to_toml
from naive import best as naive_best
from seeds import over_seeds

from kitsolver import Brief, Catalogue, brief_of, pick, read_brief, read_catalogue
from kitsolver.brief.reading import with_settings
from kitsolver.explain.demands.cap import Cap
from kitsolver.explain.demands.registry import demands
from kitsolver.explain.no_kit.cheapest_kit import CheapestKitOracle
from kitsolver.explain.no_kit.relaxed_brief import RelaxedBrief
from kitsolver.explain.no_kit.why_no_kit import why_no_kit
from kitsolver.shop.money import to_text
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

CONFLICTS = [*range(60_000, 60_008), 60_009, *range(60_011, 60_037), 60_038, 60_039]
# With a mend of one key, and where less margin cannot make goods dearer.
MENDED = [
    *(60_000, 60_001, 60_002, 60_006, 60_012, 60_014, 60_016, 60_018, 60_023, 60_024, 60_026),
    *(60_033, 60_034, 60_035, 60_039),
]


def bare(value):
    """Return a dumped brief as the naive twin reads one: without blanks, decimals exact."""
    if isinstance(value, dict):
        return {key: bare(held) for key, held in value.items() if held is not None}
    if isinstance(value, list | tuple):
        return [bare(held) for held in value]
    return Decimal(str(value)) if isinstance(value, float) else value


def stocked(text):
    """Return a catalogue with nothing said of stock."""
    rows = list(csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline="")))
    written = io.StringIO(newline="")
    writer = csv.DictWriter(written, rows[0].keys())
    writer.writeheader()
    writer.writerows({**row, "stock": ""} for row in rows)
    return written.getvalue()


def oracle_of(catalogue, seconds=None):
    return CheapestKitOracle(catalogue, Solver.SCIP, TimeLimit(seconds))


class NoKitInstance(NamedTuple):
    """A drawn instance without a kit."""

    text: str
    catalogue: Catalogue
    brief: Brief


@pytest.fixture
def no_kit(tmp_path):
    """Draw an instance without a kit; where there is one, the cap is lowered below the cheapest."""

    def draw(seed):
        text, asked = instance(seed)
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(text, encoding="utf-8", newline="")
        brief.write_text(to_toml(asked), encoding="utf-8")
        read = read_brief(brief)
        catalogue = read_catalogue(shop, currency=read.currency)
        found = oracle_of(catalogue).least_paid(read.model_dump(mode="json"))
        if found is not None and found <= read.total_cap:
            assert found, "a kit costs nothing: no cap is too low"
            read = read.with_cap(found - 1)
        assert pick(catalogue, read).kit is None
        return NoKitInstance(text, catalogue, read)

    return draw


def possible(relaxed, text):
    """Tell whether the naive twin finds a kit for a relaxed brief."""
    goods = stocked(text) if relaxed.stocked else text
    cap = {} if relaxed.capped else {"cap": "100000", "cap_per_head": None}
    return any(naive_best(goods, bare({**data, **cap})) is not None for data in relaxed.variants)


@over_seeds(CONFLICTS, quick=5)
def test_a_conflict_is_one_and_none_of_its_demands_can_be_spared(no_kit, seed):
    text, catalogue, brief = no_kit(seed)
    asked, why = demands(brief, catalogue), why_no_kit(catalogue, brief)
    whole = RelaxedBrief.of(brief, oracle_of(catalogue))
    conflict = [one for one in asked if one.key in why.conflict]
    assert len(conflict) == len(why.conflict)
    rest = [one for one in asked if one not in conflict]
    assert not possible(whole.without(rest), text)
    for spared in conflict:
        assert possible(whole.without([*rest, spared]), text), spared


@pytest.mark.slow
def test_the_instances_conflict_for_many_reasons(no_kit):
    drawn = [no_kit(seed) for seed in CONFLICTS]
    keys = {key for one in drawn for key in why_no_kit(one.catalogue, one.brief).conflict}
    assert {"cap", "heads", "shades.tolerance", "fit.margin_cm", "extras.spend"} <= keys, keys
    assert any(key.startswith("choose.keep") for key in keys), keys


@over_seeds(
    [*range(60_000, 60_008), 60_009, *range(60_012, 60_030), *range(60_031, 60_037)], quick=5
)
def test_every_mend_gives_a_kit_that_comes_to_what_is_told(no_kit, seed):
    text, catalogue, brief = no_kit(seed)
    mends = why_no_kit(catalogue, brief).mends
    assert mends
    for mend in mends:
        mended = mend.applied(brief)
        assert typed(mend.options, brief) == mended
        data = mended.model_dump(mode="json")
        assert naive_best(text, bare(data)) is not None, mend
        least = oracle_of(catalogue).least_paid(data)
        assert mend.payable == least, mend
        at_least = mended.with_cap(max(0, least - 1)).model_dump(mode="json")
        assert least == 0 or naive_best(text, bare(at_least)) is None, mend


def typed(options, brief):
    """Return a brief with options of the command line applied."""
    words = shlex.split(options)
    pairs = list(zip(words[::2], words[1::2], strict=True))
    cap = next((value for option, value in pairs if option == "--cap"), None)
    sets = [value for option, value in pairs if option == "--set"]
    return with_settings(brief, sets=sets, cap=cap)


# By key what is a little nearer to what was asked.
NEARER = {
    ("fit", "margin_cm"): Decimal("0.01"),
    ("fit", "margin_in"): Decimal("0.01"),
    ("shades", "tolerance"): Decimal("-0.0001"),
    ("needs", "scissors", "min_quality"): Decimal("0.01"),
    ("heads",): Decimal(1),
    ("spare",): Decimal(1),
}


def nearer(change, brief, catalogue):
    """Return a brief that changes a key a little less; None where that is another row."""
    path, value = change
    if path[0] in ("cap", "cap_per_head"):
        less = to_text(brief.minor(Decimal(value)) - 1, brief.currency)
        return with_settings(brief, sets=[f"{path[0]}={less}"])
    if path in NEARER:
        less = Decimal(value) + NEARER[path]
        return with_settings(brief, sets=[f"{'.'.join(path)}={less}"])
    if path[-1] == "max_price":
        prices = catalogue.shelves[path[1]]["price"] / 10_000
        lower = max((p for p in prices if p < float(value)), default=0)
        return with_settings(brief, sets=[f"{'.'.join(path)}={lower:g}"])
    return None


@over_seeds(MENDED, quick=5)
def test_no_smaller_change_would_do(no_kit, seed):
    """Where less margin cannot make goods dearer: without free delivery, hoops or several heads."""
    text, catalogue, brief = no_kit(seed)
    hoops = "hoop" in brief.holds or any(
        catalogue.row(sku)["category"] == "hoop" for sku in brief.choose.keep
    )
    assert not brief.exact_till.has_gap
    assert not (hoops and brief.heads > 1)
    compared = 0
    for mend in why_no_kit(catalogue, brief).mends:
        less = nearer(mend.changes[0], brief, catalogue) if len(mend.changes) == 1 else None
        if less is not None:
            assert naive_best(text, bare(less.model_dump(mode="json"))) is None, mend
            compared += 1
    assert compared


def test_where_nothing_asked_is_in_the_way_the_goods_are(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("sku,name,category,price,quality\nS1,Snips,scissors,5.00,60\n")
    catalogue = read_catalogue(shop, currency="EUR")
    brief = brief_of({"currency": "EUR", "cap": "9.00", "holds": ["scissors", "needle", "thread"]})
    why = why_no_kit(catalogue, brief)
    assert why.conflict == ()
    assert why.because == ("The catalogue has nothing for needle and thread.",)
    assert why.hints == ("--set needs.needle.have=true --set needs.thread.have=true",)
    assert pick(catalogue, why.mends[0].applied(brief)).kit


def test_time_running_out_is_said_and_nothing_is_made_up(no_kit):
    _, catalogue, brief = no_kit(60_000)
    why = why_no_kit(catalogue, brief, time_limit=TimeLimit(0.0))
    assert "time ran out" in why.because[0]
    assert (why.conflict, why.mends) == ((), ())
    with pytest.raises(OutOfTime):
        oracle_of(catalogue, seconds=0.0).least_paid(brief.model_dump(mode="json"))


def test_a_relaxed_brief_is_a_new_one(no_kit):
    _, catalogue, brief = no_kit(60_000)
    whole = RelaxedBrief.of(brief, oracle_of(catalogue))
    before = brief.model_dump(mode="json")
    relaxed = whole.without(demands(brief, catalogue))
    assert not relaxed.capped
    assert whole.capped
    assert whole.data == before
    assert isinstance(demands(brief, catalogue)[0], Cap)


def test_a_sum_for_each_head_is_for_those_heads_that_are_left(tmp_path):
    """Four charts at 5.00 are there: fewer heads pay no less for each."""
    file = tmp_path / "charts.csv"
    file.write_text(
        "sku,name,category,price,quality,stock,stitches_wide,stitches_high,colours\n"
        "A,a kite,chart,5.00,50,4,20,20,#102030:400\n",
        encoding="utf-8",
    )
    catalogue = read_catalogue(file, currency="EUR")
    brief = brief_of({"currency": "EUR", "cap_per_head": "3", "heads": 12, "holds": ["chart"]})
    (mend,) = why_no_kit(catalogue, brief).mends
    assert mend.says == "Make kits for 4 heads, and pay 5.00 EUR a head."
    assert pick(catalogue, mend.applied(brief)).kit.receipt.payable == mend.payable == 2000


# A quick assignment gives K1 to the first colour of C1, and T2 is too dear for the second.
TWO_CHARTS = """\
sku,name,category,price,quality,stitches_wide,stitches_high,colours,weave,count,width_cm,height_cm
C1,Gull,chart,3.00,90,30,30,#808080:90;#848484:90,,,,
C2,Tern,chart,1.00,10,30,30,#808080:90,,,,
F1,Cream,fabric,2.00,70,,,,aida,14,40,40
K1,Grey,thread,2.00,70,,,#828282,,,,
T1,Dark grey,thread,1.00,70,,,#7b7b7b,,,,
T2,Light grey,thread,9.00,70,,,#898989,,,,
"""


def test_the_cheapest_kit_of_the_chart_found_last_is_not_that_of_all_charts(tmp_path):
    (tmp_path / "shop.csv").write_text(TWO_CHARTS, encoding="utf-8")
    asked = {
        "currency": "EUR",
        "cap": "10.00",
        "holds": ["chart", "fabric", "thread"],
        "needs": {"chart": {"min_quality": 80}},
        "shades": {"tolerance": "2.5"},
        "choose": {"keep": ["K1"]},
    }
    oracle = oracle_of(read_catalogue(tmp_path / "shop.csv", currency="EUR"))
    data = brief_of(asked).model_dump(mode="json")
    assert oracle.has_kit(data, 1000)
    data["needs"]["chart"]["min_quality"] = None
    assert oracle.has_kit(data, 1000)
    assert oracle.least_paid(data) == 500


@pytest.mark.parametrize(
    ("prices", "says"),
    [
        (["43.50", "50.00"], "comes to 50.00 EUR, 6.50 EUR of it for delivery (free from 50.00"),
        (["50.00"], "comes to 50.00 EUR, which is 10.00 EUR above the cap"),
    ],
    ids=["with and without delivery", "without delivery"],
)
def test_delivery_is_told_where_dearer_goods_come_to_the_same_without_it(prices, says, tmp_path):
    shop = tmp_path / "shop.csv"
    rows = [f"B{number},Bag,bag,{price},50" for number, price in enumerate(prices)]
    shop.write_text("\n".join(["sku,name,category,price,quality", *rows]), encoding="utf-8")
    till = {"delivery": "6.50", "delivery_free_from": "50.00"}
    brief = brief_of({"currency": "EUR", "cap": "40.00", "holds": ["bag"], "till": till})
    (because,) = why_no_kit(read_catalogue(shop, currency="EUR"), brief).because
    assert says in because
