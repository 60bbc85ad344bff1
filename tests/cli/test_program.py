"""The program's help names every command as the command itself does."""

from importlib import import_module

import pytest
import typer
from typer.testing import CliRunner

import kitsolver
from kitsolver.cli import app, main
from kitsolver.cli.program import COMMANDS, command


@pytest.mark.parametrize("name", COMMANDS)
def test_the_help_says_of_each_command_what_its_own_help_begins_with(name):
    assert command(name).help.partition("\n")[0] == COMMANDS[name]
    own = CliRunner().invoke(app, [name, "--help"])
    assert own.exit_code == 0
    assert f"kitsolver {name}" in own.stdout.replace("root", "kitsolver")
    assert COMMANDS[name] in " ".join(own.stdout.split())


def test_the_help_names_every_command():
    told = CliRunner().invoke(app, ["--help"]).stdout
    assert all(f"  {name} " in told for name in COMMANDS)


def test_a_mistyped_command_is_guessed():
    done = CliRunner().invoke(app, ["chekc"])
    assert done.exit_code == 2
    assert "Did you mean 'check'" in done.stderr


def test_the_version_needs_no_typer(monkeypatch, capfd):
    monkeypatch.setattr("sys.argv", ["kitsolver", "--version"])
    monkeypatch.setattr(typer.Typer, "__call__", None)
    for each in ("interrupts", "output"):
        module = import_module(f"kitsolver.cli.{each}")
        monkeypatch.setattr(module, "install", lambda: None)
    monkeypatch.setattr("kitsolver.cli.interrupts.watch", lambda: None)
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 0
    assert capfd.readouterr().out == f"kitsolver {kitsolver.__version__}\n"
