"""The one seam: jobs, a function, and whatever `concurrent.futures.Executor` is at hand.

A job bears a name made from all it works on, and its function writes its own result, whole or not at all: it may be
done twice, by two machines at once, or again after its process was lost, and nothing is the worse for it.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError, Executor, Future, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any

from plateside.model.progress import Progress, silent

TRIES = 3
"""A job whose process was lost so often is not begun again: it may be the job that ends it."""
LOOK_S = 0.2
"""So often it is looked whether something has ended: a press of Ctrl-C is answered as soon."""


@dataclass(frozen=True)
class Job:
    """One part of long work: what a function is called with, in another process or on another machine."""

    name: str
    """a hash of all that its result depends on"""
    given: tuple[Any, ...]
    """plain values that can be sent"""


@dataclass(frozen=True)
class Workers:
    """Who does the jobs."""

    executor: Executor
    lost: tuple[type[BaseException], ...] = (BrokenProcessPool, CancelledError)
    """what a job ends with whose process was lost"""
    broke: Callable[[Exception], bool] = lambda _error: False
    """whether anything else that a job ends with is the executor's own, not raised by the work: it is done again"""


@dataclass(frozen=True)
class Lost:
    """In place of a result: its process was ended every time."""

    times: int


def run_jobs(
    work: Callable[..., Any],
    jobs: Sequence[Job],
    workers: Callable[[], AbstractContextManager[Workers]],
    progress: Progress = silent,
) -> Iterator[tuple[Job, Any]]:
    """Do all jobs, and give each with its result (or Lost) as it ends: every one once.

    work     a module's function that can be sent; called as work(name, *given)
    workers  begins the executor, and ends it: begun anew when the one before broke
    What `work` raises is raised here; ValueError when two jobs bear one name. The executor is left on any way out.
    """
    names = [job.name for job in jobs]
    if twice := [name for name in set(names) if names.count(name) > 1]:
        raise ValueError(twice)
    tried = dict.fromkeys(names, 0)
    waiting, done = list(jobs), 0
    if jobs:
        progress(done, len(jobs))
    while waiting:
        again: list[Job] = []
        with workers() as them:
            for job, result, lost in _one_round(work, waiting, them):
                tried[job.name] += lost
                if lost and tried[job.name] < TRIES:
                    again.append(job)
                    continue
                done += 1
                progress(done, len(jobs))
                yield job, Lost(tried[job.name]) if lost else result
        waiting = again


def _one_round(
    work: Callable[..., Any], jobs: Sequence[Job], them: Workers
) -> Iterator[tuple[Job, Any, bool]]:
    """Each job with its result, and whether its process was lost."""
    open_jobs: dict[Future[Any], Job] = {}
    for job in jobs:
        try:
            open_jobs[them.executor.submit(work, job.name, *job.given)] = job
        except them.lost:
            # it broke while jobs were handed in
            yield job, None, True
    while open_jobs:
        ended, _ = wait(open_jobs, LOOK_S, "FIRST_COMPLETED")
        for future in ended:
            job = open_jobs.pop(future)
            try:
                result = future.result()
            except them.lost:
                yield job, None, True
            except Exception as error:
                if not them.broke(error):
                    raise
                yield job, None, True
            else:
                yield job, result, False
