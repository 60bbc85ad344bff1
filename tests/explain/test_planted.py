"""Briefs without a kit, each for a cause that was put there.

The goods are the invented ones of the demo.
"""

import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")

# The brief, what is changed about it, and what the first sentence has to name.
MARGIN = [
    "--set",
    "shop.margin_rate=0.7",
    "--set",
    "shop.sell_at=20.00",
    "--set",
    'shop.uncosted="leave out"',
]

PLANTED = {
    "the cap is too low": ("bundle", ["--cap", "5.00"], "no more than 5.00 EUR is to be paid"),
    "the cap a head is too low": (
        "class-of-twelve",
        ["--set", "cap_per_head=3.00"],
        "no more than 36.00 EUR is to be paid",
    ),
    "the cap does not reach for what is kept": (
        "gift-card",
        ["--cap", "12.00"],
        "CH-NETMENDER (row 34) is to be kept",
    ),
    "fabric may cost next to nothing": (
        "bundle",
        ["--set", "needs.fabric.max_price=2.00"],
        "the fabric is to cost no more than 2.00 EUR",
    ),
    "no scissors are so good": (
        "bundle",
        ["--set", "needs.scissors.min_quality=100"],
        "the scissors are to have a quality of 100 or more",
    ),
    "a count that no fabric has": (
        "bundle",
        ["--set", "needs.fabric.only.count=[13]"],
        "the fabric is to have count 13",
    ),
    "a weave that no fabric of that count has": (
        "bundle",
        ["--set", 'needs.fabric.only.weave=["linen"]'],
        "the fabric is to have weave linen",
    ),
    "a tag that no chart carries": (
        "bundle",
        ["--set", 'needs.chart.tags_any=["moonlight"]'],
        "the chart is to carry the tag moonlight",
    ),
    "every such scissors carries a tag that is barred": (
        "class-of-twelve",
        ["--set", 'needs.scissors.tags_none=["child-safe", "blunt-tip"]'],
        "the scissors are to go without the tag child-safe or blunt-tip",
    ),
    "a margin wider than the cloth": (
        "bundle",
        ["--set", "fit.margin_cm=60"],
        "60 cm of fabric are to stay bare on each side",
    ),
    "thread has to be all but the same": (
        "bundle",
        ["--set", "shades.tolerance=0.05"],
        "thread is to be within 0.05 of the charted colours",
    ),
    "more heads than there is stock": (
        "bundle",
        ["--set", "heads=250", "--cap", "20000.00"],
        "goods are to be in stock for 250 heads",
    ),
    "kept, but dearer than its limit": (
        "bundle",
        ["--set", 'choose.keep=["SC-GULLWING"]'],
        "SC-GULLWING (row 260) is to be kept",
    ),
    "two kept of one need": (
        "bundle",
        ["--set", 'choose.keep=["SC-HERON", "SC-DECK"]'],
        "SC-DECK (row 256) is to be kept",
    ),
    "the only such needle is left out": (
        "bundle",
        [
            "--set",
            'needs.needle.only.sku=["NE-26-6"]',
            "--set",
            'choose.leave_out=["NE-26-6"]',
        ],
        "NE-26-6 is left out",
    ),
    "a kept extra, and no extras wanted": (
        "bundle",
        ["--set", 'choose.keep=["HP-W14"]', "--set", 'extras.spend="none"'],
        "no extras are wanted",
    ),
    "a kept extra of a category that is not asked for": (
        "bundle",
        ["--set", 'choose.keep=["HP-W14"]', "--set", 'extras.categories=["card"]'],
        "extras are to come from card only",
    ),
    "two extras kept where one is the most": (
        "bundle",
        ["--set", 'choose.keep=["HP-W14", "CD-HOWTO"]', "--set", "extras.most=1"],
        "no more than one extra is wanted",
    ),
    "the needle at home is too thick": (
        "bundle",
        ["--set", "needs.needle.have={needle_sizes=[18]}"],
        "the needle that is at home is to do",
    ),
    "the fabric at home is too small": (
        "bundle",
        ["--set", 'needs.fabric.have={weave="aida", count=14, width_cm=12, height_cm=12}'],
        "the fabric that is at home is to do",
    ),
    "a need of which the shop has nothing": (
        "bundle",
        [
            "--set",
            'holds=["chart", "fabric", "thread", "needle", "scissors", "marker"]',
            "--set",
            'extras.categories=["card"]',
            "--set",
            "needs.marker.min_quality=100",
        ],
        "the marker is to have a quality of 100 or more",
    ),
    "a margin that no kit leaves the shop": (
        "bundle",
        [
            "--set",
            "shop.margin_rate=0.9",
            "--set",
            "shop.sell_at=30.00",
            "--set",
            'shop.uncosted="leave out"',
        ],
        "a share of 0.9 is to be left of 30.00 EUR",
    ),
    "a margin that no kit for the class leaves": (
        "class-of-twelve",
        [
            "--set",
            "shop.margin_rate=0.95",
            "--set",
            "shop.sell_at=216.00",
            "--set",
            'shop.uncosted="leave out"',
        ],
        "a share of 0.95 is to be left of 216.00 EUR",
    ),
    "a letter that weighs next to nothing": (
        "letter",
        ["--set", 'limits."the letter\'s 500 g".most=40'],
        "allows at most 40 of weight_g in all",
    ),
    "more treats than there are kinds": (
        "letter",
        [
            "--set",
            'limits."no more than three treats".least=9',
            "--set",
            'limits."no more than three treats".most=9',
        ],
        "allows at least 9 lines",
    ),
    "goods for the nail heavier than any": (
        "frame",
        [
            "--set",
            'limits."the nail holds a kilogram".least=5000',
            "--set",
            'limits."the nail holds a kilogram".most=6000',
        ],
        "allows at least 5000 of weight_g",
    ),
    "a letter in a lesson of one hour": (
        "letter",
        ["--set", "lesson.hours_at_most=1"],
        "the design is to be finished in 1 hours",
    ),
    "a margin of most of the price": (
        "bundle",
        MARGIN,
        "a share of 0.7 is to be left of 20.00 EUR",
    ),
    "free colours further apart than any": (
        "bundle",
        ["--set", 'shades.mode="free"', "--set", "shades.contrast=99"],
        "shades are to differ by 99 from each other and from the cloth",
    ),
    "a letter heavier than the shop has goods for the cap": (
        "letter",
        [
            "--set",
            'limits."the letter\'s 500 g".least=5000',
            "--set",
            'limits."the letter\'s 500 g".most=6000',
        ],
        "allows at least 5000 of weight_g",
    ),
    "a margin that no kit of one series leaves": (
        "frame",
        MARGIN,
        "a share of 0.7 is to be left of 20.00 EUR",
    ),
    "no design between two sizes, and no cloth": (
        "frame",
        [
            "--set",
            "size.at_most_cm=[6, 7]",
            "--set",
            'pairs=[{name="no cloth", never={category="fabric"}}]',
        ],
        "the design is to be within 6 × 7 cm",
    ),
    "something to wrap it, but no gift-wrap": (
        "letter",
        ["--set", 'extras.categories=["card"]'],
        'the rule "something to wrap it" asks for gift-wrap',
    ),
}


# One of each kind by default, the others with the slow tests.
QUICK = (
    "the cap is too low",
    "fabric may cost next to nothing",
    "a margin wider than the cloth",
    "thread has to be all but the same",
    "kept, but dearer than its limit",
    "a kept extra, and no extras wanted",
    "the needle at home is too thick",
)
over_causes = pytest.mark.parametrize(
    "cause",
    [pytest.param(cause, marks=[] if cause in QUICK else pytest.mark.slow) for cause in PLANTED],
)


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@over_causes
def test_the_first_sentence_names_the_cause_and_the_first_hint_gives_a_kit(cause):
    name, changed, named = PLANTED[cause]
    brief = DEMO / f"{name}.toml"
    done = run("pick", SHOP, brief, *changed)
    assert done.exit_code == 1, done.stdout
    told = " ".join(done.stdout.partition("No kit.")[2].split())
    assert named in told.partition(". ")[0] + ".", told
    hint = next(line for line in done.stdout.splitlines() if "hint: " in line)
    options = shlex.split(hint.partition("hint: ")[2])
    assert run("pick", SHOP, brief, *changed, *options).exit_code == 0, hint


@pytest.mark.slow
@pytest.mark.parametrize("cause", PLANTED)
def test_why_says_what_pick_says(cause):
    name, changed, _ = PLANTED[cause]
    brief = DEMO / f"{name}.toml"
    told = run("why", SHOP, brief, *changed).stdout.strip()
    assert told.startswith("No kit.")
    assert told in run("pick", SHOP, brief, *changed).stdout
