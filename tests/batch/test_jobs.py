"""What is to run: TOML files and rows of a CSV, and what is wrong with them."""

from pathlib import Path

import pytest

from kitsolver import BadInput
from kitsolver.batch.jobs import read_jobs

BASE = """
currency = "EUR"
cap_per_head = "10.00"
heads = 2
holds = ["scissors", "fabric"]
[needs.fabric]
max_price = "4.00"
"""


@pytest.fixture
def read(tmp_path, monkeypatch):
    """Read a CSV of briefs that varies a base."""
    monkeypatch.chdir(tmp_path)

    def read(table, base=BASE, sets=()):
        Path("base.toml").write_text(base)
        Path("kits.csv").write_bytes(table.encode())
        return read_jobs(["kits.csv"], "base.toml", sets)

    return read


@pytest.fixture
def refused(read):
    def refused(*arguments, **options):
        with pytest.raises(BadInput) as bad:
            read(*arguments, **options)
        return places(bad.value.findings)

    return refused


def places(findings):
    return [(f.code, f.file, f.row, f.column, f.value) for f in findings]


def test_a_row_replaces_keys_and_a_blank_cell_leaves_them(read):
    jobs = read(
        "brief,title,cap,needs.fabric.max_price,choose.leave_out\n"
        'one,"Blue, small",12.00,,"[""A"", ""B""]"\n'
        "\n"
        ',,,3.50,\n'
    )  # fmt: skip
    assert [job.name for job in jobs] == ["one", "0004"]
    first, second = (job.brief for job in jobs)
    assert (first.title, first.total_cap, first.choose.leave_out) == (
        "Blue, small", 1200, ("A", "B"),
    )  # fmt: skip
    assert str(first.need("fabric").max_price) == "4.00"
    assert (second.title, second.total_cap) == ("", 2000)
    assert str(second.need("fabric").max_price) == "3.50"


def test_an_override_for_all_comes_last(read):
    jobs = read("title,cap\nA,12.00\nB,\n", sets=["cap=15.00"])
    assert [job.brief.total_cap for job in jobs] == [1500, 1500]


@pytest.mark.parametrize(
    ("table", "found"),
    [
        ("cap\n12,00 EUR\n", ("too-many-cells", 2, None, None)),
        ("brief,cap\na,twelve\n", ("bad-value", 2, "cap", "twelve")),
        ("brief,cap\na,12.005\n", ("finer-than-currency", 2, "cap", "12.005")),
        ("needs.hoop.weight\n2\n", ("not-a-need", 2, "needs.hoop", "hoop")),
        ("needs.fabric\n{ maxprice = 3 }\n", ("unknown-key", 2, "needs.fabric.maxprice", None)),
        ("cap,cap_per_head\n12.00,6.00\n", ("two-caps", 2, "cap", "12.00")),
        ('heads\n"2\nunits = 1"\n', ("bad-value", 2, "heads", "2\nunits = 1")),
    ],
)
def test_a_bad_cell_is_found_in_its_file_row_and_column(read, table, found):
    [job] = read(table)
    [finding] = places(job.findings)
    code, row, column, value = found
    assert finding == (code, "kits.csv", row, column, value)
    assert not job.usable


def test_what_the_base_has_wrong_is_the_base_s(read):
    [one, two] = read("title,heads\nA,3\nB,\n", base=BASE.replace('"4.00"', '"4.005"'))
    assert places(one.findings) == places(two.findings)
    [finding] = places(one.findings)
    assert finding[:4] == ("finer-than-currency", "base.toml", None, "needs.fabric.max_price")


def test_a_base_may_lack_what_the_rows_give(read):
    one, two = read("title,cap\nA,12.00\nB,\n", base=BASE.replace("cap_per_head", "# "))
    assert one.usable
    assert places(two.findings) == [("no-cap", "kits.csv", 3, None, None)]


@pytest.mark.parametrize(
    ("table", "found"),
    [
        ("brief,capp\na,12.00\n", ("unknown-key", "kits.csv", 1, "capp", None)),
        ("a b,title\n,12.00\n", ("unknown-key", "kits.csv", 1, "a b", None)),
        ("title=x\nKit\n", ("unknown-key", "kits.csv", 1, "title=x", None)),
        ("cap,cap\n1,2\n", ("duplicate-column", "kits.csv", 1, "cap", "cap")),
        ("cap,\n1,2\n", ("blank-column-name", "kits.csv", 1, None, None)),
        ("brief,cap\n", ("no-rows", "kits.csv", None, None, None)),
        ("cap;title\n1;2\n", ("wrong-delimiter", "kits.csv", 1, None, "semicolons")),
        ("brief\na\nb\nA\n", ("repeated-brief-name", "kits.csv", 2, "brief", "a")),
        ("brief\nBatch\n", ("unusable-brief-name", "kits.csv", 2, "brief", "Batch")),
        ("brief\na/b\n", ("unusable-brief-name", "kits.csv", 2, "brief", "a/b")),
        ("brief\n..\n", ("unusable-brief-name", "kits.csv", 2, "brief", "..")),
        (f"brief\n{'ü' * 101}\n", ("unusable-brief-name", "kits.csv", 2, "brief", "ü" * 101)),
    ],
)
def test_a_table_that_cannot_be_meant_is_refused_whole(refused, table, found):
    assert refused(table) == [found]


@pytest.mark.parametrize(
    ("base", "found"),
    [
        ("cap = \n", ("not-toml", "base.toml", 1, None, None)),
        (
            BASE + "maxprice = 3\n",
            ("unknown-key", "base.toml", None, "needs.fabric.maxprice", None),
        ),
    ],
)
def test_a_base_that_no_row_can_mend_is_refused(refused, base, found):
    assert refused("title\nA\nB\n", base=base) == [found]


def test_a_table_needs_a_base_and_names_differ_across_files(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("kits.csv").write_text("brief,cap\nx,1.00\n")
    Path("X.toml").write_text(BASE)
    with pytest.raises(BadInput) as bad:
        read_jobs(["kits.csv"], None, ())
    [finding] = bad.value.findings
    assert (finding.code, finding.file) == ("no-base-brief", "kits.csv")
    assert "--base" in finding.hint
    with pytest.raises(BadInput) as bad:
        read_jobs(["X.toml", "kits.csv"], "X.toml", ())
    [finding] = bad.value.findings
    assert finding.sentence == ("Several briefs have the name X: X.toml, kits.csv, row 2.")
