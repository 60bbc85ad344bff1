"""Ctrl-C ends every command with exit code 130, without a traceback, whatever it is doing.

Most of the time there is nothing to clean up, and the process ends at once. A KeyboardInterrupt is
raised only inside `cleaning_up`: raised anywhere else it could be lost, for libraries written in C
drop it or turn it into an error of their own while they are being imported or call back.

A thread waits for the signal as well, because the main thread hears of it only when it is back in
Python, and a solver may keep it for minutes.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn

INTERRUPTED = 130
# How long cleaning up may take before the process is ended all the same, in seconds.
_CLEANING_SECONDS = 3.0
# How often it is looked whether what Ctrl-C waits for is done, in seconds.
_PUT_OFF_SECONDS = 0.01
_SHOW_CURSOR = b"\x1b[?25h"


class _State:
    """What the signal handler and the waiting thread need to know; there is one for the process."""

    came = False
    # None while there is nothing to clean up.
    seconds: float | None = None
    # Whether what goes on now has to be done first.
    put_off = False


def install() -> None:
    """Handle Ctrl-C from now on."""
    signal.signal(signal.SIGINT, _handle)


def watch() -> None:
    """Handle Ctrl-C also while the main thread is not in Python.

    The standard descriptors must be open, for this opens two more.
    """
    if os.name == "posix":
        wake, woken = os.pipe()
        os.set_blocking(woken, False)
        signal.set_wakeup_fd(woken, warn_on_full_buffer=False)
        threading.Thread(target=_wait, args=(wake,), name="interrupts", daemon=True).start()


def came() -> bool:
    """Tell whether Ctrl-C was pressed."""
    return _State.came


@contextmanager
def cleaning_up(seconds: float = _CLEANING_SECONDS) -> Iterator[None]:
    """Raise KeyboardInterrupt on Ctrl-C inside the block, for what must be cleaned up.

    Parameters
    ----------
    seconds : float
        How long after Ctrl-C the process is ended even if it is still cleaning up.
    """
    before, _State.seconds = _State.seconds, seconds
    try:
        yield
    finally:
        _State.seconds = before


@contextmanager
def putting_off() -> Iterator[None]:
    """Put Ctrl-C off to the end of the block, which is soon over.

    A process that is being started would say that it cannot read what it is to do.
    """
    _State.put_off = True
    try:
        yield
    finally:
        _State.put_off = False
        if _State.came:
            _end_or_raise()


def _handle(_number: int, _frame: FrameType | None) -> None:
    _State.came = True
    if not _State.put_off:
        _end_or_raise()


def _end_or_raise() -> NoReturn:
    if _State.seconds is None:
        _end()
    raise KeyboardInterrupt


def _wait(wake: int) -> None:
    """Wait for the signal in a thread of its own, and see to it that the process ends."""
    while signal.SIGINT not in os.read(wake, 64):
        pass
    _State.came = True
    while _State.put_off:
        time.sleep(_PUT_OFF_SECONDS)
    if _State.seconds is not None:
        time.sleep(_State.seconds)
    _end()


def _end() -> NoReturn:
    if os.isatty(2):
        # A progress bar hides the cursor while it is shown.
        os.write(2, _SHOW_CURSOR)
    os._exit(INTERRUPTED)
