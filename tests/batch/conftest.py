"""Many small variations of the demo's bundle, and what one undisturbed run makes of them."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app

DEMO = Path(__file__).parents[2] / "catalogues"
SHOP = str(DEMO / "tormellick-whelk.csv")
BASE = str(DEMO / "bundle.toml")
MANY = 12


def run(*arguments):
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def files(folder):
    """Return every result by name; which was done when is the ledger's own."""
    return {
        path.name: path.read_bytes() for path in folder.iterdir() if path.name != "ledger.jsonl"
    }


def done(folder):
    """Return the names in the ledger, whole lines only."""
    ledger = folder / "ledger.jsonl"
    lines = ledger.read_text(encoding="utf-8").split("\n")[:-1] if ledger.exists() else []
    return [json.loads(line)["brief"] for line in lines]


@pytest.fixture(scope="session")
def kits(tmp_path_factory):
    """A CSV of briefs, one chart and many caps; the lowest are too low for any kit."""
    path = tmp_path_factory.mktemp("kits") / "kits.csv"
    rows = [f"kit {n:02},{16 + n // 2}.{n % 2 * 5}0" for n in range(MANY)]
    keep = ["choose.keep", '"[""CH-HERMIT""]"']
    text = "\r\n".join([f"brief,cap,{keep[0]}", *(f"{row},{keep[1]}" for row in rows), ""])
    path.write_text(text, encoding="utf-8", newline="")
    return path


@pytest.fixture(scope="session")
def asked(kits):
    """The command for them, but for the folder."""
    return ("batch", SHOP, str(kits), "--base", BASE)


@pytest.fixture(scope="session")
def whole(asked, tmp_path_factory):
    """The results of a run on two workers that nothing disturbed."""
    out = tmp_path_factory.mktemp("whole") / "out"
    ended = run(*asked, "--out", out, "--workers", 2)
    assert ended.exit_code == 0, ended.stderr
    return files(out)


@pytest.fixture
def little(tmp_path):
    """A shop of two goods and a brief for a pair of scissors."""
    shop, brief = tmp_path / "shop.csv", tmp_path / "scissors.toml"
    shop.write_text(
        "sku,name,category,price,quality\nS1,Stork,scissors,5.00,60\nS2,Heron,scissors,8.00,80\n",
        encoding="utf-8",
    )
    brief.write_text('currency = "EUR"\ncap = "10.00"\nholds = ["scissors"]\n', encoding="utf-8")
    return shop, brief


@pytest.fixture
def in_this_process(monkeypatch):
    """Do the work in this process: starting others takes a second."""
    from kitsolver.batch import worker_pool
    from kitsolver.batch.work import run_task

    monkeypatch.setattr(
        worker_pool,
        "in_processes",
        lambda context, tasks, **_: (run_task(context, task) for task in tasks),
    )
