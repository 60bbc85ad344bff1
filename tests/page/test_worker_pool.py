"""Worker processes are ended, replaced and shared out, and what they found is remembered."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest
from worker_tasks import divide_by_zero, end_the_process, give_back, refuse_the_input, sleep

from kitsolver import BadInput
from kitsolver.page.work import Fault
from kitsolver.page.worker_pool import Busy, Crew, Memory


def run_alone(story):
    """Run a coroutine in a thread of its own: in this one a browser's loop may run."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, story).result()


def with_crew(story, workers=2, **how):
    async def told():
        crew = Crew(workers, **how)
        try:
            await story(crew)
        finally:
            crew.stop()

    run_alone(told())


def test_a_task_gives_its_result_or_its_findings():
    async def story(crew):
        assert await crew.do(give_back, [1, "x"], seconds=30) == [1, "x"]
        with pytest.raises(BadInput) as caught:
            await crew.do(refuse_the_input, seconds=30)
        assert caught.value.findings[0].file == "none.csv"
        with pytest.raises(Fault, match="ZeroDivisionError: by no means"):
            await crew.do(divide_by_zero, seconds=30)

    with_crew(story)


def test_a_task_that_takes_too_long_is_ended_and_the_next_is_done():
    async def story(crew):
        with pytest.raises(TimeoutError):
            await crew.do(sleep, 600, seconds=0.5)
        assert await crew.do(give_back, 2, seconds=30) == 2

    with_crew(story)


def test_what_cannot_be_handed_over_is_a_fault_and_the_next_is_done():
    async def story(crew):
        with pytest.raises(Fault):
            await crew.do(give_back, lambda: None, seconds=30)
        assert await crew.do(give_back, 6, seconds=30) == 6

    with_crew(story)


def test_a_worker_that_dies_is_a_fault_and_is_replaced():
    async def story(crew):
        with pytest.raises(Fault):
            await crew.do(end_the_process, seconds=30)
        assert await crew.do(give_back, 3, seconds=30) == 3

    with_crew(story)


def test_who_comes_when_too_much_waits_is_told_so_at_once():
    async def story(crew):
        first = asyncio.create_task(crew.do(sleep, 1, seconds=30))
        await asyncio.sleep(0)
        with pytest.raises(Busy):
            await crew.do(give_back, 1, seconds=30)
        assert await first == 1
        assert await crew.do(give_back, 4, seconds=30) == 4

    with_crew(story, most_waiting=1)


def test_heavy_tasks_leave_a_worker_free():
    async def story(crew):
        heavy = [
            asyncio.create_task(crew.do(sleep, 600, seconds=600, heavy=True)) for _ in range(2)
        ]
        await asyncio.sleep(0.1)
        assert await crew.do(give_back, 5, seconds=60) == 5
        assert not any(task.done() for task in heavy)
        for task in heavy:
            task.cancel()
        await asyncio.gather(*heavy, return_exceptions=True)

    with_crew(story)


def test_a_result_is_made_once_and_the_oldest_is_forgotten():
    made = []

    async def make(key):
        made.append(key)
        await asyncio.sleep(0.01)
        return key * 2

    async def story():
        memory = Memory(2)
        both = await asyncio.gather(*(memory.get("a", lambda: make("a")) for _ in range(2)))
        assert both == ["aa", "aa"]
        assert made == ["a"]
        assert memory.known("a") == "aa"
        assert memory.known("b") is None
        for key in "bc":
            await memory.get(key, lambda key=key: make(key))
        assert memory.known("a") is None
        assert memory.known("c") == "cc"

    run_alone(story())


def test_what_was_asked_for_lately_is_forgotten_last():
    async def make(value):
        return value

    async def story():
        for asked_again in (Memory.known, lambda memory, key: memory.get(key, lambda: make("?"))):
            memory = Memory(2)
            for key in "ab":
                await memory.get(key, lambda key=key: make(key))
            again = asked_again(memory, "a")
            assert (again if isinstance(again, str) else await again) == "a"
            await memory.get("c", lambda: make("c"))
            assert memory.known("b") is None
            assert memory.known("a") == "a"

    run_alone(story())


def test_a_failure_is_not_remembered():
    async def fail():
        raise Busy

    async def succeed():
        return 1

    async def story():
        memory = Memory(2)
        with pytest.raises(Busy):
            await memory.get("a", fail)
        assert await memory.get("a", succeed) == 1

    run_alone(story())
