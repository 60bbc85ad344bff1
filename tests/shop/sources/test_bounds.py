"""No source is too large for the process: each bound is a finding that says what raises it."""

import contextlib
import os
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path

import pandas as pd
import pytest
from handmade import HEADER, changed_part, workbook

from kitsolver import BadInput, read_catalogue
from kitsolver.shop.maps.mapping import ColumnMap
from kitsolver.shop.source import read_source

LINE = ",".join(HEADER)
SHEET = "xl/worksheets/sheet1.xml"


def rows_of(count, name="a"):
    return [[f"S{place}", name, "bag", 1, 50] for place in range(count)]


def as_csv(rows, folder):
    path = folder / "shop.csv"
    path.write_text("\n".join([LINE, *(",".join(map(str, row)) for row in rows)]))
    return str(path)


def as_workbook(rows, folder):
    return str(workbook(folder / "shop.xlsx", [HEADER, *rows]))


def as_parquet(rows, folder):
    pd.DataFrame(rows, columns=HEADER).to_parquet(folder / "shop.parquet")
    return str(folder / "shop.parquet")


def as_database(rows, folder):
    with contextlib.closing(sqlite3.connect(folder / "shop.db")) as made, made:
        made.execute(f"CREATE TABLE goods ({LINE})")
        made.executemany("INSERT INTO goods VALUES (?, ?, ?, ?, ?)", rows)
    return f"sqlite:///{folder / 'shop.db'}#goods"


EVERY = pytest.mark.parametrize("written", [as_csv, as_workbook, as_parquet, as_database])


def refused(source, **bounds):
    with pytest.raises(BadInput) as caught:
        read_source(source, mapping=ColumnMap(file=bounds))
    (found,) = caught.value.findings
    return found


@EVERY
def test_rows(written, tmp_path):
    source = written(rows_of(20), tmp_path)
    found = refused(source, most_rows=10)
    assert (found.code, found.value) == ("many-rows", "10")
    assert "--read most_rows=20" in found.hint
    assert "most_rows = 20 in [file]" in found.hint
    assert len(read_source(source, mapping=ColumnMap(file={"most_rows": 21})).records.rows) == 20


@EVERY
def test_columns(written, tmp_path):
    source = written(rows_of(1), tmp_path)
    found = refused(source, most_columns=4)
    assert (found.code, found.value) == ("many-columns", "4")
    assert "most_columns = 8" in found.hint
    read_source(source, mapping=ColumnMap(file={"most_columns": 5}))


@EVERY
def test_cells(written, tmp_path):
    source = written([*rows_of(2), ["S", "x" * 300, "bag", 1, 50]], tmp_path)
    found = refused(source, most_cell=299)
    assert (found.code, found.value) == ("long-cell", "299")
    assert "most_cell = 598" in found.hint
    read_source(source, mapping=ColumnMap(file={"most_cell": 300}))


def test_a_cell_of_the_header(tmp_path):
    source = as_csv(rows_of(1), tmp_path)
    found = refused(source, most_cell=2)
    assert (found.code, found.row, found.value) == ("long-cell", 1, "2")


def test_a_cell_in_quotes(tmp_path):
    source = as_csv([["S", f'"{"x," * 150}"', "bag", 1, 50]], tmp_path)
    assert refused(source, most_cell=299).code == "long-cell"
    read_source(source, mapping=ColumnMap(file={"most_cell": 300}))


@EVERY
def test_bytes(written, tmp_path):
    found = refused(written(rows_of(200), tmp_path), most_bytes=1000)
    assert (found.code, found.value) == ("much-data", "1,000")
    assert "most_bytes = 2000" in found.hint


def test_cells_of_a_hundred_kilobytes_are_read_and_the_process_keeps_its_limit(tmp_path):
    import csv

    before = csv.field_size_limit()
    long = "x," * 100_000
    source = as_csv([["S", f'"{long}"', "bag", 1, 50]], tmp_path)
    records = read_source(source).records
    assert records.columns["name"].texts.tolist() == [long]
    assert csv.field_size_limit() == before


def test_a_small_workbook_with_a_row_of_a_high_number(tmp_path):
    path = as_workbook(rows_of(2), tmp_path)
    changed_part(path, SHEET, lambda xml: xml.replace(b'<row r="3"', b'<row r="2000000000"'))
    assert Path(path).stat().st_size < 10_000
    begun = time.monotonic()
    found = refused(path)
    assert (found.code, found.value) == ("many-rows", "5,000,000")
    assert time.monotonic() - begun < 10


@pytest.mark.parametrize("column", ["XFD", "ZZZ"])
def test_a_workbook_with_a_cell_far_to_the_right(tmp_path, column):
    path = as_workbook(rows_of(2), tmp_path)
    changed_part(path, SHEET, lambda xml: xml.replace(b'"E3"', f'"{column}3"'.encode()))
    assert refused(path).code == "many-columns"


def test_a_small_workbook_that_holds_very_much(tmp_path):
    path = as_workbook(rows_of(2), tmp_path)
    more = b"<row><c><v>1</v></c></row>" * 1_000_000

    changed_part(path, SHEET, lambda xml: xml.replace(b"</sheetData>", more + b"</sheetData>"))
    assert Path(path).stat().st_size < 1_000_000
    assert refused(path, most_bytes=10_000_000).code == "much-data"
    found = refused(path, most_seconds=1)
    assert (found.code, found.value) == ("long-reading", "1")
    assert "most_seconds = 2" in found.hint


def test_a_small_workbook_with_one_very_long_text(tmp_path):
    path = tmp_path / "shop.xlsx"
    workbook(path, [HEADER, ['<c t="s"><v>0</v></c>']], shared=["x" * 20_000_000])
    assert path.stat().st_size < 100_000
    assert refused(path).code == "long-cell"


def test_an_endless_query_ends(tmp_path):
    source = as_database(rows_of(1), tmp_path).partition("#")[0]
    endless = "WITH RECURSIVE n(sku) AS (SELECT 1 UNION ALL SELECT sku + 1 FROM n) SELECT * FROM n"
    assert refused(f"{source}#{endless}", most_rows=1000).code == "many-rows"
    found = refused(f"{source}#{endless} WHERE sku < 0", most_seconds=1)
    assert found.code == "long-reading"


# Files that are no files.


def piped(path, content):
    """Write to a pipe once it is opened, as another process would."""
    os.mkfifo(path)

    def write():
        # The reader may leave early.
        with contextlib.suppress(BrokenPipeError), path.open("wb") as pipe:
            pipe.write(content)

    writer = threading.Thread(target=write)
    writer.start()
    return writer


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
@pytest.mark.parametrize("written", [as_csv, as_workbook, as_parquet])
def test_a_pipe_is_read_once(written, tmp_path):
    made = written(rows_of(3), tmp_path)
    pipe = tmp_path / f"pipe-{made.rpartition('/')[2]}"
    writer = piped(pipe, Path(made).read_bytes())
    source = read_source(pipe, keep_bytes=True)
    writer.join(10)
    assert source.records.columns["sku"].texts.tolist() == ["S0", "S1", "S2"]
    assert source.csv_bytes.splitlines()[1].startswith(b"S0,a,bag")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no endless files")
@pytest.mark.parametrize("command", ["check", "pick"])
def test_endless_zeros_are_refused(command):
    args = [sys.executable, "-m", "kitsolver", command, "/dev/zero", "/dev/zero"]
    run = subprocess.run(args, capture_output=True, text=True, timeout=120, check=False)
    assert run.returncode == 2
    assert "hint:" in run.stdout + run.stderr


@pytest.mark.parametrize(
    "pattern",
    [b"\n", b"a,b,c,1,1\n", b"a", b'"', b'"a",', b"a,", b"\r", b'"\n', b'"a\n",'],
    ids=repr,
)
def test_endless_text_is_refused(tmp_path, pattern):
    path = tmp_path / "shop.csv"
    path.write_bytes(LINE.encode() + b"\n" + pattern * (3_000_000 // len(pattern)))
    found = refused(path, most_rows=100_000, most_cell=10_000)
    assert found.code in ("many-rows", "long-cell", "long-row")


def test_a_map_raises_a_bound_on_the_command_line(tmp_path):
    from typer.testing import CliRunner

    from kitsolver.cli import app

    source = as_csv(rows_of(20), tmp_path)
    (tmp_path / "map.toml").write_text("[file]\nmost_rows = 10\n")
    args = ["check", source, "--columns", str(tmp_path / "map.toml")]
    done = CliRunner().invoke(app, args)
    assert done.exit_code == 2
    assert "more than 10 rows" in done.output
    (tmp_path / "map.toml").write_text("[file]\nmost_rows = 21\n")
    assert CliRunner().invoke(app, args).exit_code == 0


@pytest.mark.parametrize(
    ("settings", "code"),
    [
        (["most_rows=10"], "many-rows"),
        (["most_rows=21"], None),
        (["most_rows=many"], "bad-map"),
        (["most_row=21"], "unknown-map-key"),
        (["most_rows=21", "delimiter=;"], "wrong-delimiter"),
        (["encoding=windows-1252", "header_row=1", "delimiter=comma"], None),
    ],
)
def test_an_option_sets_what_is_read_of_the_file(tmp_path, settings, code):
    from typer.testing import CliRunner

    from kitsolver.cli import app

    source = as_csv(rows_of(20), tmp_path)
    args = [part for setting in settings for part in ("--read", setting)]
    done = CliRunner().invoke(app, ["check", source, "--currency", "EUR", *args])
    assert done.exit_code == (2 if code else 0), done.output
    assert (code or "errors 0") in done.output


def test_every_command_that_reads_a_catalogue_has_the_option():
    from typer.testing import CliRunner

    from kitsolver.cli import app

    for command in (
        "check",
        "pick",
        "ladder",
        "others",
        "why",
        "recheck",
        "range",
        "batch",
        "page",
    ):
        shown = CliRunner().invoke(app, [command, "--help"]).output
        assert "--read" in shown, command


def test_a_bound_is_a_number_above_zero(tmp_path):
    from kitsolver.shop.maps.mapping import read_map

    for value in ("0", "-1", "true", '"many"', "1.5", "99999999999999999999"):
        (tmp_path / "map.toml").write_text(f"[file]\nmost_rows = {value}\n")
        with pytest.raises(BadInput) as caught:
            read_map(tmp_path / "map.toml")
        assert [found.code for found in caught.value.findings] == ["bad-map"]


def test_the_usual_bounds_are_far_beyond_a_shop(tmp_path):
    source = as_csv(rows_of(20_000), tmp_path)
    assert len(read_catalogue(source, currency="EUR")) == 20_000
