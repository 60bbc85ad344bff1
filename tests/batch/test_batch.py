"""``kitsolver batch`` as its users meet it."""

import csv
import io
import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace

import pytest

from batch.conftest import BASE, DEMO, MANY, SHOP, done, files, run

KEYS = [
    "brief", "status", "currency", "cap", "payable", "left", "quality", "extras_quality", "skus",
    "detail", "findings",
]  # fmt: skip


@pytest.fixture
def out(tmp_path):
    return tmp_path / "out"


def rows(folder):
    """Return the rows of both tables, which say the same."""
    record = json.loads((folder / "batch.json").read_text(encoding="utf-8"))
    assert list(record) == ["schema", "catalogue", "briefs", "skipped"]
    assert record["schema"] == "kitsolver/batch/1"
    text = (folder / "results.csv").read_bytes().decode()
    assert text.count("\r\n") == text.count("\n") == len(record["briefs"]) + 1
    table = list(csv.DictReader(io.StringIO(text, newline="")))
    for row, cells in zip(record["briefs"], table, strict=True):
        assert list(row) == KEYS
        assert list(cells) == KEYS[:-1]
        shown = {**row, "skus": ";".join(row["skus"])}
        assert cells == {key: "" if shown[key] is None else str(shown[key]) for key in cells}
    return {row["brief"]: row for row in record["briefs"]}


@pytest.mark.slow
def test_one_worker_and_two_write_the_same_bytes(asked, whole, out):
    assert run(*asked, "--out", out, "--workers", 1).exit_code == 0
    assert files(out) == whole
    assert len(whole) == MANY + 2
    found = rows(out)
    assert list(found) == [f"kit {n:02}" for n in range(MANY)]
    assert {row["status"] for row in found.values()} == {"best", "no kit"}


@pytest.mark.usefixtures("in_this_process")
def test_each_result_is_what_pick_writes(out):
    names = ("bundle", "class-of-twelve", "gift-card")
    briefs = [DEMO / f"{name}.toml" for name in names]
    ended = run("batch", SHOP, *briefs, "--out", out, "--set", "heads=2", "--json", "-")
    assert ended.exit_code == 0
    assert json.loads(ended.stdout) == json.loads((out / "batch.json").read_text())
    assert "results in" in ended.stderr
    found = rows(out)
    assert tuple(found) == names
    for name, brief in zip(names, briefs, strict=True):
        picked = run("pick", SHOP, brief, "--set", "heads=2", "--json", "-").stdout
        assert (out / f"{name}.json").read_bytes() == picked.encode()
        kit = json.loads(picked)
        row = found[name]
        assert {key: row[key] for key in KEYS[1:8]} == {key: kit[key] for key in KEYS[1:8]}
        assert row["skus"] == [line["sku"] for line in kit["lines"]]


@pytest.mark.usefixtures("in_this_process")
def test_no_kit_is_a_result_like_any_other(little, out):
    shop, brief = little
    ended = run("batch", shop, brief, "--out", out, "--set", "cap=4.00")
    assert ended.exit_code == 0
    assert ended.stdout == f"Briefs 1: no kit 1; results in {out}\n"
    row = rows(out)["scissors"]
    kit = json.loads((out / "scissors.json").read_text())
    assert (row["status"], row["payable"], row["skus"]) == ("no kit", None, [])
    assert row["detail"] == " ".join(kit["why"]["because"])


@pytest.mark.usefixtures("in_this_process")
def test_a_brief_that_fails_is_a_row_among_the_others(little, out, tmp_path):
    shop, brief = little
    bad = tmp_path / "bad.toml"
    bad.write_text(brief.read_text() + 'tilte = "Oops"\n')
    unheld = tmp_path / "unheld.toml"
    unheld.write_text(brief.read_text() + '[choose]\nkeep = ["S9"]\n')
    briefs = (bad, tmp_path / "none.toml", brief, unheld)
    ended = run("batch", shop, *briefs, "--out", out)
    assert ended.exit_code == 2
    assert ended.stdout == f"Briefs 4: best 1, bad input 3; results in {out}\n"
    assert "Traceback" not in ended.stderr
    found = rows(out)
    assert [row["status"] for row in found.values()] == [
        "bad input", "bad input", "best", "bad input",
    ]  # fmt: skip
    [finding] = found["bad"]["findings"]
    assert (finding["code"], finding["file"], finding["column"]) == (
        "unknown-key", str(bad), "tilte",
    )  # fmt: skip
    assert found["none"]["findings"][0]["code"] == "unreadable-brief"
    # What is known of the brief is told.
    assert (found["unheld"]["cap"], found["bad"]["cap"]) == ("10.00", None)
    assert "S9" in found["unheld"]["detail"]
    assert "unknown-sku" in ended.stderr
    assert sorted(files(out)) == ["batch.json", "results.csv", "scissors.json"]


@pytest.mark.usefixtures("in_this_process")
def test_a_fault_is_a_row_and_exits_70(little, out, monkeypatch):
    from kitsolver.batch import worker_pool
    from kitsolver.batch.work import TaskResult

    def fails(_shop, tasks, **_):
        yield from (TaskResult(task.name, fault="ValueError: planted") for task in tasks)

    assert run("batch", *little, "--out", out).exit_code == 0
    monkeypatch.setattr(worker_pool, "in_processes", fails)
    ended = run("batch", *little, "--out", out, "--set", "cap=9.00")
    assert ended.exit_code == 70
    assert "ValueError: planted" in ended.stderr
    row = rows(out)["scissors"]
    assert (row["status"], row["cap"], row["detail"]) == ("fault", "9.00", "ValueError: planted")
    # The kit of the earlier run answers another brief.
    assert not (out / "scissors.json").exists()


@pytest.mark.usefixtures("in_this_process")
def test_an_unusable_catalogue_is_told_once_and_nothing_is_written(little, out):
    shop, brief = little
    shop.write_text(shop.read_text().replace("5.00", "five"))
    ended = run("batch", shop, brief, "--out", out)
    assert ended.exit_code == 2
    assert ended.stderr.count("not-a-number") == 1
    assert not out.exists()
    assert run("batch", shop, brief, "--out", out, "--skip-bad-rows").exit_code == 0


@pytest.mark.usefixtures("in_this_process")
def test_a_currency_that_the_prices_do_not_suit_concerns_its_briefs_only(little, out, tmp_path):
    shop, brief = little
    shop.write_text(shop.read_text().replace("5.00", "5.05"))
    yen = tmp_path / "yen.toml"
    yen.write_text('currency = "JPY"\ncap = "10"\nholds = ["scissors"]\n')
    assert run("batch", shop, brief, yen, "--out", out).exit_code == 2
    found = rows(out)
    assert [row["status"] for row in found.values()] == ["best", "bad input"]
    assert {finding["file"] for finding in found["yen"]["findings"]} == {str(shop)}


@pytest.mark.usefixtures("in_this_process")
def test_a_second_run_redoes_nothing(little, out):
    first = run("batch", *little, "--out", out)
    before = files(out)
    again = run("batch", *little, "--out", out)
    assert (first.exit_code, again.exit_code) == (0, 0)
    assert "Done before" not in first.stderr
    assert "Done before: 1; left: 0" in again.stderr
    assert done(out) == ["scissors"]
    assert files(out) == before


def spoil(path):
    path.write_text(path.read_text().replace("80", "81"))


@pytest.mark.usefixtures("in_this_process")
@pytest.mark.parametrize(
    ("change", "options"),
    [
        (lambda _shop, brief, _out: brief.write_text(brief.read_text() + "heads = 2\n"), ()),
        (lambda shop, _brief, _out: shop.write_text(shop.read_text() + "X,Y,bag,1.00,1\n"), ()),
        (lambda _shop, _brief, out: spoil(out / "scissors.json"), ()),
        (lambda _shop, _brief, out: (out / "scissors.json").unlink(), ()),
        (lambda *_: None, ("--set", "cap=9.00")),
        (lambda *_: None, ("--seconds", "60")),
        (lambda *_: None, ("--skip-bad-rows",)),
    ],
)
def test_what_an_answer_depends_on_is_answered_anew(little, out, change, options):
    run("batch", *little, "--out", out)
    change(*little, out)
    again = run("batch", *little, "--out", out, *options)
    assert again.exit_code == 0
    assert "Done before" not in again.stderr
    assert done(out) == ["scissors", "scissors"]


@pytest.mark.usefixtures("in_this_process")
def test_words_that_change_nothing_are_not_answered_anew(little, out):
    run("batch", *little, "--out", out)
    little[1].write_text("# a remark\n" + little[1].read_text().replace("10.00", "10.00"))
    assert "left: 0" in run("batch", *little, "--out", out).stderr


@pytest.mark.usefixtures("in_this_process")
def test_a_line_that_was_cut_off_is_ignored(little, out, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(little[1].read_text())
    run("batch", *little, other, "--out", out)
    before = files(out)
    ledger = out / "ledger.jsonl"
    ledger.write_bytes(ledger.read_bytes()[:-20])
    again = run("batch", *little, other, "--out", out)
    assert "Done before: 1; left: 1" in again.stderr
    assert "left: 0" in run("batch", *little, other, "--out", out).stderr
    assert files(out) == before


@pytest.mark.usefixtures("in_this_process")
def test_best_so_far_is_run_again(little, out, monkeypatch):
    from kitsolver.batch import worker_pool
    from kitsolver.batch.work import TaskResult, run_task

    def hurried(shop, tasks, **_):
        for task in tasks:
            text = run_task(shop, task).text.replace('"status": "best"', '"status": "best so far"')
            yield TaskResult(task.name, text)

    with monkeypatch.context() as patched:
        patched.setattr(worker_pool, "in_processes", hurried)
        ended = run("batch", *little, "--out", out)
    assert ended.exit_code == 0
    assert rows(out)["scissors"]["status"] == "best so far"
    again = run("batch", *little, "--out", out)
    assert "Done before" not in again.stderr
    assert rows(out)["scissors"]["status"] == "best"


@pytest.mark.usefixtures("in_this_process")
def test_a_best_kit_whose_next_rung_was_given_up_is_run_again(little, out, monkeypatch):
    from kitsolver.batch import worker_pool
    from kitsolver.batch.work import run_task

    def hurried(context, tasks, **_):
        return (replace(run_task(context, task), out_of_time=True) for task in tasks)

    with monkeypatch.context() as patched:
        patched.setattr(worker_pool, "in_processes", hurried)
        run("batch", *little, "--out", out)
    assert rows(out)["scissors"]["status"] == "best"
    again = run("batch", *little, "--out", out)
    assert "Done before" not in again.stderr
    assert "left: 0" in run("batch", *little, "--out", out).stderr


@pytest.mark.skipif(os.name != "posix", reason="signals and pipes are POSIX's here")
@pytest.mark.usefixtures("in_this_process")
@pytest.mark.slow
@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGKILL])
def test_an_interrupted_run_goes_on_where_it_was(asked, whole, out, how):
    # It cannot come further than this result, however slow the machine: a pipe that nobody reads.
    out.mkdir()
    barrier = out / "kit 05.json"
    os.mkfifo(barrier)
    command = [sys.executable, "-m", "kitsolver", *asked, "--out", str(out), "--workers", "1"]
    running = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    while len(done(out)) < 5:
        assert running.poll() is None, running.communicate()
        time.sleep(0.01)
    os.kill(running.pid, how)
    _, told = running.communicate(timeout=60)
    if how is signal.SIGINT:
        assert running.returncode == 130
        assert told == "Interrupted.\nhint: the same command goes on with what is missing\n"
    barrier.unlink()
    before = done(out)
    assert before == [f"kit {n:02}" for n in range(5)]
    assert not (out / "results.csv").exists()
    again = run(*asked, "--out", out)
    assert again.exit_code == 0
    assert f"Done before: {len(before)}; left: {MANY - len(before)}" in again.stderr
    # Only what was missing was done, and nothing twice.
    assert len(done(out)) == MANY
    assert set(done(out)[len(before) :]).isdisjoint(before)
    left = {name: text for name, text in files(out).items() if not name.startswith(".")}
    assert left == whole


@pytest.mark.usefixtures("in_this_process")
def test_a_folder_that_cannot_be_made_is_a_finding(little, tmp_path):
    (tmp_path / "file").write_text("")
    ended = run("batch", *little, "--out", tmp_path / "file" / "out")
    assert ended.exit_code == 2
    assert "unwritable" in ended.stderr


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--base", BASE), "CSV of briefs"),
        (("--workers", "0"), "workers"),
        (("--workers", "2", "--cluster", "tcp://127.0.0.1:1"), "--cluster"),
        (("--set", "cap"), "not-a-setting"),
    ],
)
def test_what_cannot_be_meant_is_said(little, out, options, told):
    ended = run("batch", *little, "--out", out, *options)
    assert ended.exit_code == 2
    assert told in ended.stderr
    assert ended.stdout == ""
    assert not out.exists()
