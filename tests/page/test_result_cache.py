"""Results are made once and remembered, unless they ran out of time or nobody waits for them."""

import asyncio

import pytest
from alone import run_alone

from kitsolver.page.result_cache import ResultCache


def test_a_result_is_made_once_and_the_oldest_is_forgotten():
    made = []

    async def make(key):
        made.append(key)
        await asyncio.sleep(0)
        return key * 2

    async def story():
        cache = ResultCache(2)
        both = await asyncio.gather(*(cache.get("a", lambda: make("a")) for _ in range(2)))
        assert both == ["aa", "aa"]
        assert made == ["a"]
        assert cache.known("a") == "aa"
        assert cache.known("b") is None
        for key in "bc":
            await cache.get(key, lambda key=key: make(key))
        assert cache.known("a") is None
        assert cache.known("c") == "cc"

    run_alone(story())


@pytest.mark.parametrize(
    "ask", [ResultCache.known, lambda cache, key: cache.get(key, lambda: never())]
)
def test_what_was_asked_for_lately_is_forgotten_last(ask):
    async def make(value):
        return value

    async def story():
        cache = ResultCache(2)
        for key in "ab":
            await cache.get(key, lambda key=key: make(key))
        again = ask(cache, "a")
        assert (again if isinstance(again, str) else await again) == "a"
        await cache.get("c", lambda: make("c"))
        assert cache.known("b") is None
        assert cache.known("a") == "a"

    run_alone(story())


async def never():
    pytest.fail("this is remembered, and need not be made")


def test_a_failure_is_forgotten_and_a_time_out_made_again_for_who_asks():
    results = iter([ValueError("no"), "late", "best"])

    async def make():
        result = next(results)
        if isinstance(result, Exception):
            raise result
        return result

    async def story():
        cache = ResultCache(2, lambda result: result != "late")
        with pytest.raises(ValueError, match="no"):
            await cache.get("a", make)
        assert await cache.get("a", make) == "late"
        assert cache.known("a") == "late"
        assert await cache.get("a", make) == "best"
        assert cache.known("a") == "best"

    run_alone(story())


def test_what_nobody_waits_for_any_more_is_not_made():
    ended = []

    async def make():
        try:
            await asyncio.sleep(3600)
        except asyncio.CancelledError:
            ended.append(True)
            raise

    async def story():
        cache = ResultCache(2)
        first, second = (asyncio.create_task(cache.get("a", make)) for _ in range(2))
        await asyncio.sleep(0.01)
        first.cancel()
        await asyncio.gather(first, return_exceptions=True)
        assert not ended
        second.cancel()
        await asyncio.gather(second, return_exceptions=True)
        await asyncio.sleep(0)
        assert ended == [True]

    run_alone(story())


def test_results_that_are_too_large_together_are_forgotten_but_not_the_last():
    async def make(value):
        return value

    async def story():
        cache = ResultCache(9, most_bytes=10, size_of=len)
        for value in ("four", "five+", "a"):
            await cache.get(value, lambda value=value: make(value))
        assert cache.known("four") == "four"
        await cache.get("b", lambda: make("b"))
        assert cache.known("five+") is None
        assert (cache.known("four"), cache.known("a")) == ("four", "a")
        await cache.get("large", lambda: make("x" * 100))
        assert cache.known("large") == "x" * 100
        assert cache.known("b") is None

    run_alone(story())
