"""Why there is no kit: every conflict and every mend held against the naive twin."""

import csv
import io
import shlex
from decimal import Decimal

import pytest
from instances import instance, to_toml
from naive import best as naive_best

from kitsolver import brief_of, pick, read_brief, read_catalogue
from kitsolver.brief.reading import with_settings
from kitsolver.explain.no_kit.cheapest_kit import Least
from kitsolver.explain.no_kit.demands import demands
from kitsolver.explain.no_kit.relaxed_brief import Asking
from kitsolver.explain.no_kit.why_no_kit import why_no_kit
from kitsolver.solve.engine import Solver
from kitsolver.solve.time_limit import OutOfTime, TimeLimit

SEEDS = range(60_000, 60_260)


def bare(value):
    """Return a dumped brief as the naive twin reads one: without blanks, decimals exact."""
    if isinstance(value, dict):
        return {key: bare(held) for key, held in value.items() if held is not None}
    if isinstance(value, list):
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


@pytest.fixture
def barren(tmp_path):
    """Yield instances without a kit, made so by a lower cap where they have one."""

    def drawn(seeds):
        for seed in seeds:
            text, asked = instance(seed)
            shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
            shop.write_text(text, encoding="utf-8", newline="")
            brief.write_text(to_toml(asked), encoding="utf-8")
            read = read_brief(brief)
            catalogue = read_catalogue(shop, currency=read.currency)
            found = Least(catalogue, Solver.SCIP, TimeLimit()).paid(read.model_dump(mode="json"))
            if found is not None and found <= read.total_cap and found > 0:
                read = read.with_cap(found - 1)
            if pick(catalogue, read).kit is None:
                yield seed, text, catalogue, read

    return drawn


def possible(asking, text):
    """Tell whether the naive twin finds a kit of what is asked."""
    goods = stocked(text) if asking.stocked else text
    return any(naive_best(goods, bare(data)) is not None for data in asking.variants)


def asking_of(catalogue, brief):
    asked = demands(brief, catalogue)
    asking = Asking(Least(catalogue, Solver.SCIP, TimeLimit()), brief, asked)
    if any(one.kind == "cap" for one in asking.given_up):
        raise AssertionError
    return asked, asking


def without(asking, given_up):
    """Give demands up; a cap that is given up is one beyond every kit."""
    fewer = asking.without(given_up)
    if any(one.kind == "cap" for one in given_up):
        fewer.data |= {"cap": "100000", "cap_per_head": None}
    return fewer


def test_conflicts_are_conflicts_and_nothing_of_them_can_be_spared(barren):
    kinds = set()
    for seed, text, catalogue, brief in barren(SEEDS[:20]):
        asked, asking = asking_of(catalogue, brief)
        why = why_no_kit(catalogue, brief)
        conflict = [one for one in asked if one.key in why.conflict]
        assert len(conflict) == len(why.conflict)
        rest = [one for one in asked if one not in conflict]
        assert not possible(without(asking, rest), text), seed
        for spared in conflict:
            assert possible(without(asking, [*rest, spared]), text), (seed, spared)
        kinds |= {one.kind for one in conflict}
    assert {"cap", "keep", "tolerance", "margin", "stock"} <= kinds, kinds


def test_every_mend_gives_a_kit_that_comes_to_what_is_told(barren):
    number = 0
    for seed, text, catalogue, brief in barren(SEEDS[:25]):
        for mend in why_no_kit(catalogue, brief).mends:
            mended = typed(mend.options, brief)
            found = naive_best(text, bare(mended.model_dump(mode="json")))
            assert found is not None, (seed, mend)
            least = Least(catalogue, Solver.SCIP, TimeLimit()).paid(mended.model_dump(mode="json"))
            assert mend.payable == least, (seed, mend)
            at_least = mended.with_cap(max(0, least - 1)).model_dump(mode="json")
            assert least == 0 or naive_best(text, bare(at_least)) is None, (seed, mend)
            number += 1
    assert number > 30


def typed(options, brief):
    """Return a brief with options of the command line applied."""
    words = shlex.split(options)
    pairs = list(zip(words[::2], words[1::2], strict=True))
    cap = next((value for option, value in pairs if option == "--cap"), None)
    sets = [value for option, value in pairs if option == "--set"]
    return with_settings(brief, sets=sets, cap=cap)


# By key what is a little nearer to what was asked.
NEARER = {
    "fit.margin_cm": Decimal("0.01"),
    "fit.margin_in": Decimal("0.01"),
    "shades.tolerance": Decimal("-0.0001"),
    "needs.scissors.min_quality": Decimal("0.01"),
    "heads": Decimal(1),
}


def test_no_smaller_change_would_do(barren):
    """Where less margin cannot make goods dearer: without free delivery, hoops or several heads."""
    seen = set()
    for seed, text, catalogue, brief in barren(SEEDS[:40]):
        hoops = "hoop" in brief.holds or any(
            catalogue.row(sku)["category"] == "hoop" for sku in brief.choose.keep
        )
        if brief.register.has_gap or (hoops and brief.heads > 1):
            continue
        for mend in why_no_kit(catalogue, brief).mends:
            words = shlex.split(mend.options)
            if len(words) != 2:
                continue
            key, _, value = words[1].partition("=")
            if words[0] == "--cap":
                less = brief.with_cap(brief.minor(Decimal(words[1])) - 1)
            elif key in NEARER:
                less = with_settings(brief, sets=[f"{key}={Decimal(value) + NEARER[key]}"])
            elif key.endswith("max_price"):
                prices = catalogue.shelves[key.split(".")[1]]["price"] / 10_000
                lower = max((p for p in prices if p < float(value)), default=0)
                less = with_settings(brief, sets=[f"{key}={lower:g}"])
            else:
                continue
            seen.add(words[0] if words[0] == "--cap" else key)
            assert naive_best(text, bare(less.model_dump(mode="json"))) is None, (seed, mend)
    assert {"--cap", "shades.tolerance"} <= seen, seen
    assert any(key.startswith("fit.margin") for key in seen), seen


def test_where_nothing_asked_is_in_the_way_the_goods_are(tmp_path):
    shop = tmp_path / "shop.csv"
    shop.write_text("sku,name,category,price,quality\nS1,Snips,scissors,5.00,60\n")
    catalogue = read_catalogue(shop, currency="EUR")
    brief = brief_of({"currency": "EUR", "cap": "9.00", "holds": ["scissors", "needle", "thread"]})
    why = why_no_kit(catalogue, brief)
    assert why.conflict == ()
    assert why.because == ("The catalogue has nothing for needle, and thread.",)
    assert why.hints == ("--set needs.needle.have=true --set needs.thread.have=true",)
    assert pick(catalogue, typed(why.hints[0], brief)).kit


def test_time_running_out_is_said_and_nothing_is_made_up(barren):
    for _, _, catalogue, brief in barren(SEEDS[:10]):
        why = why_no_kit(catalogue, brief, time_limit=TimeLimit(0.0))
        assert "time ran out" in why.because[0]
        assert (why.conflict, why.mends) == ((), ())
        with pytest.raises(OutOfTime):
            Least(catalogue, Solver.SCIP, TimeLimit(0.0)).paid(brief.model_dump(mode="json"))
