"""Worker processes are ended, replaced and shared out; waiting for one is bounded and told."""

import asyncio
import os
import signal
import threading
from pathlib import Path

import pytest
from alone import run_alone
from worker_tasks import (
    divide_by_zero,
    end_the_process,
    fill_memory,
    give_back,
    mark_and_sleep,
    process_number,
    refuse_the_input,
    sleep,
)

from kitsolver import BadInput
from kitsolver.page import worker_pool
from kitsolver.page.waiting import busy_sentence, place_sentence
from kitsolver.page.worker import Fault
from kitsolver.page.worker_pool import TICKET, Busy, TookTooLong, WorkerPool

LONG = 600


def with_pool(story, workers=2, **how):
    async def told():
        pool = WorkerPool(workers, **how)
        pool.start()
        try:
            await story(pool)
        finally:
            pool.stop()

    run_alone(told())


async def until(holds):
    """Wait until something holds; what takes as long as `LONG` never comes."""
    async with asyncio.timeout(LONG):
        while not holds():
            await asyncio.sleep(0.01)


def runs(pid):
    """Tell whether a process runs: one that has ended is listed until it is waited for."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    status = Path(f"/proc/{pid}/status")
    return not status.exists() or "State:\tZ" not in status.read_text()


def test_a_task_gives_its_result_or_its_findings():
    async def story(pool):
        assert await pool.do(give_back, [1, "x"], seconds=LONG) == [1, "x"]
        with pytest.raises(BadInput) as caught:
            await pool.do(refuse_the_input, seconds=LONG)
        assert caught.value.findings[0].file == "none.csv"
        with pytest.raises(Fault, match="ZeroDivisionError: by no means"):
            await pool.do(divide_by_zero, seconds=LONG)
        with pytest.raises(Fault, match="pickle"):
            await pool.do(give_back, threading.Lock(), seconds=LONG)
        assert await pool.do(give_back, 6, seconds=LONG) == 6

    with_pool(story)


@pytest.mark.slow
def test_a_task_that_takes_too_long_is_ended_and_the_next_is_done():
    async def story(pool):
        await pool.do(give_back, 1, seconds=LONG)
        with pytest.raises(TookTooLong):
            await pool.do(sleep, LONG, seconds=0.5)
        assert await pool.do(give_back, 2, seconds=LONG) == 2

    with_pool(story)


@pytest.mark.slow
def test_a_task_that_kills_two_workers_is_a_fault_and_the_next_is_done():
    async def story(pool):
        with pytest.raises(Fault, match="died"):
            await pool.do(end_the_process, seconds=LONG)
        assert await pool.do(give_back, 3, seconds=LONG) == 3

    with_pool(story)


@pytest.mark.slow
def test_idle_workers_that_are_killed_are_replaced_and_nobody_notices():
    async def story(pool):
        await asyncio.gather(*(pool.do(sleep, 0.3, seconds=LONG) for _ in range(2)))
        before = set(pool.pids)
        assert len(before) == 2
        for pid in before:
            os.kill(pid, signal.SIGKILL)
        assert await pool.do(give_back, 4, seconds=LONG) == 4
        # Both come back, also the one that was asked nothing.
        await until(lambda: len(set(pool.pids) - before) == 2)
        assert await pool.do(give_back, 5, seconds=LONG) == 5

    with_pool(story)


@pytest.mark.slow
def test_a_worker_killed_at_its_task_is_replaced_and_the_task_done(tmp_path):
    async def story(pool):
        mark = tmp_path / "mark"
        task = asyncio.create_task(pool.do(mark_and_sleep, str(mark), 0.2, seconds=LONG))
        await until(mark.exists)
        os.kill(int(mark.read_text()), signal.SIGKILL)
        assert await task == 0.2

    with_pool(story)


@pytest.mark.slow
def test_an_abandoned_task_is_ended_with_its_worker(tmp_path):
    async def story(pool):
        mark = tmp_path / "mark"
        task = asyncio.create_task(pool.do(mark_and_sleep, str(mark), LONG, seconds=LONG))
        await until(mark.exists)
        pid = int(mark.read_text())
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            await task
        await until(lambda: not runs(pid))
        assert await pool.do(give_back, 7, seconds=LONG) == 7

    with_pool(story)


def test_who_gives_up_waiting_leaves_the_line():
    async def story(pool):
        busy = [asyncio.create_task(pool.do(sleep, LONG, seconds=LONG)) for _ in range(2)]
        waiting = [asyncio.create_task(in_line(pool, name)) for name in "abc"]
        await until(lambda: pool.place("c") == 3)
        assert [pool.place(name) for name in ("a", "b", "c", "")] == [1, 2, 3, 0]
        waiting[0].cancel()
        await until(lambda: pool.place("c") == 2)
        for task in (*busy, *waiting):
            task.cancel()

    async def in_line(pool, ticket):
        TICKET.set(ticket)
        await pool.do(give_back, 1, seconds=LONG)

    with_pool(story)


def test_who_waits_too_long_is_told_the_place():
    async def story(pool):
        busy = [asyncio.create_task(pool.do(sleep, LONG, seconds=LONG)) for _ in range(2)]
        await asyncio.sleep(0)
        first = asyncio.create_task(pool.do(give_back, 1, seconds=LONG))
        await asyncio.sleep(0)
        with pytest.raises(Busy) as second:
            await pool.do(give_back, 1, seconds=LONG)
        with pytest.raises(Busy):
            await first
        assert second.value.place in (1, 2)
        for task in busy:
            task.cancel()

    with_pool(story, waiting_seconds=0.2)


def test_who_comes_when_too_many_wait_is_told_so_at_once():
    async def story(pool):
        tasks = [asyncio.create_task(pool.do(sleep, LONG, seconds=LONG)) for _ in range(3)]
        await asyncio.sleep(0)
        with pytest.raises(Busy) as caught:
            await pool.do(give_back, 1, seconds=LONG)
        assert caught.value.place == 2
        for task in tasks:
            task.cancel()

    with_pool(story, most_waiting=1)


def test_heavy_tasks_leave_a_worker_free():
    async def story(pool):
        heavy = [asyncio.create_task(pool.do(sleep, LONG, seconds=LONG, heavy=True)) for _ in "ab"]
        await asyncio.sleep(0)
        assert await pool.do(give_back, 5, seconds=LONG) == 5
        assert not any(task.done() for task in heavy)
        for task in heavy:
            task.cancel()

    with_pool(story)


@pytest.mark.slow
def test_a_kind_of_task_is_heavy_until_one_was_quick():
    async def story(pool):
        first = asyncio.create_task(pool.do(sleep, LONG, seconds=LONG, heavy=True))
        await asyncio.sleep(0)
        unknown = asyncio.create_task(pool.do(give_back, 1, seconds=LONG, kind="unknown"))
        assert await pool.do(give_back, 5, seconds=LONG) == 5
        assert not unknown.done()
        first.cancel()
        assert await unknown == 1
        # It was quick, so another heavy task does not hold it up any more.
        again = asyncio.create_task(pool.do(sleep, LONG, seconds=LONG, heavy=True))
        await asyncio.sleep(0)
        assert await pool.do(give_back, 2, seconds=LONG, kind="unknown") == 2
        again.cancel()

    with_pool(story)


@pytest.mark.slow
def test_memory_is_given_back_after_a_storm(monkeypatch):
    monkeypatch.setattr(worker_pool, "MOST_MEMORY", 64 * 2**20)

    async def story(pool):
        await pool.do(give_back, 1, seconds=LONG)
        await pool.do(fill_memory, 200 * 2**20, seconds=LONG)
        before = set(pool.pids)
        await until(lambda: set(pool.pids) - before)
        assert await pool.do(process_number, seconds=LONG)
        held = sum(memory(pid) for pid in pool.pids)
        assert held < 2 * 200 * 2**20

    with_pool(story)


def memory(pid):
    """Return the memory that a process holds, in bytes; 0 where that is not known."""
    status = Path(f"/proc/{pid}/statm")
    return int(status.read_text().split()[1]) * 4096 if status.exists() else 0


@pytest.mark.parametrize(
    ("place", "ordinal"),
    [(1, "first"), (3, "third"), (11, "11th"), (21, "21st"), (22, "22nd"), (113, "113th")],
)
def test_a_place_in_line_is_told_in_words(place, ordinal):
    assert place_sentence(place) == f"Your question is {ordinal} in line."
    assert f"your question was {ordinal} in line" in busy_sentence(place)
    assert place_sentence(0) == ""
