"""What a class is given, worked by hand."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from kitsolver import pick, read_brief, read_catalogue
from kitsolver.cli import app
from kitsolver.show.schema.schemas import schema_of

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
CLASS = str(DEMO / "class-of-twelve.toml")
HEAD = (
    "sku,name,category,price,quality,stock,serves,line,needle_sizes,stitches_wide,stitches_high,"
    "colours,weave,count,width_cm,height_cm\n"
)
# 140 by 140 stitches on 14 count finish at 25.4 cm, and with 7.62 cm beside are cut to 40.64 cm.
ROWS = [
    'C1,c,chart,2.00,70,,,,,140,140,"#202020:600.5:100",,,,',
    "F1,f,fabric,9.00,70,,,,,,,,aida,14,90,90",
    'T1,t,thread,1.00,70,,,,,,,"#202020",,,,',
    "N1,one,needle,0.80,70,,1,gilt,26,,,,,,,",
    "N9,ten,needle,6.00,70,1,10,gilt,26,,,,,,,",
    "N5,five,needle,0.10,70,,5,gilt,18,,,,,,,",
    "N4,other,needle,0.10,10,,12,plain,18,,,,,,,",
]
BRIEF = """
currency = "EUR"
cap = "200.00"
heads = {heads}
spare = {spare}
holds = ["chart", "fabric", "thread", "needle"]
[needs.thread]
shared_by = 3
[lesson]
minutes = 90
[choose]
keep = ["N1"]
"""


@pytest.fixture
def planned(tmp_path):
    def plan(heads=11, spare=1, more="", rows=ROWS):
        shop, brief = tmp_path / "shop.csv", tmp_path / "brief.toml"
        shop.write_text(HEAD + "".join(f"{row}\n" for row in rows), encoding="utf-8")
        brief.write_text(BRIEF.format(heads=heads, spare=spare) + more, encoding="utf-8")
        asked = read_brief(brief)
        return pick(read_catalogue(shop, currency="EUR"), asked)

    return plan


def test_packs_of_one_line_that_suit_are_mixed(planned):
    """Twelve needles at 0.80 are 9.60; a packet of ten and two are 7.60. N5 suits no 14 count."""
    outcome = planned()
    (mix,) = outcome.plan.pack_mixes
    assert (mix.category, mix.line, mix.instead_of) == ("needle", "gilt", "N1")
    assert mix.packs == (("N1", 2), ("N9", 1))
    assert (mix.total, mix.before) == (760, 960)
    assert outcome.kit.receipt.payable - outcome.plan.receipt.payable == 200


def test_packs_are_not_mixed_where_that_costs_free_delivery(planned):
    goods = planned().kit.receipt.goods
    till = f'[till]\ndelivery = "5.00"\ndelivery_free_from = "{goods / 100:.2f}"\n'
    plan = planned(more=till).plan
    assert plan.pack_mixes == ()
    assert plan.receipt.payable == goods


def test_the_cuts_are_of_the_size_and_number_it_takes(planned):
    """Four cuts of 40.64 cm come from 90 × 90 cm, and 8.72 cm are left of each side."""
    cuts = planned().plan.cuts
    assert (cuts.sku, cuts.units, cuts.from_each, cuts.spare) == ("F1", 3, 4, 0)
    sides = [sorted(float(side / 10**8) for side in rest) for rest in cuts.offcuts]
    assert sides == [[8.72, 90.0], [8.72, 81.28]]


def test_thread_is_shared_out_to_tables(planned):
    """600.5 crosses of 17.520 mm in two strands are 10.521 m, and 1 m of lines takes 2 m more; with
    a fifth on top that is 15.025 m of single strand, and of a six-strand skein 2.504 m."""
    plan = planned().plan
    assert (plan.kits, plan.tables, plan.heads_a_table) == (12, 4, 3)
    (shared,) = plan.thread_shares
    assert shared.metres_a_head == Decimal("2.51")
    assert shared.skeins_a_table == 1


def test_time_is_told_at_the_class_s_own_speed(planned):
    time = planned().plan.time
    assert (time.stitches, time.an_hour) == (Fraction(1201, 2), 60)
    assert (time.hours, time.lessons) == (11, 7)


def test_one_head_has_no_plan_and_a_spare_one_makes_two_kits(planned):
    assert planned(heads=1, spare=0).plan is None
    assert planned(heads=1, spare=1).plan.kits == 2


def test_the_demo_s_class_has_a_plan_that_fits_its_schema():
    done = CliRunner().invoke(app, ["pick", SHOP, CLASS, "--set", "spare=1", "--json", "-"])
    record = json.loads(done.stdout)
    assert list(jsonschema.Draft202012Validator(schema_of("kit")).iter_errors(record)) == []
    plan = record["plan"]
    assert (plan["kits"], plan["spare"]) == (13, 1)
    made = plan["cut"]["units"] * plan["cut"]["from_each"]
    assert made - plan["cut"]["spare_cuts"] == 13
    assert [one["chart_colour"] for one in plan["share"]] == [
        shade["chart_colour"] for shade in record["shades"]
    ]
    assert any("venue" in told for told in plan["cautions"])
