"""Without the packages of the extras everything else works, and what needs one names it."""

import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[1] / "catalogues"
SHOP, BRIEF = DEMO / "tormellick-whelk.csv", DEMO / "bundle.toml"
SERVER = "postgresql+psycopg://me@127.0.0.1:1/shop"
EXTRAS = ("pyarrow", "sqlalchemy", "psycopg", "matplotlib", "distributed")

# Runs the command line where some packages cannot be imported, as if they were not installed.
WITHOUT = """
import sys

class Missing:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in MISSING:
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)

MISSING = sys.argv[1].split(",")
sys.meta_path.insert(0, Missing())
sys.argv = ["kitsolver", *sys.argv[2:]]
from kitsolver.cli import main
main()
"""


def run_without(packages, *arguments, folder):
    command = [sys.executable, "-c", WITHOUT, ",".join(packages), *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, cwd=folder, check=False)


def test_what_needs_no_extra_works_without_any(tmp_path):
    written = ("--json", "kit.json", "--csv", "kit.csv", "--html", "sheet.html")
    done = run_without(EXTRAS, "pick", SHOP, BRIEF, *written, folder=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Proven best" in done.stdout
    for name in written[1::2]:
        assert (tmp_path / name).stat().st_size > 0


@pytest.mark.parametrize(
    ("package", "arguments", "extra"),
    [
        ("pyarrow", ("pick", "shop.parquet", BRIEF), "parquet"),
        ("sqlalchemy", ("pick", f"{SERVER}#goods", BRIEF), "databases"),
        ("psycopg", ("pick", f"{SERVER}#goods", BRIEF), "postgresql"),
        ("matplotlib", ("ladder", SHOP, BRIEF, "--plot", "ladder.svg"), "plot"),
        (
            "distributed",
            ("batch", SHOP, BRIEF, "--out", "out", "--cluster", "tcp://127.0.0.1:1"),
            "cluster",
        ),
    ],
)
def test_a_missing_extra_is_named_with_the_command_that_installs_it(
    package, arguments, extra, tmp_path
):
    (tmp_path / "shop.parquet").write_bytes(b"PAR1")
    done = run_without([package], *arguments, folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"pip install 'kitsolver[{extra}]'" in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["shop.parquet"]
