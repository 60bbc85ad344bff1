"""A value that an option brought is told at the option, and not at the brief's file."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP, BRIEF = str(DEMO / "tormellick-whelk.csv"), str(DEMO / "bundle.toml")


def told(*arguments):
    """Give the first line of what a refused command says."""
    done = CliRunner().invoke(app, list(arguments))
    assert done.exit_code == 2
    return done.stderr.splitlines()[0]


@pytest.mark.parametrize("command", ["pick", "others", "why"])
def test_a_bad_cap_is_told_at_its_option(command):
    place = "error (number-with-comma) --cap, cap: '18,00'"
    assert told(command, SHOP, BRIEF, "--cap", "18,00") == place


@pytest.mark.parametrize(
    ("setting", "place"),
    [
        ("heads=zero", "heads: 'zero'"),
        ("cap=much", "cap: 'much'"),
        ('needs.chart={max_price="x"}', "needs.chart.max_price: 'x'"),
        ("needs.chart.foo=1", "needs.chart.foo"),
        ("needs.hoop.weight=2", "needs.hoop: 'hoop'"),
        ("needs.chart.only.foo=[1]", "needs.chart.only: 'foo'"),
        ('choose.keep=["NOPE"]', "choose.keep: 'NOPE'"),
        ('limits=[{column="weight_g",most="x"}]', "limits 1.most: 'x'"),
    ],
)
def test_a_bad_setting_is_told_at_its_option(setting, place):
    line = told("pick", SHOP, BRIEF, "--set", setting)
    assert line.split(") ", 1)[1] == f"--set, {place}"


@pytest.mark.parametrize(
    ("setting", "place"),
    [
        ('limits."at most 400 g".most=abc', "limits 2.most: 'abc'"),
        ('limits."at most 400 g".nost=5', "limits 2.nost"),
        ('limits."at most 400 g".least=500', "limits 2: '{"),
        ('limits."at most 400 g".column="nix"', "limits \"at most 400 g\".column: 'nix'"),
        ("limits.weight_g.most=-1", "limits 1.most: '-1'"),
    ],
)
def test_a_bad_setting_of_one_of_several_rules_is_told_at_its_option(setting, place, tmp_path):
    brief = tmp_path / "brief.toml"
    second = '[[limits]]\nname="at most 400 g"\ncolumn="weight_g"\nmost=400\n'
    first = '[[limits]]\ncolumn="weight_g"\nmost=600\n'
    brief.write_text(f'currency="EUR"\ncap="30.00"\n{first}{second}', encoding="utf-8")
    line = told("pick", SHOP, str(brief), "--set", setting)
    assert line.split(") ", 1)[1].startswith(f"--set, {place}")
    # What the brief says itself is told at the brief.
    brief.write_text(brief.read_text("utf-8").replace("600", '"6x"'), encoding="utf-8")
    line = told("pick", SHOP, str(brief), "--set", 'limits."at most 400 g".most=500')
    assert line.split(") ", 1)[1] == f"{brief}, limits 1.most: '6x'"


def test_a_warning_about_a_setting_is_told_at_its_option():
    done = CliRunner().invoke(app, ["pick", SHOP, BRIEF, "--set", 'choose.leave_out=["NOPE"]'])
    assert "(unknown-left-out) --set, choose.leave_out: 'NOPE'" in done.stderr


@pytest.mark.parametrize(
    ("command", "option"), [("ladder", "--from"), ("ladder", "--to"), ("others", "--beyond")]
)
def test_any_other_sum_is_told_at_its_option(command, option):
    line = told(command, SHOP, BRIEF, option, "5x")
    assert line == f"error (bad-value) the command, {option}: '5x'"


def test_what_stands_in_the_brief_is_told_there(tmp_path):
    brief = tmp_path / "brief.toml"
    brief.write_text('currency = "EUR"\ncap = "10"\nheads = 0\n', encoding="utf-8")
    assert f"{brief}, heads" in told("pick", SHOP, str(brief), "--cap", "9", "--set", "title=x")


def test_a_batch_tells_a_setting_at_its_option(tmp_path):
    out = tmp_path / "out"
    arguments = ["batch", SHOP, BRIEF, "--out", str(out), "--set", "heads=zero"]
    assert CliRunner().invoke(app, arguments).exit_code == 2
    record = json.loads((out / "batch.json").read_text(encoding="utf-8"))
    (finding,) = record["briefs"][0]["findings"]
    assert (finding["file"], finding["column"]) == ("--set", "heads")
