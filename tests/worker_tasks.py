"""Tasks for the page's worker processes: one that works, and four that go wrong.

A worker imports a task by its module's name, so they cannot stand in a test file.
"""

import os
import time

from kitsolver.shop.file_findings import FileMissing
from kitsolver.shop.findings import BadInput


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
