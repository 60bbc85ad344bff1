"""Findings told by the hundred: alike ones as one, and a line for a whole file."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.shop.catalogue_findings import BlankCell, FormulaLike, NotANumber
from kitsolver.show.findings import summary

ROWS = 2_000


@pytest.fixture(scope="module")
def faulty(tmp_path_factory):
    """A shop in which every twentieth row has one of three faults, and a brief for it."""
    folder = tmp_path_factory.mktemp("faulty")
    lines = ["sku,name,category,price,quality,stock"]
    for row in range(2, ROWS + 2):
        price = ("3,50" if row % 40 == 3 else "dear") if row % 20 == 3 else "5.00"
        quality, stock = "101" if row % 20 == 7 else "60", "-1" if row % 20 == 11 else "4"
        lines.append(f'S{row},Stork {row},scissors,"{price}",{quality},{stock}')
    (folder / "shop.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (folder / "brief.toml").write_text('currency = "EUR"\ncap = "10.00"\nholds = ["scissors"]\n')
    return folder / "shop.csv", folder / "brief.toml"


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def test_check_tells_alike_findings_as_one(faulty):
    shop, _ = faulty
    done = run("check", shop, "--currency", "EUR")
    assert done.exit_code == 2
    assert done.stdout.splitlines() == [
        f"error (not-a-number) {shop}, price: 100 findings",
        "  3,50 is not a number.",
        "  in rows 3, 23, 43, 63, 83, 103, 123, 143 and 92 more",
        "  values '3,50', 'dear'",
        "  hint: write it with a point: 3.50 (so for '3,50')",
        f"error (number-too-large) {shop}, quality: 100 findings",
        "  101 is too large.",
        "  in rows 7, 27, 47, 67, 87, 107, 127, 147 and 92 more",
        "  hint: it must be at most 100",
        f"error (negative-number) {shop}, stock: 100 findings",
        "  -1 is negative.",
        "  in rows 11, 31, 51, 71, 91, 111, 131, 151 and 92 more",
        "  hint: stock must be 0 or more",
        "Not offered, for their errors: 300 rows of scissors.",
        f"{shop}: usable rows 1700, errors 300, warnings 0",
    ]


def test_check_lists_all_findings_where_asked(faulty):
    shop, _ = faulty
    done = run("check", shop, "--currency", "EUR", "--all")
    assert sum(line.startswith("error") for line in done.stdout.splitlines()) == 300


def test_few_findings_of_a_kind_are_told_one_by_one(tmp_path):
    shop = tmp_path / "shop.csv"
    rows = "".join(f"S{row},Stork,scissors,dear,60\n" for row in range(3))
    shop.write_text(f"sku,name,category,price,quality\n{rows}", encoding="utf-8")
    told = run("check", shop, "--currency", "EUR").stdout.splitlines()
    assert [line for line in told if line.startswith("error")] == [
        f"error (not-a-number) {shop}, row {row}, price: 'dear'" for row in (2, 3, 4)
    ]


@pytest.mark.parametrize("command", ["pick", "why", "others", "ladder"])
def test_other_commands_tell_many_findings_in_one_line(faulty, command):
    told = (
        f"{faulty[0]}: 300 errors (not-a-number in price 100, number-too-large in quality 100, "
        "negative-number in stock 100); kitsolver check shows them"
    )
    refused = run(command, *faulty)
    assert refused.exit_code == 2
    assert refused.stderr.splitlines() == [
        told,
        "  hint: mend them, or go on without these rows: --skip-bad-rows",
    ]
    assert run(command, *faulty, "--skip-bad-rows").stderr.splitlines()[0] == told


def test_a_summary_names_the_most_frequent_kinds():
    found = [
        *[NotANumber(file="shop.csv", row=row, column="price") for row in range(5)],
        *[BlankCell(file="shop.csv", row=row, column="name") for row in range(9)],
        FormulaLike(file="shop.csv", row=3, column="name"),
        FormulaLike(file="shop.csv", row=3, column="tags"),
    ]
    assert summary("shop.csv", found) == (
        "shop.csv: 14 errors and 2 warnings (blank-cell in name 9, not-a-number in price 5, "
        "formula-like in name 1, others); kitsolver check shows them"
    )


def test_the_file_of_a_finding_may_be_all_that_is_known():
    found = [NotANumber(file=Path("shop.csv").name) for _ in range(4)]
    assert summary("shop.csv", found).startswith("shop.csv: 4 errors (not-a-number 4);")
