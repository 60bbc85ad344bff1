"""Tasks for worker processes that do what tasks should not."""

import os
import time

from kitsolver.shop.catalogue_findings import FileMissing
from kitsolver.shop.findings import BadInput


def back(value):
    return value


def sleepy(seconds):
    time.sleep(seconds)
    return seconds


def deadly():
    os._exit(3)


def faulty():
    raise ZeroDivisionError("by no means")


def refusing():
    raise BadInput([FileMissing(file="none.csv")])
