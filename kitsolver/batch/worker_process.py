"""A worker process: a process of its own with a pipe to it, which Ctrl-C does not reach."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection

# Several tasks run side by side, so no library needs threads of its own for one of them.
_ONE_THREAD = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


class WorkerProcess:
    """A worker process as the process that started it sees it.

    Each worker has its own pipe. So it is known what a worker was doing when it died, and the
    others go on undisturbed.

    Parameters
    ----------
    serve : callable
        A function of a module that the process runs, given its end of the pipe. The process ends
        when it returns, or when the pipe closes.

    Raises
    ------
    OSError
        If no process can be started.
    """

    def __init__(self, serve: Callable[[Connection], None]) -> None:
        # Spawned, not forked: threads of solvers and array libraries may hold locks.
        context = get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self._process = context.Process(target=_run, args=(serve, theirs), daemon=True)
        try:
            with _interrupts_blocked():
                self._process.start()
        except OSError:
            self.pipe.close()
            raise
        finally:
            theirs.close()

    @property
    def pid(self) -> int | None:
        """The number of the process."""
        return self._process.pid

    @property
    def alive(self) -> bool:
        """Whether the process is running."""
        try:
            return self._process.is_alive()
        except ValueError:
            # It was ended and closed.
            return False

    def end(self) -> None:
        """End the process, whatever it is doing; who waits at its pipe gets EOFError."""
        # It may have been closed by another thread just now.
        with suppress(ValueError):
            self._process.kill()

    def kill(self) -> None:
        """End the process, whatever it is doing, and wait until it has ended."""
        self.pipe.close()
        self._process.kill()
        self._process.join()
        self._process.close()


@contextmanager
def _interrupts_blocked() -> Iterator[None]:
    """Start processes that do not get Ctrl-C: the process that started them ends them."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [signal.SIGINT])
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _run(serve: Callable[[Connection], None], pipe: Connection) -> None:
    """Run in the worker process, from its beginning to its end."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.environ.update(dict.fromkeys(_ONE_THREAD, "1"))
    with suppress(EOFError, OSError):
        serve(pipe)
