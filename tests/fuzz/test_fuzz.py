"""A few mutated runs of every reader; `tests/fuzz/fuzz.py` does thousands."""

import os
import socket
import subprocess
import sys
from datetime import date

import pytest

from .corpus import lay_out
from .fuzz import NAMES, PAGE, fault_of
from .page import FORMS, QUESTIONS, VIEWS, request, served, status_of

FIRST = 1000 * int(os.environ.get("KITSOLVER_SEED", date.today().toordinal()))


@pytest.fixture(scope="module")
def corpus(tmp_path_factory):
    folder = tmp_path_factory.mktemp("corpus")
    readers = lay_out(folder)
    with served(folder) as (host, complaints):
        yield folder, readers, host
    assert complaints == []


@pytest.mark.slow
def test_every_reader_is_among_them(corpus):
    assert sorted(corpus[1]) == sorted(NAMES)


@pytest.mark.slow
@pytest.mark.parametrize("name", PAGE)
def test_every_request_is_answered_before_it_is_mutated(corpus, name):
    """Else the mutated ones would all end where the sound one does."""
    _, readers, host = corpus
    server, port = host.split(":")
    paths = {"address": VIEWS, "question": QUESTIONS, **FORMS}.get(name, ["kit.json"])
    for seed, path in enumerate(paths):
        with socket.create_connection((server, int(port))) as link:
            link.sendall(request(name, readers[name].content, host, seed))
            assert status_of(link.recv(64)) in {200, 201, 303}, path


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", range(FIRST, FIRST + 20))
def test_no_mutated_input_is_a_fault(corpus, name, seed):
    folder, readers, host = corpus
    assert fault_of(readers[name], seed, folder, host) == ""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="arguments are bytes on POSIX only")
@pytest.mark.parametrize("name", [b"no\xff.csv", b"sound.xlsx#\xed\xa0\x80", b"sqlite:///\x8a#x"])
def test_an_argument_that_cannot_be_decoded_is_told_like_any_other(corpus, name):
    command = [sys.executable.encode(), b"-m", b"kitsolver", b"check", name]
    ended = subprocess.run(command, cwd=corpus[0], capture_output=True, check=False)
    assert ended.returncode == 2
    assert ended.stdout.startswith(b"error (")
    assert b"Traceback" not in ended.stderr
