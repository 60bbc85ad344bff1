"""All threads of the page's process take memory from one heap."""

import platform
import re
import subprocess
import sys

import pytest

# Threads that live side by side each ask for memory; then glibc lists the heaps there are.
THREADS = """
import ctypes, sys, threading
from kitsolver.page.heap import use_one_heap
if "one" in sys.argv:
    use_one_heap()
meet, held = threading.Barrier(9), []
def work():
    meet.wait()
    held.append([bytes(4_000) for _ in range(500)])
    meet.wait()
threads = [threading.Thread(target=work) for _ in range(8)]
for each in threads:
    each.start()
meet.wait()
meet.wait()
libc = ctypes.CDLL(None)
libc.malloc_info(0, ctypes.c_void_p.in_dll(libc, "stdout"))
libc.fflush(None)
"""


@pytest.mark.skipif(platform.libc_ver()[0] != "glibc", reason="only glibc can be asked for it")
@pytest.mark.parametrize(("asked", "alike"), [(["one"], True), ([], False)])
def test_threads_share_one_heap_if_asked_to(asked, alike):
    command = [sys.executable, "-c", THREADS, *asked]
    told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    assert (len(re.findall("<heap nr=", told)) == 1) is alike
