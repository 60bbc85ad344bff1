"""A brief held against a catalogue: every name it uses must mean something there."""

import pytest
from typer.testing import CliRunner

from kitsolver import BadInput, read_catalogue
from kitsolver.brief.validate_against import validate_against
from kitsolver.cli import app

SHOP = """\
sku,name,category,price,quality,finish
lamp-01,Oil lamp,lamp,3.50,60,matt
tin-1,Tin box,case,1.25,50,
tin-2,Felt roll,case,2.00,70,plain
"""


@pytest.fixture
def held(read, tmp_path):
    """Return what holding a brief against the shop gives: the findings, or the warnings."""

    def held(more, *, shop=SHOP, currency="EUR", **options):
        path = tmp_path / "shop.csv"
        path.write_text(shop)
        brief, catalogue = read(more, **options), read_catalogue(path, currency=currency)
        try:
            warnings = validate_against(brief, catalogue, "brief.toml")
        except BadInput as bad:
            return bad.findings
        assert all(finding.warning for finding in warnings)
        return warnings

    return held


def told(findings):
    return [(f.code, f.level, f.file, f.column, f.value, f.hint) for f in findings]


def test_a_brief_that_names_what_the_shop_has_passes(held):
    findings = held("""
        holds = ["lamp", "chart"]
        [needs.lamp]
        only = { finish = "matt", tags = "a", quality = 60 }
        [extras]
        categories = ["case", "hoop", "needle"]
        [choose]
        keep = ["lamp-01"]
        own = ["tin-1"]
        leave_out = ["tin-2"]
    """)
    assert findings == ()


def test_a_condition_on_another_category_s_column_is_a_warning(held):
    findings = held("""
        holds = ["lamp"]
        [needs.lamp]
        only = { finish = "matt", weave = ["aida"], count = [14] }
    """)
    assert told(findings) == [
        (
            "foreign-column",
            "warning",
            "brief.toml",
            "needs.lamp.only",
            column,
            "move the condition to the table of that category",
        )
        for column in ("weave", "count")
    ]
    shop = SHOP.replace("finish", "weave")
    assert held('holds = ["lamp"]\n[needs.lamp]\nonly = { weave = "matt" }', shop=shop) == ()


@pytest.mark.parametrize("need", ["chart", "fabric", "thread", "needle", "scissors"])
def test_such_a_condition_is_no_fault_of_the_program(need, tmp_path):
    (tmp_path / "shop.csv").write_text(
        "sku,name,category,price,quality,weave,count,colours,needle_sizes,stitches_wide,"
        "stitches_high,width_cm,height_cm\n"
        "C,c,chart,1,1,,,#aabbcc:9,,9,9,,\nF,f,fabric,1,1,aida,14,,,,,50,50\n"
        "T,t,thread,1,1,,,#aabbcc,,,,,\nN,n,needle,1,1,,,,24,,,,\nS,s,scissors,1,1,,,,,,,,\n"
    )
    brief = f'[needs.{need}]\nonly = {{ weave = ["aida"], count = [14] }}\n'
    (tmp_path / "brief.toml").write_text(f'currency = "EUR"\ncap = 9\n{brief}')
    files = [str(tmp_path / "shop.csv"), str(tmp_path / "brief.toml")]
    for command in ("check", "pick", "why"):
        done = CliRunner().invoke(app, [command, *files])
        assert done.exit_code in ((0,) if need == "fabric" else (0, 1)), done.output
        assert ("foreign-column" in done.output + done.stderr) == (need != "fabric")


def test_of_many_unknown_skus_only_the_first_have_hints(held):
    findings = held(f"[choose]\nkeep = {[f'lamp-{place}' for place in range(2, 5000)]}")
    assert len(findings) == 4998
    assert [bool(finding.hint) for finding in findings[:7]] == [True] * 5 + [False] * 2


@pytest.mark.parametrize("key", ["keep", "own"])
def test_an_unknown_sku_that_is_wanted_is_an_error(held, key):
    findings = held(f"[choose]\n{key} = ['lamp-1', 'tin-1', 'lamp-1']")
    assert told(findings) == [
        ("unknown-sku", "error", "brief.toml", f"choose.{key}", "lamp-1", "did you mean lamp-01?")
    ]


def test_an_unknown_sku_that_is_left_out_is_a_warning(held):
    findings = held("[choose]\nleave_out = ['tin-3', 'tin-1']")
    assert [f[:5] for f in told(findings)] == [
        ("unknown-left-out", "warning", "brief.toml", "choose.leave_out", "tin-3")
    ]


def test_a_sku_of_a_refused_row_is_unknown(read, tmp_path):
    path = tmp_path / "shop.csv"
    path.write_text(SHOP.replace("3.50", "x"))
    catalogue = read_catalogue(path, currency="EUR", skip_bad_rows=True)
    with pytest.raises(BadInput) as bad:
        validate_against(read("[choose]\nkeep = ['lamp-01']"), catalogue)
    assert [f.code for f in bad.value.findings] == ["unknown-sku"]
    # Its category is one of the shop's none the less.
    assert validate_against(read("holds = ['lamp']"), catalogue) == ()


def test_an_unknown_category_cannot_be_a_need(held):
    assert told(held("holds = ['chart', 'lam']")) == [
        ("unknown-category", "error", "brief.toml", "holds", "lam", "did you mean lamp?")
    ]


def test_the_crafts_own_categories_are_known_everywhere(held):
    assert held("holds = ['chart', 'fabric', 'thread', 'needle', 'scissors', 'hoop']") == ()


def test_an_unknown_column_in_a_condition_is_an_error(held):
    findings = held("[needs.fabric]\nonly = { finnish = 'matt', count = 14, finish = 'matt' }")
    assert told(findings) == [
        (
            *("unknown-condition-column", "error", "brief.toml", "needs.fabric.only", "finnish"),
            "did you mean finish?",
        )
    ]


def test_categories_of_extras_are_only_warned_of(held):
    findings = held("holds = ['lamp']\n[extras]\ncategories = ['cases', 'lamp', 'hoop']")
    column = "extras.categories"
    assert told(findings) == [
        (
            *("unknown-extra-category", "warning", "brief.toml", column, "cases"),
            "did you mean case?",
        ),
        ("extra-is-need", "warning", "brief.toml", column, "lamp", f"take it out of {column}"),
    ]


@pytest.mark.parametrize(
    ("currency", "too_fine"), [("KWD", []), ("EUR", []), ("JPY", ["lamp-01", "tin-1"])]
)
def test_prices_read_without_a_currency_are_held_against_the_briefs(held, currency, too_fine):
    least = f'currency = "{currency}"\ncap = 30\n'
    findings = held("", currency=None, least=least)
    assert sorted(f.value for f in findings) == too_fine
    for finding in findings:
        assert (finding.code, finding.column) == ("price-finer-than-currency", "price")
        assert finding.row == {"lamp-01": 2, "tin-1": 3}[finding.value]
        assert finding.file.endswith("shop.csv")
        assert currency in finding.sentence


def test_all_is_found_at_once_and_warnings_come_along(held):
    findings = held("""
        holds = ["lam"]
        [needs.lam]
        only = { finnish = "matt" }
        [choose]
        keep = ["lamp-1"]
        own = ["tin-9"]
        leave_out = ["tin-8"]
    """)
    assert [f.code for f in findings] == [
        *("unknown-category", "unknown-condition-column"),
        *("unknown-sku", "unknown-sku", "unknown-left-out"),
    ]
