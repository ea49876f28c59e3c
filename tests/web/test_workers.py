"""The child process that computes: results, progress, a stop, faults told, and replaced when it dies."""

import asyncio
import os
import shutil
import signal
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from starlette.requests import Request

from plateside.tasks.light.choice import choice_of
from plateside.web.answers import while_waited_for
from plateside.web.workers import jobs
from plateside.web.workers.names import ROOMS, find_work
from plateside.web.workers.worker import Worker, WorkError
from tests.browser.serving import PATIENT_MS, copy_shoot
from tests.web import loops


def test_only_listed_work_can_be_asked_for() -> None:
    for name in (
        "os.system",
        "frames",
        "frames.Path",
        "frames.make_seen",
        "__init__.x",
        ".seen",
        "frames.",
        "",
    ):
        with pytest.raises(KeyError):
            find_work(name)
    assert set(ROOMS) >= {"light", "frames"}


@pytest.fixture
def frames(_made_shoot: Path, tmp_path: Path) -> dict[str, Any]:
    from plateside.files.journal.state import read_state

    # a shoot of its own, of whose frames no picture is made yet
    root = copy_shoot(_made_shoot, tmp_path / "shoot")
    shutil.rmtree(root / ".plateside" / "thumbnails")
    return {"root": str(root), "frames": read_state(root).landed, "size": "thumb"}


def test_work_is_done_with_progress_and_errors_are_told(frames: dict[str, Any]) -> None:
    async def run() -> tuple[Any, list[tuple[int, int]], list[str]]:
        one = Worker()
        told: list[tuple[int, int]] = []
        kinds = []
        try:
            got = await one.ask("frames.thumbnails", frames, lambda d, t: told.append((d, t)))
            for args in ({**frames, "root": "/nowhere"}, {**frames, "size": "poster"}, {}):
                with pytest.raises(WorkError) as error:
                    await one.ask("frames.thumbnails", args)
                kinds.append(error.value.kind)
            assert await one.ask("frames.thumbnails", frames) == [], "it outlives faults"
        finally:
            await one.close()
        return got, told, kinds

    got, told, kinds = loops.run(run())
    assert got == []
    assert told == [(k, 6) for k in range(1, 7)]
    assert kinds == ["input", "input", "fault"]


def test_a_child_that_dies_is_told_and_replaced(frames: dict[str, Any]) -> None:
    async def run() -> None:
        one = Worker()
        try:
            await one.ask("frames.thumbnails", frames)
            first = one.pid
            assert first is not None
            many = {**frames, "frames": {f"{k:032x}": "none.jpg" for k in range(200_000)}}
            begun = asyncio.Event()
            asking = asyncio.create_task(one.ask("frames.thumbnails", many, lambda *_: begun.set()))
            await begun.wait()
            os.kill(first, signal.SIGKILL)
            with pytest.raises(WorkError, match="that computes has stopped"):
                await asking
            assert await one.ask("frames.thumbnails", frames) == []
            assert one.pid != first
        finally:
            await one.close()

    loops.run(run())


def test_a_job_is_stopped_at_its_next_word_and_the_same_work_runs_once(frames: dict[str, Any]) -> None:
    async def run() -> None:
        said: list[str] = []
        one, all_jobs = Worker(), jobs.Jobs(lambda kind, data: said.append(f"{kind} {data['state']}"))
        try:
            many = {**frames, "frames": {f"{k:032x}": "none.jpg" for k in range(200_000)}}
            job = all_jobs.begin(one, "frames.thumbnails", many)
            assert all_jobs.begin(one, "frames.thumbnails", many) is job
            while job.done < 5:
                await asyncio.sleep(0.02)
            all_jobs.stop(job.number)
            assert job.task is not None
            await job.task
            assert job.state == "stopped"
            assert job.done < 200_000
            done = all_jobs.begin(one, "frames.thumbnails", frames)
            assert done.task is not None
            await done.task
            assert (done.state, done.result) == ("done", [])
            assert said[0] == "work waiting"
            assert said[-1] == "work done"
        finally:
            await one.close()

    loops.run(run())


def test_an_idle_child_ends_and_gives_its_memory_back(frames: dict[str, Any]) -> None:
    async def run() -> None:
        one = Worker(idle_s=0.1)
        try:
            await one.ask("frames.thumbnails", frames)
            async with asyncio.timeout(180):
                while one.pid is not None:
                    await asyncio.sleep(0.02)
            assert await one.ask("frames.thumbnails", frames) == []
        finally:
            await one.close()

    loops.run(run())


def test_work_that_nobody_waits_for_any_more_is_stopped(_made_shoot: Path) -> None:
    async def run() -> tuple[str, Any, list[str]]:
        gone, one = asyncio.Event(), Worker()

        async def receive() -> dict[str, Any]:
            await gone.wait()
            return {"type": "http.disconnect"}

        request = Request({"type": "http", "method": "GET", "path": "/", "headers": []}, receive)
        week = {"root": str(_made_shoot), "choice": asdict(choice_of({"sky": "hazy"})), "day": "2027-07-15"}
        ended: list[str] = []

        async def asked() -> Any:
            try:
                return await one.ask(
                    "light.week", week, lambda done, _total: gone.set() if done == 1 else None
                )
            except asyncio.CancelledError:
                ended.append("stopped")
                raise

        try:
            with pytest.raises(WorkError) as error:
                await while_waited_for(request, asked())
            # the hand is free at once, and the rest of that week was not worked out
            return error.value.kind, await one.ask("light.week", {**week, "day": "2027-07-22"}), ended
        finally:
            await one.close()

    kind, other, ended = loops.run(run())
    assert (kind, ended) == ("stopped", ["stopped"])
    assert len(other["days"]) == 7


def test_what_is_asked_while_the_worker_is_closed_is_told_and_leaves_no_child() -> None:
    async def run() -> tuple[WorkError, int | None]:
        worker = Worker()
        asked = asyncio.create_task(worker.ask("light.compile", {}))
        while not worker._starting.locked():
            await asyncio.sleep(0)
        await worker.close()
        with pytest.raises(WorkError) as told:
            await asyncio.wait_for(asked, PATIENT_MS / 1000)
        return told.value, worker.pid

    error, pid = loops.run(run())
    assert error.kind == "ending"
    assert pid is None
