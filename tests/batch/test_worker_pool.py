"""Worker processes: what they do is what one process does, and none takes work with it."""

import os
import signal
from dataclasses import replace
from multiprocessing import active_children

import pytest

from batch.lethal_brief import LethalBrief
from kitsolver import read_brief, read_catalogue
from kitsolver.batch import work, worker_pool
from kitsolver.batch.work import Task, TaskResult, WorkerContext, run_task
from kitsolver.batch.worker_pool import NoWorker, in_processes
from kitsolver.solve import time_limit
from kitsolver.solve.time_limit import OutOfTime


@pytest.fixture
def shop(little):
    return WorkerContext({"EUR": read_catalogue(little[0], currency="EUR")})


@pytest.fixture
def tasks(little):
    """Caps from 1.00 to 12.00: some without a kit."""
    briefs = (read_brief(little[1], cap=f"{cap}.00") for cap in range(1, 13))
    return [Task(f"b{n}", str(little[1]), brief) for n, brief in enumerate(briefs)]


def lethal(task, tally, deaths):
    return Task(task.name, task.file, LethalBrief(task.brief, str(tally), deaths))


def by_name(results):
    found = list(results)
    assert len({one.name for one in found}) == len(found)
    return {one.name: one for one in found}


@pytest.mark.slow
def test_a_worker_that_dies_is_replaced_and_a_task_that_kills_two_is_a_fault(shop, tasks, tmp_path):
    expected = {task.name: run_task(shop, task) for task in tasks}
    assert len({one.text for one in expected.values()}) == len(tasks)
    once, always = tmp_path / "once", tmp_path / "always"
    tasks[3] = lethal(tasks[3], once, 1)
    tasks[0] = lethal(tasks[0], always, 99)
    expected["b0"] = TaskResult("b0", fault="its worker process died 2 times")
    assert by_name(in_processes(shop, tasks, 2)) == expected
    assert (once.read_text(), always.read_text()) == ("x", "xx")


@pytest.mark.slow
def test_workers_killed_from_outside_lose_nothing(shop, tasks):
    expected = {task.name: run_task(shop, task) for task in tasks}
    results, found = in_processes(shop, tasks, 2), []
    for number, one in enumerate(results):
        found.append(one)
        if number == 4:
            before = active_children()
            assert before
            for child in before:
                os.kill(child.pid, signal.SIGKILL)
    assert by_name(found) == expected


@pytest.mark.slow
def test_workers_are_gone_when_nobody_listens_any_more(shop, tasks):
    results = in_processes(shop, tasks, 2)
    next(results)
    assert active_children()
    results.close()
    assert not active_children()


def test_workers_that_cannot_even_begin_are_a_fault_of_the_program(shop, tasks, monkeypatch):
    monkeypatch.setattr(
        worker_pool._Worker, "give_context", lambda worker, _: os.kill(worker.process.pid, 9)
    )
    with pytest.raises(NoWorker):
        list(in_processes(shop, tasks, 2))
    assert not active_children()


def test_a_fault_is_told_and_not_raised(shop, tasks):
    task = tasks[0]
    broken = Task(task.name, task.file, task.brief.model_copy(update={"currency": "JPY"}))
    assert run_task(shop, broken).fault == "KeyError: 'JPY'"


def test_a_limit_too_short_for_any_kit_is_the_user_s_to_mend(shop, tasks):
    [finding] = run_task(WorkerContext(shop.catalogues, 0.0), tasks[-1]).findings
    assert (finding.code, finding.file) == ("time-limit-too-short", tasks[-1].file)


def test_merging_a_home_list_counts_and_the_brief_is_not_validated_again(shop, tasks, monkeypatch):
    given = {}
    clock = iter([0.0, *[3.0] * 9])

    def noted(_catalogue, _brief, **how):
        given.update(how)
        raise OutOfTime

    monkeypatch.setattr(time_limit.time, "monotonic", lambda: next(clock))
    monkeypatch.setattr(work, "answer", noted)
    monkeypatch.setattr(work, "with_home", lambda catalogue, *_, **__: (catalogue, ()))
    task = replace(tasks[-1], home=object())
    # The list is merged from second 0 to second 3.
    run_task(WorkerContext(shop.catalogues, 5.0), task)
    assert given == {"seconds": 2.0, "validated": True}
