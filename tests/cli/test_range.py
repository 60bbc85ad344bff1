"""`kitsolver range` as its users meet it."""

import json
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.show.schema.schemas import schema_of

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
RANGE = str(DEMO / "spring-range.toml")


def run(*arguments):
    return CliRunner().invoke(app, ["range", *map(str, arguments)])


def fits(record, name):
    validator = jsonschema.Draft202012Validator(schema_of(name))
    return list(validator.iter_errors(record)) == []


@pytest.fixture(scope="module")
def made():
    done = run(SHOP, RANGE, "--json", "-")
    assert done.exit_code == 0, done.stderr
    return json.loads(done.stdout)


def test_the_demo_s_range_is_proven_and_adds_up(made):
    assert fits(made, "range")
    assert made["status"] == "best"
    assert [kit["copies"] for kit in made["kits"]] == [10, 6, 3]
    paid = sum(kit["copies"] * Decimal(kit["kit"]["payable"]) for kit in made["kits"])
    assert Decimal(made["payable"]) == paid
    charts = [
        line["sku"]
        for kit in made["kits"]
        for line in kit["kit"]["lines"]
        if line["category"] == "chart"
    ]
    assert len(set(charts)) == 3
    assert all(check["holds"] for check in made["checks"])
    assert all(one["left"] == one["stock"] - one["taken"] >= 0 for one in made["stock"])


def test_each_kit_of_it_stands_when_it_is_checked_again(made, tmp_path):
    assert made["kits"]
    for kit in made["kits"]:
        (tmp_path / "kit.json").write_text(json.dumps(kit["kit"]), encoding="utf-8")
        again = CliRunner().invoke(app, ["recheck", str(tmp_path / "kit.json"), SHOP])
        assert again.exit_code == 0, again.stdout


def test_at_a_terminal_it_says_what_each_holds_and_what_is_short():
    told = run(SHOP, RANGE).stdout
    assert "10 copies at" in told
    assert "Proven best together" in told
    assert "which may not share it" in told
    assert "Least is left of" in told


def test_of_a_saved_kit_the_copies_are_counted(made, tmp_path):
    kit = made["kits"][0]["kit"]
    (tmp_path / "kit.json").write_text(json.dumps(kit), encoding="utf-8")
    done = run(SHOP, tmp_path / "kit.json", "--json", "-")
    counted = json.loads(done.stdout)
    assert fits(counted, "copies")
    least = min(one["stock"] // one["units"] for one in counted["lines"] if one["stock"])
    assert counted["copies"] == least >= 10
    assert f"makes {least}." in run(SHOP, tmp_path / "kit.json").stdout


def test_a_range_that_cannot_be_made_says_for_which_kit_and_why(tmp_path):
    path = tmp_path / "range.toml"
    path.write_text('currency = "EUR"\n[[kits]]\nname = "tiny"\ncap = "2.00"\n', encoding="utf-8")
    done = run(SHOP, path)
    assert done.exit_code == 1
    assert "no way to make a kit of tiny" in done.stdout
    assert "no more than 2.00 EUR is to be paid" in done.stdout
    record = json.loads(run(SHOP, path, "--json", "-").stdout)
    assert fits(record, "range")
    assert (record["status"], record["lacking"], record["kits"]) == ("no kit", "tiny", [])
    assert record["why"]["conflict"] == ["cap"]


def test_what_no_stock_makes_together_is_told(tmp_path):
    shop, path = tmp_path / "shop.csv", tmp_path / "range.toml"
    shop.write_text("sku,name,category,price,quality,stock\nA,a,case,1,50,3\n", encoding="utf-8")
    kits = "".join(f'[[kits]]\nname = "{name}"\ncopies = 2\ncap = "1.00"\n' for name in "ab")
    path.write_text(f'currency = "EUR"\n[brief]\nholds = ["case"]\n{kits}', encoding="utf-8")
    done = run(shop, path)
    assert done.exit_code == 1
    assert "but not all of them from this stock" in done.stdout
    assert "4 of it, and 3 are in stock" in done.stdout


def test_what_is_short_for_the_copies_of_one_kit_is_told_by_the_stock_of_its_row(tmp_path):
    shop, path = tmp_path / "shop.csv", tmp_path / "range.toml"
    shop.write_text("sku,name,category,price,quality,stock\nT2,a,case,1,50,6\n", encoding="utf-8")
    kit = '[[kits]]\nname = "one"\ncopies = 8\ncap = "9.00"\n'
    path.write_text(f'currency = "EUR"\n[brief]\nholds = ["case"]\n{kit}', encoding="utf-8")
    done = run(shop, path)
    assert done.exit_code == 1
    told = " ".join(done.stdout.split())
    assert "has 6 in stock, which is not one for each copy, and a copy takes 1" in told


def test_bad_input_is_told_with_its_place(tmp_path):
    path = tmp_path / "range.toml"
    path.write_text(
        'currency = "EUR"\n[[kits]]\nname = "one"\ncap = "20.00"\nchoose.keep = ["NO-SUCH"]\n',
        encoding="utf-8",
    )
    done = run(SHOP, path, "--json", tmp_path / "out.json")
    assert done.exit_code == 2
    assert "unknown-sku" in done.stderr
    assert "kits.one.choose.keep" in done.stderr
    assert not (tmp_path / "out.json").exists()
