"""Every answer says which rows it knows nothing of, and claims no more than the others."""

import csv
import json
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.shop.skipped import RowCounts, Skipped
from kitsolver.show.schema.schemas import schema_of
from kitsolver.show.skipped import among, skipped_sentences

DEMO = Path(__file__).parents[2] / "catalogues"
BRIEF = DEMO / "bundle.toml"
with (DEMO / "tormellick-whelk.csv").open(newline="", encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))
FABRICS = [row["sku"] for row in ROWS if row["category"] == "fabric"]


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def written(*arguments):
    return json.loads(run(*arguments, "--skip-bad-rows", "--json", "-").stdout)


def shop_without(folder, skus):
    """Write the demo's shop with an error in the rows of some skus, and return its path."""
    path = folder / "shop.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        lines = csv.DictWriter(file, ROWS[0])
        lines.writeheader()
        lines.writerows(row | ({"price": "dear"} if row["sku"] in skus else {}) for row in ROWS)
    return path


@pytest.fixture(scope="module")
def few(tmp_path_factory):
    """A shop with two fabrics refused."""
    return shop_without(tmp_path_factory.mktemp("few"), FABRICS[:2])


@pytest.fixture(scope="module")
def none(tmp_path_factory):
    """A shop with every fabric refused."""
    return shop_without(tmp_path_factory.mktemp("none"), FABRICS)


TWO = [{"kind": "refused", "category": "fabric", "rows": 2}]


@pytest.mark.parametrize(
    ("schema", "command", "more"),
    [
        ("kit", "pick", ()),
        ("kit", "why", ()),
        ("ladder", "ladder", ("--from", "29", "--to", "30")),
        ("others", "others", ("--count", "1")),
        ("why", "why", ("SC-HERON",)),
    ],
)
def test_every_result_counts_the_rows_that_were_refused(few, schema, command, more):
    record = written(command, few, BRIEF, *more)
    assert record["skipped"] == TWO
    assert list(jsonschema.Draft202012Validator(schema_of(schema)).iter_errors(record)) == []
    assert "Not offered, for their errors: 2 rows of fabric." in " ".join(
        run(command, few, BRIEF, *more, "--skip-bad-rows").stdout.split()
    ) or (command == "why" and not more)


def test_results_that_need_no_brief_count_them_too(few, tmp_path):
    kit = tmp_path / "kit.json"
    kit.write_text(run("pick", few, BRIEF, "--skip-bad-rows", "--json", "-").stdout)
    assert written("recheck", kit, few)["skipped"] == TWO
    assert written("range", few, kit)["skipped"] == TWO
    record = json.loads(run("check", few, "--currency", "EUR", "--json", "-").stdout)
    assert (record["skipped"], record["usable_rows"]) == (TWO, len(ROWS) - 2)


def test_a_batch_counts_them(few, tmp_path):
    done = run("batch", few, BRIEF, "--out", tmp_path / "out", "--skip-bad-rows", "--workers", "1")
    assert done.exit_code == 0
    record = json.loads((tmp_path / "out" / "batch.json").read_text(encoding="utf-8"))
    assert record["skipped"] == TWO
    assert list(jsonschema.Draft202012Validator(schema_of("batch")).iter_errors(record)) == []


def test_a_range_and_its_kits_count_them(few, tmp_path):
    asked = tmp_path / "range.toml"
    asked.write_text(
        'currency = "EUR"\nbrief = { holds = ["scissors"] }\n[[kits]]\nname = "one"\ncap = "10"\n',
        encoding="utf-8",
    )
    record = written("range", few, asked)
    assert record["skipped"] == record["kits"][0]["kit"]["skipped"] == TWO


def test_a_kit_is_the_best_among_the_sound_rows_only(few):
    told = " ".join(run("pick", few, BRIEF, "--skip-bad-rows").stdout.split())
    assert f"Proven best among the {len(ROWS) - 2} sound rows of {len(ROWS)}: no kit" in told
    assert "no kit of this catalogue" not in told


def test_no_kit_says_that_all_rows_of_a_need_were_refused(none):
    record = written("pick", none, BRIEF)
    told = f"All {len(FABRICS)} rows of fabric were refused"
    assert told in " ".join(record["why"]["because"])
    assert "has nothing for fabric" not in " ".join(record["why"]["because"])
    assert record["skipped"] == [{"kind": "refused", "category": "fabric", "rows": len(FABRICS)}]
    shown = run("pick", none, BRIEF, "--skip-bad-rows")
    assert shown.exit_code == 1
    assert f"errors: {len(FABRICS)} rows of fabric." in shown.stdout


def test_the_sheet_says_so(few, none, tmp_path):
    for shop, told in ((few, "sound rows of"), (none, "rows of fabric were refused")):
        run("pick", shop, BRIEF, "--skip-bad-rows", "--html", tmp_path / "sheet.html")
        sheet = (tmp_path / "sheet.html").read_text(encoding="utf-8")
        assert told in sheet
        assert "Not offered, for their errors:" in sheet


def test_why_says_that_a_row_was_refused_and_for_what(few):
    record = written("why", few, BRIEF, FABRICS[0])
    row = next(number for number, row in enumerate(ROWS, 2) if row["sku"] == FABRICS[0])
    assert record["verdict"] == "refused"
    assert record["says"][0] == f"Its row, {row}, was refused, so no kit can hold it."
    assert record["says"][1].startswith("price: dear is not a number.")
    assert run("why", few, BRIEF, "NO-SUCH-SKU", "--skip-bad-rows").exit_code == 2


def test_why_says_that_a_row_was_passed_over(tmp_path):
    (tmp_path / "map.toml").write_text(
        'pass_over = { category = ["scissors"] }\n', encoding="utf-8"
    )
    asked = (DEMO / "tormellick-whelk.csv", BRIEF, "SC-HERON", "--columns", tmp_path / "map.toml")
    done = run("why", *asked, "--json", "-")
    if "unknown-map-key" in done.stderr:
        pytest.skip("the map cannot pass rows over yet")
    assert json.loads(done.stdout)["verdict"] == "passed over"


def test_a_kept_sku_that_was_refused_is_told_as_such(few):
    done = run("pick", few, BRIEF, "--skip-bad-rows", "--set", f'choose.keep=["{FABRICS[0]}"]')
    assert done.exit_code == 2
    assert "was refused: kitsolver check says why" in done.stderr


def test_where_every_row_is_offered_nothing_is_said():
    assert (list(skipped_sentences(RowCounts(5))), among(RowCounts(5))) == ([], "")


def test_categories_with_most_rows_are_named():
    refused = [Skipped("refused", name, rows) for rows, name in enumerate("abcdefg", 1)]
    counts = RowCounts(2_000, (*refused, Skipped("passed over", "", 1)))
    assert list(skipped_sentences(counts)) == [
        "Not offered, for their errors: 7 rows of g, 6 of f, 5 of e, 4 of d, 3 of c, "
        "3 of other categories.",
        "Passed over by the map: 1 row without a category.",
    ]
    assert among(counts) == "the 2,000 sound rows of 2,029"
    assert among(RowCounts(9, (Skipped("passed over", "a", 1),))) == "the 9 rows offered of 10"
