"""Jobs on this machine: processes, as many as its processors and its memory bear."""

import multiprocessing
import os
import signal
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager

from plateside.jobs.held import end_with_parent, machine_bytes
from plateside.jobs.run import Workers

SHARE = 0.75
"""Of the machine's memory, for all of them."""


def processes_for(jobs: int, each_bytes: int) -> int:
    """How many processes at once: no more than jobs or processors, and all of them within the memory; at least one."""
    most = int(SHARE * machine_bytes() / each_bytes)
    return max(1, min(jobs, os.cpu_count() or 1, most))


@contextmanager
def pool(processes: int) -> Iterator[Workers]:
    """Processes of this machine. Left early (Ctrl-C, a mistake), they are ended at once: what they write is whole or
    not there."""
    # not forked: what a library began in this process (threads, locks) would be there half
    executor = ProcessPoolExecutor(
        processes, multiprocessing.get_context("spawn"), initializer=_begin, max_tasks_per_child=None
    )
    try:
        yield Workers(executor)
    except BaseException:
        executor.shutdown(wait=False, cancel_futures=True)
        for child in multiprocessing.active_children():
            child.terminate()
        raise
    executor.shutdown()


def _begin() -> None:
    """In each process: who began it answers Ctrl-C, and it ends with them."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    end_with_parent()
