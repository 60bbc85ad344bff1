"""Runs the command line: ``python -m kitsolver``."""

from kitsolver.cli import main

main()
