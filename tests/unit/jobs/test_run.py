"""Jobs on this machine's processes: each done, whatever is ended. The seam is an Executor (PEP 3148)."""

from concurrent.futures import ThreadPoolExecutor
from contextlib import nullcontext
from pathlib import Path

import pytest

from plateside.jobs.pool import pool, processes_for
from plateside.jobs.run import TRIES, Job, Lost, Workers, run_jobs
from plateside.model.errors import InputError
from tests.unit.jobs.some_work import end_always, end_once, refuse, write_one


def jobs(folder: Path, count: int, *more: str) -> list[Job]:
    return [Job(f"job{n:02d}", (str(folder), *more)) for n in range(count)]


def test_work_without_parts_tells_of_no_progress() -> None:
    """'0 of 0' is said while another run works (model.progress.WAITING), and is nothing else."""
    seen: list[tuple[int, int]] = []
    assert list(run_jobs(write_one, [], lambda: pool(1), lambda *at: seen.append(at))) == []
    assert seen == []


def done(folder: Path) -> set[str]:
    return {path.name.split("-")[0] for path in folder.glob("job*")}


def test_every_job_is_answered_once_on_any_executor(tmp_path: Path) -> None:
    seen: list[tuple[int, int]] = []
    with ThreadPoolExecutor(2) as threads:
        got = dict(
            run_jobs(
                write_one,
                jobs(tmp_path, 7),
                lambda: nullcontext(Workers(threads)),
                lambda a, b: seen.append((a, b)),
            )
        )
    assert {job.name: result for job, result in got.items()} == {
        f"job{n:02d}": f"JOB{n:02d}" for n in range(7)
    }
    assert seen == [(n, 7) for n in range(8)]
    assert done(tmp_path) == {f"job{n:02d}" for n in range(7)}


def test_a_process_that_is_ended_loses_nothing(tmp_path: Path) -> None:
    got = [(job.name, r) for job, r in run_jobs(end_once, jobs(tmp_path, 9, "job04"), lambda: pool(2))]
    assert sorted(got) == [(f"job{n:02d}", f"JOB{n:02d}") for n in range(9)]
    assert done(tmp_path) == {f"job{n:02d}" for n in range(9)}


def test_a_job_that_always_ends_its_process_is_said_and_the_others_are_done(tmp_path: Path) -> None:
    got = {job.name: r for job, r in run_jobs(end_always, jobs(tmp_path, 4, "job03"), lambda: pool(1))}
    assert got.pop("job03") == Lost(TRIES)
    assert got == {f"job{n:02d}": f"JOB{n:02d}" for n in range(3)}


def test_what_a_job_raises_is_raised_and_two_of_one_name_are_a_mistake(tmp_path: Path) -> None:
    with ThreadPoolExecutor(1) as threads:
        with pytest.raises(InputError, match="job00 in"):
            list(run_jobs(refuse, jobs(tmp_path, 1), lambda: nullcontext(Workers(threads))))
        with pytest.raises(ValueError, match="job00"):
            list(run_jobs(write_one, jobs(tmp_path, 1) * 2, lambda: nullcontext(Workers(threads))))


@pytest.mark.parametrize(
    ("count", "processors", "memory", "each", "wanted"),
    [
        (10, 8, 32e9, 1e9, 8),
        (3, 8, 32e9, 1e9, 3),
        (10, 8, 4e9, 1e9, 3),
        (10, 8, 1e9, 4e9, 1),
        (0, 8, 32e9, 1e9, 1),
    ],
)
def test_no_more_processes_than_jobs_processors_and_memory_bear(
    count: int, processors: int, memory: float, each: float, wanted: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plateside.jobs.pool.machine_bytes", lambda: int(memory))
    monkeypatch.setattr("os.cpu_count", lambda: processors)
    assert processes_for(count, int(each)) == wanted
