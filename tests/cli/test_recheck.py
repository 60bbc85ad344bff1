"""`kitsolver recheck` as its users meet it: a saved kit, and a catalogue that has moved on."""

import csv
import json
from decimal import Decimal
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = DEMO / "tormellick-whelk.csv"
KEYS = [
    *("schema", "title", "currency", "stands", "still_best", "changes", "checks", "saved", "today"),
    *("best", "nearest", "mend", "names", "skipped", "complete"),
]
KIT_KEYS = [
    *("payable", "a_head", "quality", "extras_quality", "skus", "came", "went", "units"),
]


def run(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.fixture
def kit(tmp_path):
    """Pick a kit of the demo, and save it."""

    def save(brief="bundle", *settings):
        path = tmp_path / f"{brief}.json"
        sets = [word for setting in settings for word in ("--set", setting)]
        done = run("pick", SHOP, DEMO / f"{brief}.toml", *sets, "--json", path)
        assert done.exit_code == 0, done.stderr
        return path

    return save


@pytest.fixture
def shop(tmp_path):
    """Copy the demo with some rows changed, or (None) taken out."""

    def copy(**changes):
        with SHOP.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        wanted = {sku.replace("_", "-"): change for sku, change in changes.items()}
        assert wanted.keys() <= {row["sku"] for row in rows}
        path = tmp_path / "today.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0])
            writer.writeheader()
            for row in rows:
                if (change := wanted.get(row["sku"], {})) is not None:
                    writer.writerow(row | change)
        return path

    return copy


def rechecked(*words, exit_code):
    done = run("recheck", *words, "--json", "-")
    assert done.exit_code == exit_code, done.stderr
    return json.loads(done.stdout)


def shown(*words):
    return " ".join(run("recheck", *words).stdout.split())


def test_on_the_same_catalogue_the_kit_stands_and_is_still_the_best(kit):
    path = kit()
    record = rechecked(path, SHOP, exit_code=0)
    picked = json.loads(path.read_text(encoding="utf-8"))
    assert list(record) == KEYS
    assert (record["schema"], record["currency"]) == ("kitsolver/recheck/1", "EUR")
    assert (record["stands"], record["still_best"], record["changes"]) == (True, True, [])
    assert record["nearest"] is record["mend"] is None
    assert record["title"] == picked["title"]
    assert record["checks"] == picked["checks"]
    assert record["saved"] == {"payable": picked["payable"]}
    assert record["today"] == {k: picked[k] for k in ("payable", "quality", "extras_quality")}
    assert list(record["best"]) == KIT_KEYS
    assert record["best"]["skus"] == [line["sku"] for line in picked["lines"]]
    assert record["best"]["came"] == record["best"]["went"] == record["best"]["units"] == []
    told = shown(path, SHOP)
    assert told.startswith("Starter bundle for the counter Nothing has changed about its lines.")
    assert "still stands: it comes to 29.85 EUR as before. It is still the best there is." in told


def test_a_dearer_line_within_the_cap_is_told_and_the_kit_stands(kit, shop):
    path, today = kit(), shop(GW_SEAL={"price": "1.45"})
    record = rechecked(path, today, exit_code=0)
    assert record["stands"]
    assert record["changes"] == [
        {"sku": "GW-SEAL", "what": "price", "before": "1.40", "now": "1.45"}
    ]
    assert (record["saved"]["payable"], record["today"]["payable"]) == ("29.85", "29.90")
    assert record["nearest"] is record["mend"] is None
    told = shown(path, today)
    assert "Wax seal, shop's whelk (GW-SEAL) cost 1.40 and now costs 1.45." in told
    assert "still stands: it comes to 29.90 EUR instead of 29.85 EUR." in told


def test_a_kit_that_stands_may_be_the_best_no_more(kit, shop):
    path, today = kit(), shop(SC_DECK={"quality": "99"})
    record = rechecked(path, today, exit_code=0)
    assert (record["stands"], record["still_best"], record["changes"]) == (True, False, [])
    assert "SC-DECK" in record["best"]["came"]
    assert "SC-HERON" in record["best"]["went"]
    assert record["best"]["quality"] > record["today"]["quality"]
    best = record["best"]
    assert f"The best kit today has quality {best['quality']:.2f} against its" in shown(path, today)
    mended = rechecked(path, today, "--against", "best", exit_code=0)
    assert (mended["mend"], mended["nearest"]) == (best, None)
    told = shown(path, today, "--against", "best")
    assert "To get there, take out" in told
    assert "To mend it" not in told


def test_a_vanished_line_is_mended_by_the_fewest_changes(kit, shop):
    path, today = kit(), shop(SC_HERON=None)
    record = rechecked(path, today, exit_code=1)
    assert list(record) == KEYS
    assert (record["stands"], record["still_best"], record["today"]) == (False, False, None)
    assert record["changes"] == [
        {"sku": "SC-HERON", "what": "vanished", "before": "Heron's bill scissors, 10 cm", "now": ""}
    ]
    near = record["nearest"]
    assert record["mend"] == near
    assert list(near) == KIT_KEYS
    assert near["went"] == ["SC-HERON"]
    assert len(near["came"]) == 1
    assert near["came"][0].startswith("SC-")
    assert Decimal(near["payable"]) <= Decimal("30.00")
    told = shown(path, today)
    assert "Heron's bill scissors, 10 cm (SC-HERON) is no longer in the catalogue." in told
    assert "no longer stands, for not all of its lines are there." in told
    new = f"{record['names'][near['came'][0]]} ({near['came'][0]})"
    gone = "Heron's bill scissors, 10 cm (SC-HERON)"
    assert f"To mend it, take out {gone}, and put in {new}." in told


def test_against_the_best_the_mend_is_the_best(kit, shop):
    path, today = kit(), shop(SC_HERON=None)
    near = rechecked(path, today, exit_code=1)
    best = rechecked(path, today, "--against", "best", exit_code=1)
    assert best["mend"] == best["best"] == near["best"]
    assert best["nearest"] == near["nearest"] != best["best"]
    picked = run("pick", today, DEMO / "bundle.toml", "--json", "-")
    assert best["best"]["skus"] == [line["sku"] for line in json.loads(picked.stdout)["lines"]]


@pytest.mark.parametrize(
    ("row", "change", "rule"),
    [
        ("NE_26_6", {"stock": "0"}, "stock"),
        ("FA14W_30X35", {"price": "9.40"}, "cap"),
        ("CH_HERMIT", {"tags": "gift"}, "conditions"),
        ("NE_26_6", {"needle_sizes": "20"}, "needle"),
        ("FA14W_30X35", {"width_cm": "25"}, "fit"),
        ("TH_RUST_3", {"colours": "#101010"}, "thread"),
    ],
)
def test_the_rule_that_is_broken_today_is_told(row, change, rule, kit, shop):
    path, today = kit(), shop(**{row: change})
    record = rechecked(path, today, exit_code=1)
    broken = [check for check in record["checks"] if check["holds"] is False]
    assert rule in [check["rule"] for check in broken]
    assert record["today"] is not None
    told = shown(path, today)
    assert "The kit no longer stands:" in told
    assert all(f"{check['rule']}: {check['detail']}." in told for check in broken)
    assert "To mend it, " in told


def test_where_no_kit_is_left_nothing_mends_it(kit, shop):
    path = kit("bundle", 'choose.keep=["NE-26-6"]')
    today = shop(NE_26_6={"stock": "0"})
    record = rechecked(path, today, exit_code=1)
    assert record["best"] is record["nearest"] is record["mend"] is None
    assert "Today no kit meets its brief at all" in shown(path, today)


def test_a_kept_sku_that_has_vanished_is_told_and_no_bad_input(kit, shop):
    path = kit("bundle", 'choose.keep=["CD-HOWTO"]')
    record = rechecked(path, shop(CD_HOWTO=None), exit_code=1)
    assert [(one["sku"], one["what"]) for one in record["changes"]] == [("CD-HOWTO", "vanished")]
    assert "CD-HOWTO" in record["nearest"]["went"]
    done = run(
        "pick", shop(CD_HOWTO=None), DEMO / "bundle.toml", "--set", 'choose.keep=["CD-HOWTO"]'
    )
    assert done.exit_code == 2


def test_an_owned_line_is_free_and_no_change(kit, shop):
    path = kit("bundle", 'choose.own=["SC-HERON"]')
    lines = {line["sku"]: line for line in json.loads(path.read_text(encoding="utf-8"))["lines"]}
    assert lines["SC-HERON"]["price"] == "0.00"
    today = shop(SC_HERON={"price": "7.99", "stock": "0"})
    record = rechecked(path, today, exit_code=0)
    assert (record["changes"], record["still_best"]) == ([], True)
    assert record["today"]["payable"] == record["saved"]["payable"]
    gone = rechecked(path, shop(SC_HERON=None), exit_code=1)
    assert [(one["sku"], one["what"]) for one in gone["changes"]] == [("SC-HERON", "vanished")]


def test_a_kit_of_several_heads_needs_its_units_in_stock(kit, shop):
    path = kit("class-of-twelve")
    lines = {line["sku"]: line for line in json.loads(path.read_text(encoding="utf-8"))["lines"]}
    assert rechecked(path, SHOP, exit_code=0)["still_best"]
    chart = next(sku for sku, line in lines.items() if line["category"] == "chart")
    assert lines[chart]["units"] == 12
    row = chart.replace("-", "_")
    enough = rechecked(path, shop(**{row: {"stock": "12"}}), exit_code=0)
    assert enough["changes"] == []
    short = rechecked(path, shop(**{row: {"stock": "11"}}), exit_code=1)
    assert short["changes"] == [{"sku": chart, "what": "stock", "before": "12", "now": "11"}]
    assert chart in short["nearest"]["went"]
    assert f"({chart}) is short: 12 needed, 11 in stock." in shown(
        path, shop(**{row: {"stock": "11"}})
    )


def test_other_units_of_a_line_are_told(kit, shop):
    path = kit("class-of-twelve")
    lines = json.loads(path.read_text(encoding="utf-8"))["lines"]
    line = next(line for line in lines if line["category"] == "needle")
    assert line["units"] == 2
    today = shop(**{line["sku"].replace("-", "_"): {"serves": "4"}})
    record = rechecked(path, today, exit_code=1)
    assert [check["rule"] for check in record["checks"] if check["holds"] is False] == ["heads"]
    assert record["changes"] == []
    near = record["nearest"]
    assert (near["came"], near["went"]) == ([], [])
    assert near["units"] == [{"sku": line["sku"], "before": 2, "now": 3}]
    named = f"{line['name']} ({line['sku']})"
    assert f"To mend it, take 3 of {named} instead of 2." in shown(path, today)


def test_json_to_a_file_leaves_the_text_to_be_read(kit, tmp_path):
    path, target = kit(), tmp_path / "recheck.json"
    done = run("recheck", path, SHOP, "--json", target)
    assert done.exit_code == 0
    assert "It is still the best there is." in done.stdout
    assert json.loads(target.read_text(encoding="utf-8")) == rechecked(path, SHOP, exit_code=0)


def test_a_record_is_written_where_the_kit_does_not_stand(kit, shop, tmp_path):
    path, target = kit(), tmp_path / "recheck.json"
    assert run("recheck", path, shop(SC_HERON=None), "--json", target).exit_code == 1
    assert json.loads(target.read_text(encoding="utf-8"))["stands"] is False


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (None, "unreadable-kit"),
        ("no JSON", "not-a-saved-kit"),
        ("[]", "not-a-saved-kit"),
        ('{"schema": "kitsolver/ladder/1"}', "other-schema"),
        ('{"schema": "kitsolver/kit/1", "status": "no kit"}', "nothing-saved"),
        ('{"schema": "kitsolver/kit/1"}', "status is missing"),
    ],
)
def test_what_is_no_saved_kit_exits_2_with_a_finding(content, told, tmp_path):
    path = tmp_path / "kit.json"
    if content is not None:
        path.write_text(content, encoding="utf-8")
    done = run("recheck", path, SHOP, "--json", "-")
    assert (done.exit_code, done.stdout) == (2, "")
    assert told in " ".join(done.stderr.split())
    assert "hint:" in done.stderr


def test_other_bad_input_and_usage_exit_2(kit, tmp_path):
    path = kit()
    assert run("recheck", path, tmp_path / "no.csv").exit_code == 2
    assert run("recheck", path, SHOP, "--against", "worst").exit_code == 2
    assert run("recheck", path).exit_code == 2


def test_bad_rows_are_passed_over_only_when_the_user_says_so(kit, shop):
    path, today = kit(), shop(LA_DAY={"quality": "860"})
    done = run("recheck", path, today)
    assert done.exit_code == 2
    assert "LA-DAY" not in done.stdout
    record = rechecked(path, today, "--skip-bad-rows", exit_code=0)
    assert record["still_best"]
