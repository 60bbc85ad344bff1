"""The command line as its users meet it, on the demo and on what they get wrong."""

import json
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
BRIEFS = ("bundle", "class-of-twelve", "gift-card")

# What is there only where there is something to tell.
MORE = ("warnings", "margin", "plan")
KEYS = [
    "schema", "status", "title", "currency", "heads", "cap",
    "goods", "discount", "delivery", "tax",
    "payable", "left", "quality", "extras_quality", "bound",
    "lines", "shades", "fit", "checks", "next_rung", "skipped", "brief",
]  # fmt: skip


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def brief_of(name):
    return str(DEMO / f"{name}.toml")


@pytest.fixture
def little(tmp_path):
    """A shop of four goods and a brief for a pair of scissors, to be spoilt."""
    shop = tmp_path / "shop.csv"
    shop.write_text(
        "sku,name,category,price,quality\n"
        "S1,Stork,scissors,5.00,60\n"
        "S2,Heron,scissors,8.00,80\n"
        "C1,=Tin box,case,1.00,50\n"
        "C2,Felt roll,case,2.00,70\n",
        encoding="utf-8",
    )
    brief = tmp_path / "brief.toml"
    brief.write_text('currency = "EUR"\ncap = "10.00"\nholds = ["scissors"]\n', encoding="utf-8")
    return shop, brief


@pytest.mark.parametrize("name", BRIEFS)
def test_the_demo_gives_audited_proven_kits(name):
    done = run("pick", SHOP, brief_of(name), "--json", "-", "--confirm")
    assert done.exit_code == 0
    record = json.loads(done.stdout)
    assert [key for key in record if key not in MORE] == KEYS
    assert record["schema"] == "kitsolver/kit/1"
    assert record["status"] == "best"
    assert record["extras_quality"] > 0
    assert all(check["holds"] is not False for check in record["checks"])
    assert [record["bound"][key] for key in ("quality", "extras_quality", "payable")] == [
        record[key] for key in ("quality", "extras_quality", "payable")
    ]


@pytest.mark.parametrize("name", BRIEFS)
def test_sums_of_the_record_add_up(name):
    record = json.loads(run("pick", SHOP, brief_of(name), "--json", "-").stdout)
    money = {key: Decimal(record[key]) for key in KEYS[5:12]}
    for line in record["lines"]:
        assert Decimal(line["line_total"]) == line["units"] * Decimal(line["price"])
    assert sum(Decimal(line["line_total"]) for line in record["lines"]) == money["goods"]
    paid = money["goods"] - money["discount"] + money["delivery"] + money["tax"]
    assert paid == money["payable"] == money["cap"] - money["left"]


def test_a_saved_brief_asks_for_the_same_kit():
    from kitsolver import brief_of as read
    from kitsolver import pick, read_catalogue, record_of

    record = json.loads(run("pick", SHOP, brief_of("class-of-twelve"), "--json", "-").stdout)
    again = pick(read_catalogue(SHOP, currency="EUR"), read(record["brief"]))
    assert json.loads(json.dumps(record_of(again))) == record


def test_the_terminal_view_is_as_the_readme_shows_it():
    done = run("pick", SHOP, brief_of("bundle"))
    shown = [line.rstrip() for line in done.stdout.splitlines()]
    readme = (DEMO.parent / "README.md").read_text(encoding="utf-8")
    assert "\n".join(shown) in readme
    assert max(map(len, shown)) <= 80


@pytest.mark.parametrize("name", BRIEFS)
def test_eighty_columns_are_enough(name):
    done = run("pick", SHOP, brief_of(name))
    assert done.exit_code == 0
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "Proven best" in done.stdout


def test_cautions_for_a_class_defer_to_the_venue():
    shown = run("pick", SHOP, brief_of("class-of-twelve")).stdout
    assert "Count needles out and in" in shown
    assert "venue's own rules come first" in shown


def test_trade_cost_is_for_the_shop_only():
    done = run("pick", SHOP, brief_of("bundle"), "--json", "-")
    assert "trade_cost" not in done.stdout
    assert (
        "trade_cost" in run("pick", SHOP, brief_of("bundle"), "--csv", "-").stdout.splitlines()[0]
    )


def test_the_buying_list_guards_against_formulas(little):
    shop, brief = little
    shop.write_text(
        shop.read_text().replace("price,quality", "price,quality,shelf").replace("80\n", "80,-5\n")
    )
    shop.write_text(
        "\n".join(
            f"{line}," if line.count(",") == 4 else line for line in shop.read_text().splitlines()
        )
    )
    brief.write_text(brief.read_text() + '[choose]\nkeep = ["C1"]\n')
    done = run("pick", shop, brief, "--csv", "-")
    assert done.stdout.splitlines() == [
        "sku,name,category,role,units,price,line_total,quality,shelf",
        "S2,Heron,scissors,need,1,8.00,8.00,80.0,-5",
        "C1,'=Tin box,case,extra,1,1.00,1.00,50.0,",
    ]
    assert "formula" in done.stderr


def test_no_kit_is_told_with_the_cap_that_would_do(little):
    shop, brief = little
    done = run("pick", shop, brief, "--cap", "4.99", "--json", "-")
    assert done.exit_code == 1
    record = json.loads(done.stdout)
    assert record["status"] == "no kit"
    assert record["lines"] == []
    assert record["why"]["hints"] == ["--cap 5.00"]
    assert run("pick", shop, brief, "--cap", "5.00").exit_code == 0


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        (
            'needs.scissors.only={ sku = ["S9"] }',
            "Nothing is left for scissors, because the scissors are to have sku S9.",
        ),
        ('choose.keep=["S1", "S2"]', "a kit holds one scissors"),
        ('needs.scissors.max_price="1.00"', "because the scissors are to cost no more than 1.00"),
        ('holds=["scissors", "fabric"]', "has nothing for fabric"),
    ],
)
def test_no_kit_names_what_is_in_the_way(little, setting, told):
    done = run("pick", *little, "--set", setting)
    assert done.exit_code == 1
    assert told in " ".join(done.stdout.split())


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (lambda text: text.replace("5.00", "five"), "not-a-number"),
        (lambda text: text.replace("S2", "S1"), "duplicate-sku"),
        (lambda text: text + '"', "unclosed-quote"),
        (lambda _: "", "empty-file"),
    ],
)
def test_a_spoilt_catalogue_gives_findings_and_writes_nothing(little, tmp_path, spoil, code):
    shop, brief = little
    shop.write_text(spoil(shop.read_text()))
    target = tmp_path / "kit.json"
    done = run("pick", shop, brief, "--json", target)
    assert done.exit_code == 2
    assert code in done.stderr
    assert done.stdout == ""
    assert not target.exists()


def test_bad_rows_can_be_passed_over(little):
    shop, brief = little
    shop.write_text(shop.read_text().replace("8.00", "eight"))
    assert run("pick", shop, brief).exit_code == 2
    done = run("pick", shop, brief, "--skip-bad-rows")
    assert done.exit_code == 0
    assert "Stork" in done.stdout
    assert "row 3" in done.stderr


def test_a_result_that_cannot_be_written_is_a_finding(little, tmp_path):
    done = run("pick", *little, "--json", tmp_path / "no" / "kit.json")
    assert done.exit_code == 2
    assert "unwritable" in done.stderr


def test_a_failed_write_leaves_what_stood_there(little, tmp_path, monkeypatch):
    target = tmp_path / "kit.json"
    target.write_text("before")

    def fail(*_):
        raise OSError("disk full")

    monkeypatch.setattr(Path, "replace", fail)
    assert run("pick", *little, "--json", target).exit_code == 2
    assert target.read_text() == "before"
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "brief.toml",
        "kit.json",
        "shop.csv",
    ]


def test_check_exits_0_with_warnings_only_and_2_with_errors(little):
    shop, brief = little
    done = run("check", shop, brief)
    assert done.exit_code == 0
    assert "formula" in done.stdout
    unchecked = run("check", shop)
    assert unchecked.exit_code == 0
    assert "decimals-unchecked" in unchecked.stdout
    shop.write_text(shop.read_text().replace("60", "160").replace("50", "x"))
    done = run("check", shop, "--json", "-")
    assert done.exit_code == 2
    record = json.loads(done.stdout)
    assert record["usable_rows"] == 2
    assert {finding["row"] for finding in record["findings"] if finding["level"] == "error"} == {
        2,
        4,
    }
    few = run("check", shop, "--most", "1")
    assert "more" in few.stdout


def test_check_knows_the_currency(little):
    shop, _ = little
    assert run("check", shop, "--currency", "JPY").exit_code == 2
    assert run("check", shop, "--currency", "EUR").exit_code == 0
    assert "unknown-currency" in run("check", shop, "--currency", "EUX").stderr


def test_usage_errors_exit_2(little):
    assert run("pick", *little, "--solver", "abacus").exit_code == 2
    assert run("pick", little[0]).exit_code == 2
    both = run("pick", *little, "--json", "-", "--csv", "-")
    assert both.exit_code == 2
    assert both.stdout == ""


def test_a_limit_too_short_for_any_kit_says_so():
    done = run("pick", SHOP, brief_of("bundle"), "--set", "needs.chart={}", "--seconds", "0.001")
    assert done.exit_code == 2
    assert "hint: give more time" in done.stderr


def test_a_kit_that_fails_its_audit_is_never_shown(little, monkeypatch):
    from kitsolver.solve import audited as module
    from kitsolver.solve.audit.audit import Check

    monkeypatch.setattr(module, "audit", lambda *_: (Check("cap", False, "planted"),))
    done = run("pick", *little, "--json", "-")
    assert done.exit_code == 70
    assert done.stdout == ""
    assert "cap: planted" in done.stderr


def test_the_readme_s_brief_is_a_brief(tmp_path):
    from kitsolver import read_brief

    readme = (DEMO.parent / "README.md").read_text(encoding="utf-8")
    path = tmp_path / "brief.toml"
    path.write_text(readme.split("```toml\n")[1].split("```")[0], encoding="utf-8")
    assert read_brief(path).need("fabric").weight == 2


def test_out_of_time_with_a_kit_in_hand_exits_3_and_is_never_called_best(monkeypatch):
    from dataclasses import replace

    from kitsolver.solve.model import lexicographic

    true_run = lexicographic.run
    monkeypatch.setattr(lexicographic, "run", lambda *a: replace(true_run(*a), finished=False))
    asked = ("pick", SHOP, brief_of("gift-card"), "--engine", "oneshot")
    done = run(*asked, "--json", "-")
    assert done.exit_code == 3
    record = json.loads(done.stdout)
    assert record["status"] == "best so far"
    assert record["lines"]
    assert record["bound"]["quality"] >= record["quality"]
    assert record["bound"]["extras_quality"] >= record["extras_quality"]
    assert Decimal(record["bound"]["payable"]) <= Decimal(record["payable"])
    shown = run(*asked)
    assert "Not proven best" in shown.stdout
    assert "Proven best" not in shown.stdout


@pytest.mark.slow
def test_every_engine_and_solver_gives_the_same_bytes():
    texts = {
        run(
            "pick", SHOP, brief_of("bundle"), "--json", "-", "--engine", engine, "--solver", s
        ).stdout
        for engine in ("bychart", "oneshot")
        for s in ("scip", "highs", "cp-sat")
    }
    assert len(texts) == 1
