"""Tasks for the page's worker processes: some that work, and some that go wrong.

A worker imports a task by its module's name, so they cannot stand in a test file.
"""

import os
import time

from kitsolver.shop.findings import BadInput
from kitsolver.shop.sources.file_findings import FileMissing


def give_back(value):
    return value


def sleep(seconds):
    time.sleep(seconds)
    return seconds


def end_the_process():
    os._exit(3)


def divide_by_zero():
    raise ZeroDivisionError("by no means")


def refuse_the_input():
    raise BadInput([FileMissing(file="none.csv")])


def process_number():
    return os.getpid()


def mark_and_sleep(mark, seconds):
    """Leave the number of the process in a file, and sleep."""
    with open(f"{mark}.draft", "w") as file:  # noqa: PTH123 - as early as can be
        file.write(str(os.getpid()))
    os.replace(f"{mark}.draft", mark)  # noqa: PTH105 - likewise
    time.sleep(seconds)
    return seconds


_held = []


def fill_memory(size):
    """Hold so many bytes from now on."""
    _held.append(b"x" * size)
