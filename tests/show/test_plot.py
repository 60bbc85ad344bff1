"""A plot needs a package that may be missing: then a finding says how to install it."""

import sys
from importlib.machinery import PathFinder
from pathlib import Path

import pytest
from typer.testing import CliRunner

from kitsolver.cli import app
from kitsolver.shop.findings import BadInput
from kitsolver.show.plot import plot_format

DEMO = Path(__file__).parents[2] / "catalogues"


@pytest.fixture(autouse=True)
def _without_matplotlib(monkeypatch):
    """Hide matplotlib from every import."""

    class Hidden(PathFinder):
        @classmethod
        def find_spec(cls, fullname, path=None, target=None):
            if fullname.partition(".")[0] == "matplotlib":
                return None
            return PathFinder.find_spec(fullname, path, target)

    finders = [Hidden if finder is PathFinder else finder for finder in sys.meta_path]
    monkeypatch.setattr(sys, "meta_path", finders)
    for name in [name for name in sys.modules if name.partition(".")[0] == "matplotlib"]:
        monkeypatch.delitem(sys.modules, name)


@pytest.mark.parametrize("ending", ["svg", "png", "PNG"])
def test_a_missing_package_is_a_finding_that_says_what_to_install(ending):
    with pytest.raises(BadInput) as caught:
        plot_format(f"ladder.{ending}")
    (finding,) = caught.value.findings
    assert finding.code == "package-missing"
    assert finding.hint == "pip install 'kitsolver[plot]'"


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_the_command_ends_with_bad_input_before_it_searches(tmp_path, ending):
    target = tmp_path / f"ladder.{ending}"
    command = ["ladder", DEMO / "tormellick-whelk.csv", DEMO / "bundle.toml", "--plot", target]
    done = CliRunner().invoke(app, [str(part) for part in command])
    assert done.exit_code == 2
    assert "pip install 'kitsolver[plot]'" in done.stderr
    assert "Traceback" not in done.output
    assert done.stdout == ""
    assert not target.exists()


def test_an_unknown_ending_is_told_first():
    with pytest.raises(BadInput) as caught:
        plot_format("ladder.pdf")
    assert caught.value.findings[0].code == "unknown-plot"
