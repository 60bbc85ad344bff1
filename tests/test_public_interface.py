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


def test_the_package_knows_its_version():
    import kitsolver

    assert kitsolver.__version__ == version("kitsolver")


def test_the_readme_s_python_runs(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    readme = Path("README.md").read_text(encoding="utf-8")
    code = readme.split("```python\n")[1].split("```")[0]
    exec(code, {})
    assert "CH-HERMIT" in capsys.readouterr().out
