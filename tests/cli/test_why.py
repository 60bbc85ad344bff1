"""The commands that explain: why and others."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

ROOT = Path(__file__).parents[2]
SHOP = ROOT / "catalogues" / "tormellick-whelk.csv"
BUNDLE = ROOT / "catalogues" / "bundle.toml"


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


def test_the_readme_shows_what_why_prints():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    command = "$ kitsolver why catalogues/tormellick-whelk.csv catalogues/bundle.toml "
    asked, _, shown = readme.partition(command)[2].partition("```")[0].partition("\n")
    done = run("why", SHOP, BUNDLE, *asked.split())
    assert [line.rstrip() for line in done.stdout.splitlines()] == shown.splitlines()
    assert done.exit_code == 0


def test_why_without_a_sku_writes_what_pick_writes():
    cap = ("--cap", "5.00", "--json", "-")
    why, pick = run("why", SHOP, BUNDLE, *cap), run("pick", SHOP, BUNDLE, *cap)
    assert why.stdout == pick.stdout
    assert (why.exit_code, pick.exit_code) == (0, 1)
    record = json.loads(why.stdout)["why"]
    assert record["conflict"] == ["cap"]
    assert record["hints"] == [mend["options"] for mend in record["mends"]] == ["--cap 8.75"]
    assert record["mends"][0]["payable"] == "8.75"


def test_why_of_a_brief_that_has_a_kit_says_so():
    done = run("why", SHOP, BUNDLE)
    assert done.exit_code == 0
    assert "There is a kit" in done.stdout
    assert "hint: name a SKU" in done.stdout


@pytest.mark.parametrize(
    ("sku", "verdict", "told"),
    [
        ("SC-HERON", "in the best kit", "It is in the best kit."),
        (
            "SC-GULLWING",
            "barred",
            "It costs 11.50 EUR, and the brief's limit for scissors is 8.00 EUR.",
        ),
        (
            "TC-GULL6",
            "beaten",
            "It would bring Creel cotton, Soot (TC-GULL6), Gridding thread, slippery orange "
            "(MK-GRID) for Stranded cotton, Coal Hold (TH-GULL-6), Wax seal, shop's whelk "
            "(GW-SEAL).",
        ),
        ("GW-NET", "barred", "The brief leaves it out."),
        ("LA-NECK", "barred", "Extras are to come from"),
    ],
)
def test_why_not_this_sku(sku, verdict, told):
    shown = run("why", SHOP, BUNDLE, sku)
    assert shown.exit_code == 0
    assert told in " ".join(shown.stdout.split())
    record = json.loads(run("why", SHOP, BUNDLE, sku, "--json", "-").stdout)
    assert record["schema"] == "kitsolver/why/1"
    assert (record["sku"], record["verdict"]) == (sku, verdict)
    assert list(record) == [
        *("schema", "currency", "cap", "sku", "verdict", "barred", "best", "with_it"),
        *("without", "price", "quality", "says", "why", "skipped", "names", "bound", "complete"),
    ]
    assert any(told in sentence for sentence in record["says"])


def test_a_row_of_a_need_that_is_met_at_home_can_be_bought_too():
    done = run("why", SHOP, SHOP.parent / "gift-card.toml", "SC-HERON")
    told = " ".join(done.stdout.split())
    assert "What is at home is to do as scissors, so that none is bought." in told
    assert "because the scissors that are at home are to do" in told
    assert "hint: --set needs.scissors.have=false" in told


def test_why_not_this_sku_where_there_is_no_kit_at_all():
    done = run("why", SHOP, BUNDLE, "SC-HERON", "--cap", "5.00", "--json", "-")
    record = json.loads(done.stdout)
    assert record["verdict"] == "no kit"
    assert record["why"]["hints"] == ["--cap 8.75"]


def test_an_unknown_sku_is_bad_input_with_the_nearest():
    done = run("why", SHOP, BUNDLE, "SC-HERRON")
    assert done.exit_code == 2
    assert "did you mean SC-HERON?" in done.stderr


def test_a_hint_of_a_barred_sku_brings_it_into_a_kit():
    record = json.loads(run("why", SHOP, BUNDLE, "SC-GULLWING", "--json", "-").stdout)
    options = record["why"]["hints"][0].split()
    kept = ("--set", 'choose.keep=["SC-GULLWING"]')
    assert run("pick", SHOP, BUNDLE, *kept).exit_code == 1
    assert run("pick", SHOP, BUNDLE, *kept, *options).exit_code == 0


def test_others_shows_kits_best_first_and_what_is_just_out_of_reach():
    done = run("others", SHOP, BUNDLE, "--count", "4", "--beyond", "3.00", "--json", "-")
    assert done.exit_code == 0
    record = json.loads(done.stdout)
    assert record["schema"] == "kitsolver/others/1"
    every = [record["best"], *record["others"]]
    assert len(every) == 5
    qualities = [kit["quality"] for kit in every]
    assert qualities == sorted(qualities, reverse=True)
    pick = json.loads(run("pick", SHOP, BUNDLE, "--json", "-").stdout)
    assert record["best"]["skus"] == [line["sku"] for line in pick["lines"]]
    first = record["out_of_reach"][0]
    assert {key: first[key] for key in ("cap", "missing", "quality", "extras_quality")} == pick[
        "next_rung"
    ]
    assert float(record["out_of_reach"][-1]["missing"]) <= 3
    assert "lines" not in record


def test_others_lines_tells_of_every_line():
    done = run("others", SHOP, BUNDLE, "--count", "0", "--lines", "--json", "-")
    record = json.loads(done.stdout)
    assert [line["sku"] for line in record["lines"]] == record["best"]["skus"]
    shown = run("others", SHOP, BUNDLE, "--lines").stdout
    assert "In its place: Deck-box embroidery scissors, 9 cm (SC-DECK)" in shown
    assert "its money could buy" in shown


def test_others_tied_and_apart():
    tied = json.loads(run("others", SHOP, BUNDLE, "--tied", "--json", "-").stdout)
    assert tied["others"] == []
    assert "no other kit" in run("others", SHOP, BUNDLE, "--tied").stdout
    apart = json.loads(run("others", SHOP, BUNDLE, "--apart", "4", "--json", "-").stdout)
    needs = {"CH", "FA", "NE", "SC"}
    for kit in apart["others"]:
        assert needs <= {sku[:2] for sku in kit["came"]}


def test_others_without_a_kit_says_why():
    done = run("others", SHOP, BUNDLE, "--cap", "5.00")
    assert done.exit_code == 1
    assert "hint: --cap 8.75" in done.stdout
    done = run("others", SHOP, BUNDLE, "--cap", "5.00", "--json", "-")
    assert json.loads(done.stdout)["status"] == "no kit"
