"""The same work on a real Dask cluster of this machine, and what befalls it."""

import json
import signal
import subprocess
import sys
import time
from contextlib import nullcontext
from importlib.metadata import PackageNotFoundError, version

import pytest

from batch.conftest import BASE, MANY, SHOP, done, files, run
from kitsolver import read_brief
from kitsolver.batch import cluster as dask
from kitsolver.batch.work import Task, TaskResult, WorkerContext

QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


class Cluster:
    """A scheduler and its workers, each a process of its own with one thread."""

    def __init__(self, folder):
        self.processes, self.workers = [], []
        told = folder / "scheduler.json"
        self.scheduler = self._start("scheduler", "--port", "0", "--scheduler-file", str(told))
        until(lambda: told.exists() and told.read_text().strip())
        self.address = json.loads(told.read_text())["address"]

    def hire(self, number=2):
        """Start workers until so many live; those killed before are forgotten."""
        self.workers = [worker for worker in self.workers if worker.poll() is None]
        for _ in range(number - len(self.workers)):
            options = (self.address, "--nthreads", "1", "--no-nanny")
            self.workers.append(self._start("worker", *options))

    def kill(self, process):
        process.send_signal(signal.SIGKILL)
        process.wait()

    def _start(self, what, *options):
        command = [sys.executable, "-m", f"distributed.cli.dask_{what}", *options]
        process = subprocess.Popen([*command, "--host", "127.0.0.1", "--no-dashboard"], **QUIET)
        self.processes.append(process)
        return process

    def end(self):
        for process in self.processes:
            process.kill()
            process.wait()


def until(holds, seconds=60):
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline
        time.sleep(0.01)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory):
    pytest.importorskip("distributed")
    made = Cluster(tmp_path_factory.mktemp("cluster"))
    try:
        yield made
    finally:
        made.end()


@pytest.fixture
def running(cluster, asked, tmp_path):
    """A run on the cluster with some of its work done, and some left."""
    cluster.hire()
    for attempt in range(10):
        out = tmp_path / f"out{attempt}"
        options = ["--out", str(out), "--cluster", cluster.address]
        command = [sys.executable, "-m", "kitsolver", *asked, *options]
        process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        until(lambda p=process, o=out: len(done(o)) >= 5 or p.poll() is not None)
        # Stopped, it cannot end before the test has done its harm.
        process.send_signal(signal.SIGSTOP)
        if len(done(out)) < MANY and process.poll() is None:
            break
        process.kill()
        assert len(done(out)) == MANY, process.communicate()
    else:
        pytest.fail("every run was over before it could be disturbed")
    try:
        yield process, out
    finally:
        process.kill()
        process.communicate()


def goes_on(process):
    """Let a stopped run go on to its end; return what it prints."""
    process.send_signal(signal.SIGCONT)
    return process.communicate(timeout=120)


@pytest.mark.slow
def test_a_worker_killed_in_the_middle_loses_nothing(cluster, running, whole):
    process, out = running
    cluster.kill(cluster.workers[0])
    told = goes_on(process)
    assert process.returncode == 0, told
    assert told[0].startswith(f"Briefs {MANY}: best ")
    assert files(out) == whole
    assert sorted(done(out)) == sorted(set(done(out)))


@pytest.mark.slow
def test_workers_all_killed_are_replaced_by_who_comes(cluster, running, whole):
    process, out = running
    # With them the catalogue goes, which they were sent.
    for worker in cluster.workers:
        cluster.kill(worker)
    cluster.hire(1)
    told = goes_on(process)
    assert process.returncode == 0, told
    assert files(out) == whole


@pytest.mark.slow
def test_a_scheduler_lost_is_said_and_what_is_done_stands(cluster, running, whole):
    process, out = running
    cluster.kill(cluster.scheduler)
    shown, told = goes_on(process)
    assert (process.returncode, shown) == (2, "")
    first, hint = told.splitlines()
    assert first == f"The cluster at {cluster.address!r} has no worker that could go on."
    assert hint == "hint: start workers; the same command goes on with what is missing"
    assert sorted(files(out)) == sorted(f"{name}.json" for name in done(out))
    assert files(out).items() <= whole.items()


class Versions:
    """A cluster whose one worker has some version."""

    def __init__(self, found):
        self.found = found

    def wait_for_workers(self, *_, **__):
        pass

    def run(self, *_, **__):
        return {"tcp://127.0.0.1:9": self.found}


@pytest.mark.parametrize(
    ("found", "told"),
    [("0.0.1", "has kitsolver 0.0.1,"), (PackageNotFoundError(), "has no kitsolver,")],
)
def test_workers_that_would_answer_otherwise_are_refused(found, told):
    with pytest.raises(dask.NoCluster) as refused:
        dask._check_versions(Versions(found), "")
    assert told in str(refused.value)
    dask._check_versions(Versions(version("kitsolver")), "")


@pytest.fixture
def play(monkeypatch, little):
    """Run three tasks on a cluster that is played: what each round says of each task."""
    brief = read_brief(little[1])
    tasks = [Task(name, "", brief) for name in "abc"]
    monkeypatch.setattr(dask, "_client", lambda _: nullcontext())
    monkeypatch.setattr(dask, "_check_versions", lambda *_: None)

    def play(*script):
        said, play.asked = iter(script), []

        def one(_client, _address, _shop, left):
            play.asked.append("".join(task.name for task in left))
            return next(said).items()

        monkeypatch.setattr(dask, "_round", one)
        return list(dask.on_cluster(WorkerContext({}), tasks, ""))

    return play


def test_a_task_that_takes_its_workers_with_it_is_handed_in_twice(play):
    a, b, c = (TaskResult(name, "{}") for name in "abc")
    fault = TaskResult("a", fault="the workers of the cluster died of it")
    # What a round says nothing of was lost with the catalogue.
    assert play({"a": None, "b": b}, {"a": None}, {"c": c}) == [b, fault, c]
    assert play.asked == ["abc", "ac", "c"]
    assert play({"a": None, "b": b, "c": c}, {"a": a}) == [b, c, a]


def test_a_cluster_that_brings_nothing_is_given_up(play):
    with pytest.raises(dask.NoCluster):
        play({}, {}, {})
    assert play.asked == ["abc"] * 3


@pytest.mark.slow
@pytest.mark.parametrize("address", ["127.0.0.1:1", "nonsense"])
def test_an_address_where_nobody_answers_is_said(tmp_path, address):
    pytest.importorskip("distributed")
    out = tmp_path / "out"
    options = ["--out", str(out), "--cluster", address]
    command = [sys.executable, "-m", "kitsolver", "batch", SHOP, BASE, *options]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    assert (ended.returncode, ended.stdout) == (2, "")
    first, hint = ended.stderr.splitlines()
    assert first == f"No cluster answers at {address!r}."
    assert hint.startswith("hint: give the address")
    assert not out.exists()


def test_without_the_extra_it_is_said_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    ended = run("batch", SHOP, BASE, "--out", tmp_path / "out", "--cluster", "tcp://127.0.0.1:1")
    assert (ended.exit_code, ended.stdout) == (2, "")
    assert "hint: pip install 'kitsolver[cluster]'\n" in ended.stderr
