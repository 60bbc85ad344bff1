"""Explanations where a brief asks for more than the ordinary."""

import shlex
from pathlib import Path

import pytest
from instances import instance, to_toml
from seeds import over_seeds

from kitsolver import Status, pick, read_brief, read_catalogue
from kitsolver.brief.reading import with_settings
from kitsolver.explain.no_kit.why_no_kit import why_no_kit
from kitsolver.explain.others import others
from kitsolver.explain.recheck.recheck import recheck
from kitsolver.explain.recheck.saved import saved_of
from kitsolver.explain.why_not import Verdict, why_not
from kitsolver.show.kit_record import record_of

# One chart, so that little has to be asked.
KEPT = 'choose.keep=["CH-HERMIT"]'
DEMO = Path(__file__).parents[2] / "catalogues"


@pytest.fixture(scope="module")
def shop():
    return read_catalogue(DEMO / "tormellick-whelk.csv", currency="EUR")


def mended(brief, mend):
    """Give a brief with the options of a mend."""
    words = shlex.split(mend.options)
    pairs = list(zip(words[::2], words[1::2], strict=True))
    sets = [value for option, value in pairs if option == "--set"]
    cap = next((value for option, value in pairs if option == "--cap"), None)
    return with_settings(brief, sets=sets, cap=cap)


@pytest.mark.parametrize(
    ("settings", "conflict", "told"),
    [
        (['all.tags_all=["unheard-of"]'], "all.tags_all", "carry the tag unheard-of"),
        (['all.tags_none=["beginner"]'], "all.tags_none", "go without the tag beginner"),
        pytest.param(
            ["shop.sell_at=30.00", "shop.margin_rate=0.9", "shop.uncosted=leave out", KEPT],
            "shop.margin_rate",
            "0.9 is to be left",
            marks=pytest.mark.slow,
        ),
        pytest.param(
            ["shades.mode=free", "shades.contrast=99", KEPT],
            "shades.contrast",
            "differ by 99 from each other",
            marks=pytest.mark.slow,
        ),
        (
            [
                'extras.categories=["card"]',
                'choose.keep=["CD-HOWTO"]',
                'extras.conditions.card.tags_any=["unheard-of"]',
            ],
            "extras.conditions.card.tags_any",
            "unheard-of",
        ),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_planted_cause_is_named_and_its_mend_gives_a_kit(shop, settings, conflict, told):
    brief = with_settings(read_brief(DEMO / "bundle.toml"), sets=settings)
    assert pick(shop, brief).status is Status.NO_KIT
    why = why_no_kit(shop, brief)
    assert conflict in why.conflict
    assert told in " ".join(why.because)
    assert why.mends
    for mend in why.mends:
        assert pick(shop, mended(brief, mend)).kit is not None, mend


@pytest.fixture
def drawn(tmp_path):
    def draw(seed):
        text, asked = instance(seed, further=True)
        (tmp_path / "shop.csv").write_text(text, encoding="utf-8", newline="")
        (tmp_path / "brief.toml").write_text(to_toml(asked), encoding="utf-8")
        brief = read_brief(tmp_path / "brief.toml")
        return read_catalogue(tmp_path / "shop.csv", currency=brief.currency), brief

    return draw


@over_seeds(range(90_000, 90_015), quick=3)
def test_of_any_brief_all_questions_are_answered(drawn, seed):
    """Mends give kits, other kits are no better, saved kits stand, rows are told of truly."""
    catalogue, brief = drawn(seed)
    outcome = pick(catalogue, brief)
    if outcome.kit is None:
        why = why_no_kit(catalogue, brief)
        assert why.because
        for mend in why.mends[:2]:
            assert pick(catalogue, mended(brief, mend)).kit is not None, mend
        return
    best = outcome.kit.figures
    for other in others(catalogue, brief, 2).kits:
        mine = (best.together, best.quality, best.extras)
        its = (other.figures.together, other.figures.quality, other.figures.extras)
        assert its[0] <= mine[0] if best.together is not None else its[1:] <= mine[1:]
    found = recheck(saved_of(record_of(outcome)), catalogue)
    assert found.stands
    assert found.still_best
    sku = outcome.kit.lines[0].sku if outcome.kit.lines else None
    if sku:
        assert why_not(catalogue, brief, sku).verdict is Verdict.IN
