"""The package as a program imports it."""

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


def test_import_and_help_load_nothing_heavy():
    program = (
        "import sys, kitsolver, kitsolver.cli; "
        "print([m for m in ('pandas', 'ortools', 'numpy', 'pydantic', 'rich') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"


def test_public_names_are_all_there():
    import kitsolver

    assert sorted(kitsolver.__all__) == list(kitsolver.__all__)
    for name in kitsolver.__all__:
        assert getattr(kitsolver, name).__name__ == name
    assert set(kitsolver.__all__) <= set(dir(kitsolver))
    with pytest.raises(AttributeError):
        kitsolver.no_such_name  # noqa: B018 - asking for the attribute is the test


# A program of someone else's: what it is given has types, and no `Any` hides a slip.
PROGRAM = """
from decimal import Decimal
from pathlib import Path
from typing import assert_type

import pandas as pd

from kitsolver import (
    Answer, BadInput, Batch, Brief, Catalogue, ColumnMap, Copies, Kit, Ladder, NoKit, Others,
    Outcome, RangeAnswer, Recheck, Saved, Skipped, WhyNot, answer, brief_of, copies_of, ladder,
    make_range, notebook_html, others, pick, read_brief, read_catalogue, read_map, read_range,
    read_saved, recheck, run_batch, why_no_kit, why_not, with_settings,
)

mapping = read_map("map.toml")
assert_type(mapping, ColumnMap)
shop = read_catalogue(pd.DataFrame(), currency="EUR", mapping=mapping)
assert_type(shop, Catalogue)
assert_type(shop.skipped, tuple[Skipped, ...])
brief = with_settings(read_brief(Path("brief.toml")), sets=["heads=2"])
assert_type(brief, Brief)
assert_type(brief_of({}), Brief)
assert_type(pick(shop, brief), Outcome)
outcome, why = answer(shop, brief)
assert_type(why, NoKit | None)
kit = outcome.kit
assert_type(kit, Kit | None)
if kit is not None:
    assert_type(kit.lines[0].price_decimal, Decimal)
assert_type(ladder(shop, brief), Ladder)
assert_type(others(shop, brief), Others)
assert_type(why_not(shop, brief, "A"), WhyNot)
assert_type(why_no_kit(shop, brief), NoKit)
saved = read_saved("kit.json")
assert_type(saved, Saved)
assert_type(recheck(saved, shop), Recheck)
assert_type(copies_of(saved, shop), Copies)
assert_type(make_range(shop, read_range("range.toml")), RangeAnswer)
assert_type(run_batch("shop.csv", ["brief.toml"], "out"), Batch)
assert_type(notebook_html(shop), str)
try:
    Brief.model_validate({})
except BadInput as bad:
    assert_type(bad.findings[0].hint, str)
"""


@pytest.mark.slow
def test_programs_of_others_see_types_and_slips_are_found(tmp_path):
    """Judged by mypy --strict, outside the project's folder."""
    (tmp_path / "program.py").write_text(PROGRAM, encoding="utf-8")
    slip = PROGRAM + "pick(brief, shop)\nkit.line\n"
    (tmp_path / "slip.py").write_text(slip, encoding="utf-8")
    command = [sys.executable, "-m", "mypy", "--strict", "--config-file="]
    done = subprocess.run(
        [*command, "program.py", "slip.py"], cwd=tmp_path, capture_output=True, text=True
    )
    told = [line for line in done.stdout.splitlines() if "error:" in line]
    assert [line.partition(":")[0] for line in told] == ["slip.py"] * 4, done.stdout
    assert sum("[arg-type]" in line for line in told) == 2


def test_the_package_knows_its_version():
    import kitsolver

    assert kitsolver.__version__ == version("kitsolver")


def test_the_readme_s_python_runs(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    readme = Path("README.md").read_text(encoding="utf-8")
    code = readme.split("```python\n")[1].split("```")[0]
    exec(code, {})
    assert "CH-HERMIT" in capsys.readouterr().out
