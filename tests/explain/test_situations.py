"""Situations without a kit, each with the first sentence and the first hint that help.

The sentences were written first, as someone behind the counter would say them; each is judged by
what a shop assistant, a teacher or a hobbyist can do with it. The goods are invented.
"""

import csv
import io
import shlex
from pathlib import Path
from typing import NamedTuple

import pytest

from kitsolver import Status, brief_of, pick, read_brief, read_catalogue, why_no_kit, why_not
from kitsolver.brief.choosing import keeping
from kitsolver.brief.reading import with_settings
from kitsolver.explain.why_not import Verdict

DEMO = Path(__file__).parents[2] / "catalogues"

CRAB = "#c23b7a:300;#6f5b54:200"
# One row of each need and two hoops: enough for a kit, and little enough to see why there is none.
SHOP = {
    "CH-1": {"category": "chart", "price": "2.00", "stitches_wide": 28, "stitches_high": 28},
    "FA-1": {
        "category": "fabric",
        "price": "4.00",
        "stock": 10,
        "weave": "aida",
        "count": 14,
        "width_cm": 30,
        "height_cm": 30,
    },
    "TH-1": {"category": "thread", "price": "1.20", "stock": 20, "colours": "#c23b7a"},
    "TH-2": {"category": "thread", "price": "1.20", "stock": 20, "colours": "#6f5b54"},
    "NE-1": {"category": "needle", "price": "1.50", "needle_sizes": "24;26"},
    "SC-1": {"category": "scissors", "price": "6.00", "stock": 20},
    "HP-1": {"category": "hoop", "price": "3.00", "diameter_cm": 10},
    "HP-2": {"category": "hoop", "price": "5.00", "diameter_cm": 25},
}
SHOP["CH-1"]["colours"] = CRAB
CLASS = ("heads=12", "cap=400.00")
SHORT = "and because goods are to be in stock"
NEAR = "because thread is to be within 6.0 of the charted colours"


class Situation(NamedTuple):
    """What is changed about the small shop and its brief, and what is to be said of it."""

    sentence: str
    hint: str
    rows: dict = {}
    sets: tuple = ()
    demo: str = ""


SITUATIONS = {
    "a shade is sold out": Situation(
        "There is no kit, because goods are to be in stock: TH-1 (row 4) would match #c23b7a, and "
        "0 are left.",
        "--set 'needs.thread.have=[\"#c23b7a\"]'",
        rows={"TH-1": {"stock": 0}},
    ),
    "both shades are sold out": Situation(
        "There is no kit, because goods are to be in stock: TH-1 (row 4) would match #c23b7a, and "
        "0 are left.",
        '--set \'needs.thread.have=["#c23b7a", "#6f5b54"]\'',
        rows={"TH-1": {"stock": 0}, "TH-2": {"stock": 0}},
    ),
    "a shade is sold out, and one in stock is only nearly that colour": Situation(
        f"There is no kit, {NEAR}, {SHORT}: TH-1 (row 4) would match #c23b7a, and 0 are left.",
        "--set 'needs.thread.have=[\"#c23b7a\"]'",
        rows={
            "TH-1": {"stock": 0},
            "TH-3": {"category": "thread", "price": "1.20", "colours": "#d8529a"},
        },
    ),
    # Thread is matched to no chart that is at home, so the tolerance need not give way, too.
    "the only chart is sold out, and no thread is near one of its colours": Situation(
        f"There is no kit, {NEAR}: no cotton thread that is left is within 6.0 of #c23b7a of CH-1",
        "--set needs.chart.have=true",
        rows={"CH-1": {"stock": 0}, "TH-1": {"colours": "#d8529a"}},
    ),
    "too few skeins for a class": Situation(
        "There is no kit, because goods are to be in stock for 12 heads: TH-1 (row 4) would match "
        "#c23b7a, but 12 of it are needed, and 5 are left.",
        "--set needs.thread.shared_by=3",
        rows={"TH-1": {"stock": 5}, "FA-1": {"stock": 20}},
        sets=CLASS,
    ),
    "too few scissors for a class": Situation(
        "There is no kit, because goods are to be in stock for 12 heads: SC-1 (row 7) has 4 in "
        "stock, where 12 are needed.",
        "--set needs.scissors.shared_by=3",
        rows={"SC-1": {"stock": 4}, "FA-1": {"stock": 20}},
        sets=CLASS,
    ),
    "too few scissors for a class, and four may not share": Situation(
        "There is no kit, because goods are to be in stock for 12 heads: SC-1 (row 7) has 2 in "
        "stock, where 12 are needed.",
        "--set needs.scissors.have=true",
        rows={"SC-1": {"stock": 2}, "FA-1": {"stock": 20}},
        sets=CLASS,
    ),
    "too little fabric for a class": Situation(
        "There is no kit, because 7.62 cm of fabric are to stay bare on each side, and because "
        "goods are to be in stock for 12 heads: FA-1 (row 3) yields one piece a unit, so that 12 "
        "kits take 12 units, and 10 are left.",
        "--set fit.margin_cm=4.96",
        sets=CLASS,
    ),
    "too little fabric for a class, whatever its margins": Situation(
        "There is no kit, because goods are to be in stock for 12 heads: FA-1 (row 3) yields 4 "
        "pieces a unit, so that 12 kits take 3 units, and 2 are left.",
        "--set heads=8",
        rows={"FA-1": {"stock": 2, "width_cm": 14, "height_cm": 14}},
        sets=(*CLASS, "fit.margin_cm=0"),
    ),
    "too few to spare": Situation(
        "There is no kit, because goods are to be in stock for 10 heads and 5 kits to spare: SC-1 "
        "(row 7) has 12 in stock, where 15 are needed.",
        "--set spare=2",
        rows={"SC-1": {"stock": 12}, "FA-1": {"stock": 20}},
        sets=("heads=10", "spare=5", "cap=400.00"),
    ),
    "five hundred heads and as many to spare": Situation(
        "There is no kit, because no more than 30.00 EUR is to be paid, 0.06 EUR a head: whatever "
        "else is given up, the cheapest kit comes to ",
        "--set spare=0 --set heads=",
        sets=("heads=500", "spare=500"),
        demo="bundle",
    ),
    "a kept hoop is wider than the fabric": Situation(
        "There is no kit, because HP-2 (row 9) is to be kept: HP-2 takes a piece of 30 × 30 cm, "
        "and the largest piece of fabric that is left is 22 cm across.",
        "--set 'choose.keep=[\"HP-1\"]'",
        rows={"FA-1": {"width_cm": 22, "height_cm": 22}},
        sets=('choose.keep=["HP-2"]',),
    ),
    "a kept hoop is wider than what a class cuts": Situation(
        "There is no kit, because HP-2 (row 9) is to be kept: HP-2 takes a piece of 30 × 30 cm, "
        "and the largest cut is 20.32 cm across.",
        "--set 'choose.keep=[\"HP-1\"]'",
        sets=("heads=2", "cap=400.00", 'choose.keep=["HP-2"]'),
    ),
    "every hoop is wider than the fabric": Situation(
        "HP-2 takes a piece of 30 × 30 cm, and the largest piece of fabric that is left is 22 cm "
        "across.",
        "--set needs.hoop.have=true",
        rows={"FA-1": {"width_cm": 22, "height_cm": 22}, "HP-1": None},
        sets=('holds=["chart", "fabric", "thread", "needle", "scissors", "hoop"]',),
    ),
    "delivery takes the kit above the cap": Situation(
        "There is no kit, because no more than 20.00 EUR is to be paid: the cheapest kit that "
        "meets all the rest comes to 22.40 EUR, 6.50 EUR of it for delivery, which is 2.40 EUR "
        "above the cap.",
        "--cap 22.40",
        sets=("cap=20.00", "till.delivery=6.50"),
    ),
    "delivery would be free from a sum that is not reached": Situation(
        "There is no kit, because no more than 20.00 EUR is to be paid: the cheapest kit that "
        "meets all the rest comes to 22.40 EUR, 6.50 EUR of it for delivery (free from 50.00 EUR "
        "on), which is 2.40 EUR above the cap.",
        "--cap 22.40",
        sets=("cap=20.00", "till.delivery=6.50", "till.delivery_free_from=50.00"),
    ),
    "no needle suits the fabric": Situation(
        "An effective count of 14 takes size 24 or 26, and the needles that are left have 18 and "
        "20.",
        "--set needs.needle.have=true",
        rows={"NE-1": {"needle_sizes": "18;20"}},
    ),
    "a size of needle is asked for that does not suit the fabric": Situation(
        "There is no kit, because the needle is to have needle_sizes 28: an effective count of 14 "
        "takes size 24 or 26, and the needles that are left have 28.",
        "--set 'needs.needle.only.needle_sizes=[28, 26]'",
        rows={"NE-2": {"category": "needle", "price": "1.50", "needle_sizes": "28"}},
        sets=("needs.needle.only.needle_sizes=[28]",),
    ),
    "the needle at home does not suit the fabric": Situation(
        "There is no kit, because the needle that is at home is to do: an effective count of 14 "
        "takes size 24 or 26, and the needle at home has 18.",
        "--set needs.needle.have=false",
        sets=("needs.needle.have={needle_sizes=[18]}",),
    ),
    "a needle does not say what it costs the shop": Situation(
        "There is no kit, because a share of 0.3 is to be left of 30.00 EUR: NE-1 (row 6) does not "
        "say what it costs the shop (trade_cost is blank), and other rows do not do.",
        "--set 'shop={}'",
        rows={sku: {"trade_cost": "1.00"} for sku in SHOP if sku != "NE-1"},
        sets=("shop.sell_at=30.00", "shop.margin_rate=0.3", "shop.uncosted=leave out"),
    ),
    "what the kit costs the shop leaves less": Situation(
        "There is no kit, because a share of 0.9 is to be left of 30.00 EUR.",
        "--set shop.margin_rate=0.8",
        rows={sku: {"trade_cost": "1.00"} for sku in SHOP},
        sets=("shop.sell_at=30.00", "shop.margin_rate=0.9"),
    ),
    "no thread is anything like the colour": Situation(
        f"There is no kit, {NEAR}: no cotton thread that is left is within 6.0 of #c23b7a of CH-1 "
        "(TH-2, #6f5b54, is 24.6 away).",
        "--set 'needs.thread.have=[\"#c23b7a\"]'",
        rows={"TH-1": {"colours": "#2f9e44"}},
    ),
    "thread is nearly the colour": Situation(
        f"There is no kit, {NEAR}: no cotton thread that is left is within 6.0 of #c23b7a of CH-1 "
        "(TH-1, #d8529a, is 8.5 away).",
        "--set shades.tolerance=",
        rows={"TH-1": {"colours": "#d8529a"}},
    ),
    "two colours want the same thread": Situation(
        f"There is no kit, {NEAR}: #c23b7a and #c43c7c of CH-1 have only one colour of thread near "
        "enough between them.",
        "--set 'needs.thread.have=[\"#c43c7c\"]'",
        rows={"CH-1": {"colours": "#c23b7a:300;#c43c7c:200"}},
    ),
    "the chart asks for wool": Situation(
        "No wool thread is left for #c23b7a of CH-1.",
        "--set needs.thread.have=true",
        rows={"CH-1": {"colours": CRAB, "colour_kinds": "wool;cotton"}},
    ),
    "the only thread of a colour is left out": Situation(
        f"There is no kit, because TH-1 is left out, and {NEAR}: no cotton thread that is left is "
        "within 6.0 of #c23b7a of CH-1 (TH-2, #6f5b54, is 24.6 away).",
        "--set 'choose.leave_out=[]'",
        rows={"TH-3": {"category": "thread", "price": "1.20", "colours": "#2f9e44"}},
        sets=('choose.leave_out=["TH-1"]',),
    ),
    "the only thread of a colour carries a barred tag": Situation(
        f"There is no kit, because the thread is to go without the tag silk, and {NEAR}: no cotton "
        "thread that is left is within 6.0 of #c23b7a of CH-1 (TH-2, #6f5b54, is 24.6 away).",
        "--set 'needs.thread.tags_none=[]'",
        rows={
            "TH-1": {"tags": "silk"},
            "TH-3": {"category": "thread", "price": "1.20", "colours": "#2f9e44"},
        },
        sets=('needs.thread.tags_none=["silk"]',),
    ),
    "the fabric is too small with its margins": Situation(
        "There is no kit, because 7.62 cm of fabric are to stay bare on each side: CH-1 takes "
        "20.32 × 20.32 cm of FA-1 with its margins, which is 15 × 15 cm.",
        "--set fit.margin_cm=4.96",
        rows={"FA-1": {"width_cm": 15, "height_cm": 15}},
    ),
    "the same in inches": Situation(
        "There is no kit, because 3 in of fabric are to stay bare on each side: CH-1 takes 8 × 8 "
        "in of FA-1 with its margins, which is 6 × 6 in.",
        "--set fit.margin_in=2",
        rows={"FA-1": {"width_cm": "15.24", "height_cm": "15.24"}},
        sets=("fit={margin_in=3}", "units=in"),
    ),
    "the fabric is too small without margins": Situation(
        "CH-1 takes 5.08 × 5.08 cm of FA-1, which is 5 × 5 cm.",
        "--set needs.fabric.have=true",
        rows={"FA-1": {"width_cm": 5, "height_cm": 5}},
    ),
    "the fabric at home is one piece, and two are needed": Situation(
        "There is no kit, because the fabric that is at home is to do, and because 7.62 cm of "
        "fabric are to stay bare on each side: the fabric at home yields one piece for CH-1, and 2 "
        "are needed.",
        "--set fit.margin_cm=4.96",
        sets=(
            "heads=2",
            "cap=400.00",
            'needs.fabric.have={weave="aida", count=14, width_cm=30, height_cm=25}',
        ),
    ),
    "the picture is larger than the kept frame": Situation(
        "There is no kit, because FR-1 (row 10) is to be kept: FR-1 has an opening of 4 × 4 cm, "
        "and CH-1 finishes at 5.08 × 5.08 cm.",
        "--set 'choose.keep=[]'",
        rows={"FR-1": {"category": "frame", "price": "9.00", "opening_cm": "4x4"}},
        sets=('choose.keep=["FR-1"]',),
    ),
    "two hoops are kept": Situation(
        "There is no kit, because HP-1 (row 8) is to be kept, and because HP-2 (row 9) is to be "
        "kept: a kit holds one hoop, and HP-1 and HP-2 are all to be kept.",
        "--set 'choose.keep=[\"HP-1\"]'",
        sets=('choose.keep=["HP-1", "HP-2"]',),
    ),
    "the shop has no scissors": Situation(
        "The catalogue has nothing for scissors.",
        "--set needs.scissors.have=true",
        rows={"SC-1": None},
    ),
    "the scissors are sold out": Situation(
        "There is no kit, because goods are to be in stock: SC-1 (row 7) has 0 in stock, where 1 "
        "is needed.",
        "--set needs.scissors.have=true",
        rows={"SC-1": {"stock": 0}},
    ),
    "the only scissors within the limit are sold out": Situation(
        "There is no kit, because the scissors are to cost no more than 7.00 EUR, and because "
        "goods are to be in stock: SC-1 (row 7) has 0 in stock, where 1 is needed.",
        "--set needs.scissors.max_price=9.00",
        rows={
            "SC-1": {"stock": 0},
            "SC-2": {"category": "scissors", "price": "9.00"},
        },
        sets=("needs.scissors.max_price=7.00",),
    ),
    "the cap a head is too low for a class": Situation(
        "There is no kit, because no more than 120.00 EUR is to be paid, 10.00 EUR a head: the "
        "cheapest kit that meets all the rest comes to 190.80 EUR (15.90 EUR a head), which is "
        "70.80 EUR above the cap.",
        "--set cap_per_head=15.90",
        rows={"FA-1": {"stock": 20}},
        sets=("heads=12", "cap_per_head=10.00"),
    ),
    "the cap is a little too low for a class, and sharing helps": Situation(
        "There is no kit, because no more than 180.00 EUR is to be paid, 15.00 EUR a head, and "
        "because 7.62 cm of fabric are to stay bare on each side: the cheapest kit"
        " that meets all the rest comes to 190.80 EUR (15.90 EUR a head), which is "
        "10.80 EUR above the cap.",
        "--cap 190.80",
        rows={"FA-1": {"stock": 20}},
        sets=("heads=12", "cap=180.00"),
    ),
    "another currency, without decimals": Situation(
        "There is no kit, because no more than 12 JPY is to be paid: the cheapest kit that meets "
        "all the rest comes to 18 JPY, which is 6 JPY above the cap.",
        "--cap 18",
        rows={sku: {"price": "3"} for sku in SHOP},
        sets=("currency=JPY", "cap=12"),
    ),
    "a weave and a count that no fabric has both": Situation(
        "Nothing is left for fabric, because the fabric is to have weave linen, and because the "
        "fabric is to have count 14: of 2 rows of fabric, 1 have weave linen, and 1 have count 14, "
        "but none does both.",
        "--set 'needs.fabric.only.count=[14, 28]'",
        rows={
            "FA-2": {
                "category": "fabric",
                "price": "4.00",
                "weave": "linen",
                "count": 28,
                "width_cm": 30,
                "height_cm": 30,
            }
        },
        sets=('needs.fabric.only.weave=["linen"]', "needs.fabric.only.count=[14]"),
    ),
}


def shop_of(rows):
    """Return the small shop with some rows changed, added, or taken out."""
    every = {sku: {**SHOP.get(sku, {}), **(rows.get(sku) or {})} for sku in {**SHOP, **rows}}
    lines = [
        {"sku": sku, "name": sku, "quality": 60, **row}
        for sku, row in every.items()
        if rows.get(sku, {}) is not None
    ]
    columns = dict.fromkeys(key for line in lines for key in line)
    written = io.StringIO()
    writer = csv.DictWriter(written, columns)
    writer.writeheader()
    writer.writerows(lines)
    return written.getvalue()


@pytest.fixture
def told(tmp_path):
    """Return catalogue, brief and explanation of a situation."""

    def of(situation):
        if situation.demo:
            brief = read_brief(DEMO / f"{situation.demo}.toml", sets=situation.sets)
            catalogue = read_catalogue(DEMO / "tormellick-whelk.csv", currency=brief.currency)
        else:
            plain = brief_of({"currency": "EUR", "cap": "40.00"})
            brief = with_settings(plain, sets=situation.sets)
            shop = tmp_path / "shop.csv"
            shop.write_text(shop_of(situation.rows), encoding="utf-8")
            catalogue = read_catalogue(shop, currency=brief.currency)
        assert pick(catalogue, brief).status is Status.NO_KIT
        return catalogue, brief, why_no_kit(catalogue, brief)

    return of


@pytest.mark.parametrize(
    "name",
    [
        # On the whole demo a question takes longer than on the small shop.
        pytest.param(name, marks=pytest.mark.slow if situation.demo else [])
        for name, situation in SITUATIONS.items()
    ],
)
def test_the_first_sentence_and_the_first_hint_are_what_helps(told, name):
    situation = SITUATIONS[name]
    catalogue, brief, why = told(situation)
    first = why.because[0]
    assert situation.sentence == first or (
        situation.sentence in first and not situation.sentence.endswith(".")
    ), why
    hint = why.hints[0]
    assert hint == situation.hint or (situation.hint[-1] == "=" and situation.hint in hint), why
    for mend in why.mends:
        assert pick(catalogue, mend.applied(brief)).kit is not None, mend
    words = shlex.split(hint)
    sets = [
        value for option, value in zip(words[::2], words[1::2], strict=True) if option != "--cap"
    ]
    caps = [
        value for option, value in zip(words[::2], words[1::2], strict=True) if option == "--cap"
    ]
    assert with_settings(brief, sets=sets, cap=caps[0] if caps else None) == why.mends[0].applied(
        brief
    )


# A row of the small shop, what is changed, and what the assistant answers first to "why not this?".
ROWS = {
    "a row that is dearer than its limit": (
        "SC-2",
        "It costs 9.00 EUR, and the brief's limit for scissors is 7.00 EUR.",
        {"SC-2": {"category": "scissors", "price": "9.00"}},
        ("needs.scissors.max_price=7.00",),
    ),
    "a row that is sold out": (
        "SC-2",
        "It has 0 in stock, and 1 would be needed.",
        {"SC-2": {"category": "scissors", "price": "9.00", "stock": 0}},
        (),
    ),
    "a needle that suits no fabric": (
        "NE-2",
        "It has size 18 and 20, and the fabric on sale takes size 24 and 26.",
        {"NE-2": {"category": "needle", "price": "1.50", "needle_sizes": "18;20"}},
        (),
    ),
    "a row that does not say what it costs the shop": (
        "SC-2",
        "It does not say what it costs the shop, of which a margin is asked.",
        {sku: {"trade_cost": "1.00"} for sku in SHOP}
        | {"SC-2": {"category": "scissors", "price": "9.00"}},
        ("shop.sell_at=30.00", "shop.margin_rate=0.3", "shop.uncosted=leave out"),
    ),
    "a row beside one that is kept": (
        "HP-1",
        "HP-2 is to be kept, and a kit holds one hoop.",
        {},
        ('choose.keep=["HP-2"]',),
    ),
}


@pytest.mark.parametrize("name", ROWS)
def test_why_not_a_row_is_answered_with_what_bars_it(tmp_path, name):
    sku, sentence, rows, sets = ROWS[name]
    brief = with_settings(brief_of({"currency": "EUR", "cap": "40.00"}), sets=sets)
    (tmp_path / "shop.csv").write_text(shop_of(rows), encoding="utf-8")
    catalogue = read_catalogue(tmp_path / "shop.csv", currency="EUR")
    assert pick(catalogue, brief).kit
    found = why_not(catalogue, brief, sku)
    assert found.verdict is Verdict.BARRED
    assert found.barred[0] == sentence
    for mend in found.why.mends if found.why else ():
        kit = pick(catalogue, mend.applied(keeping(brief, [sku]))).kit
        assert sku in {line.sku for line in kit.lines}, mend
