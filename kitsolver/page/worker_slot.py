"""A place for one worker process at a time, which is replaced when it dies."""

from __future__ import annotations

import pickle
from collections.abc import Callable

from kitsolver.batch.worker_process import WorkerProcess
from kitsolver.page.worker import Reply, serve


class WorkerDied(Exception):
    """A worker process died while it did a task."""


class WorkerSlot:
    """A place for one worker process at a time. `ask` and `start` block: they run in threads."""

    def __init__(self) -> None:
        self._process: WorkerProcess | None = None
        self._ended = self._closed = False
        self.memory = 0

    @property
    def alive(self) -> bool:
        """Whether there is a process that runs."""
        return self._process is not None and not self._ended and self._process.alive

    @property
    def pid(self) -> int | None:
        """The number of the process."""
        return self._process.pid if self._process else None

    def start(self) -> None:
        """Start a process, in the place of the one there was."""
        self.stop()
        self.memory, self._ended = 0, False
        self._process = WorkerProcess(serve)
        if self._closed:
            self.stop()
            raise WorkerDied

    def ask(self, packed: bytes, received: Callable[[], None]) -> Reply:
        """Return the reply to a task.

        Parameters
        ----------
        received : callable
            Called when the process has received the task: a new one takes a while to start.

        Raises
        ------
        WorkerDied
            If the process died.
        OSError
            If no process can be started.
        """
        if not (self.alive and self._taken(packed)):
            # An idle worker that was killed did not die of this task.
            self.start()
            if not self._taken(packed):
                raise WorkerDied
        received()
        assert self._process is not None
        try:
            reply: Reply = pickle.loads(self._process.pipe.recv_bytes())
        except (EOFError, OSError):
            self.stop()
            raise WorkerDied from None
        self.memory = reply.memory
        return reply

    def _taken(self, packed: bytes) -> bool:
        """Send a task, and tell whether the process has received it."""
        assert self._process is not None
        try:
            self._process.pipe.send_bytes(packed)
            self._process.pipe.recv_bytes()
        except (EOFError, OSError):
            self.stop()
            return False
        return True

    def end(self) -> None:
        """End the process, so that `ask` returns in its thread."""
        if self._process is not None:
            self._ended = True
            self._process.end()

    def close(self) -> None:
        """End the process, and start none any more."""
        self._closed = True
        self.end()

    def stop(self) -> None:
        """End the process, and wait until it has ended."""
        if self._process is not None:
            self._process.kill()
            self._process = None
