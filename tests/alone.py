"""A coroutine that is run apart from whatever runs in the tests' own thread."""

import asyncio
from concurrent.futures import ThreadPoolExecutor


def run_alone(story):
    """Run a coroutine in a thread of its own: in this one a browser's loop may run."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, story).result()
