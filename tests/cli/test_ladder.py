"""`kitsolver ladder` as its users meet it."""

import csv
import io
import json
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from out_of_time import out_of_time_after
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
BUNDLE = str(DEMO / "bundle.toml")
RUNG = ["cap", "payable", "a_head", "quality", "extras_quality", "skus", "came", "went"]


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def climbed(*arguments):
    done = run("ladder", SHOP, BUNDLE, *arguments, "--json", "-")
    assert done.exit_code == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture(scope="module")
def whole():
    return climbed()


def test_the_record_has_the_keys_of_its_schema_and_rises(whole):
    assert whole["schema"] == "kitsolver/ladder/1"
    assert (whole["currency"], whole["to"]) == ("EUR", "60.00")
    assert whole["from"] == whole["rungs"][0]["cap"] == whole["proven_from"]
    for rung in whole["rungs"]:
        assert list(rung) == RUNG
        assert rung["cap"] == rung["payable"]
    for below, above in pairwise(whole["rungs"]):
        assert Decimal(below["cap"]) < Decimal(above["cap"])
        ranks = [(rung["quality"], rung["extras_quality"]) for rung in (below, above)]
        assert ranks[0] < ranks[1]
        assert set(above["skus"]) - set(above["came"]) <= set(below["skus"])


def test_a_pick_says_what_the_next_rung_would_buy(whole):
    picked = json.loads(run("pick", SHOP, BUNDLE, "--json", "-").stdout)
    rung = next(r for r in whole["rungs"] if Decimal(r["cap"]) > Decimal(picked["cap"]))
    missing = Decimal(rung["cap"]) - Decimal(picked["cap"])
    assert picked["next_rung"] == {
        "cap": rung["cap"],
        "missing": str(missing),
        "quality": rung["quality"],
        "extras_quality": rung["extras_quality"],
    }
    assert f"{missing} EUR more would buy" in run("pick", SHOP, BUNDLE).stdout


def test_the_top_rung_has_no_next(whole):
    top = whole["rungs"][-1]["cap"]
    picked = json.loads(run("pick", SHOP, BUNDLE, "--cap", "500", "--json", "-").stdout)
    assert picked["next_rung"] is None
    assert Decimal(picked["payable"]) >= Decimal(top)


def test_from_and_to_bound_the_ladder(whole):
    part = climbed("--from", "20", "--to", "25.00")
    assert (part["from"], part["to"]) == ("20.00", "25.00")
    caps = [Decimal(rung["cap"]) for rung in whole["rungs"]]
    standing = max(cap for cap in caps if cap <= 20)
    expected = [standing, *(cap for cap in caps if 20 < cap <= 25)]
    assert [Decimal(rung["cap"]) for rung in part["rungs"]] == expected
    assert climbed("--from", "0")["rungs"] == whole["rungs"]


def test_csv_and_json_say_the_same(whole, tmp_path):
    target = tmp_path / "rungs.csv"
    done = run("ladder", SHOP, BUNDLE, "--csv", target)
    assert done.exit_code == 0
    rows = list(csv.DictReader(io.StringIO(target.read_text(encoding="utf-8"))))
    assert len(rows) == len(whole["rungs"])
    for row, rung in zip(rows, whole["rungs"], strict=True):
        assert list(row) == [name for name in RUNG if name != "a_head"]
        assert (row["cap"], float(row["quality"])) == (rung["cap"], rung["quality"])
        assert row["skus"].split(";") == rung["skus"]


def test_the_terminal_shows_each_rung_and_main_those_of_quality(whole):
    shown = run("ladder", SHOP, BUNDLE).stdout
    assert all(rung["cap"] in shown for rung in whole["rungs"])
    assert "█" in shown
    rises = [b["quality"] < a["quality"] for b, a in pairwise(whole["rungs"])]
    told = f"Rungs {len(whole['rungs'])}, each proven best; quality rises at {sum(rises)} of them."
    assert told in " ".join(shown.split())
    main = run("ladder", SHOP, BUNDLE, "--main").stdout
    qualities = [rung["quality"] for rung in whole["rungs"]]
    changes = [r for n, r in enumerate(whole["rungs"]) if not n or qualities[n - 1] != qualities[n]]
    lines = [line.split()[0] for line in main.splitlines() if "█" in line]
    assert lines == [rung["cap"] for rung in changes]


@pytest.mark.slow
def test_a_plot_is_drawn_by_the_file_s_ending(tmp_path):
    drawings = [tmp_path / name for name in ("one.svg", "two.svg", "three.PNG")]
    for drawing in drawings:
        assert run("ladder", SHOP, BUNDLE, "--to", "20", "--plot", drawing).exit_code == 0
    one, two, three = (drawing.read_bytes() for drawing in drawings)
    assert one == two
    words = "".join(ElementTree.fromstring(one).itertext())
    assert "Starter bundle for the counter" in words
    assert "cap, EUR" in words
    assert three.startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--plot", "ladder.gif"), "SVG or PNG"),
        (("--from", "30", "--to", "20"), "above the highest"),
        (("--from", "-1"), "below zero"),
        (("--to", "twenty"), "not a number"),
        (("--to", "20.001"), "finer than the currency: EUR"),
        (("--json", "-", "--csv", "-"), "cannot both"),
    ],
)
def test_what_cannot_be_done_is_said(arguments, told, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = run("ladder", SHOP, BUNDLE, *arguments)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert told in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_no_kit_up_to_the_highest_cap_exits_1_and_says_why():
    done = run("ladder", SHOP, BUNDLE, "--to", "5.00", "--json", "-")
    assert done.exit_code == 1
    record = json.loads(done.stdout)
    assert record["rungs"] == []
    assert record["why"]["hints"] == ["--to 8.75"]
    assert "No kit." in run("ladder", SHOP, BUNDLE, "--to", "5.00").stdout


def test_time_running_out_exits_3_with_what_is_proven(monkeypatch):
    from kitsolver.solve.decomposition import subproblems

    opened = subproblems.chart_frontier
    monkeypatch.setattr(subproblems, "chart_frontier", out_of_time_after(1, opened))
    done = run("ladder", SHOP, BUNDLE, "--json", "-")
    assert done.exit_code == 3
    record = json.loads(done.stdout)
    assert Decimal(record["proven_from"]) > Decimal(record["from"])
    monkeypatch.setattr(subproblems, "chart_frontier", out_of_time_after(1, opened))
    assert "Time ran out" in " ".join(run("ladder", SHOP, BUNDLE).stdout.split())
