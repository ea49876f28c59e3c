"""What is shared out: streams, waiting work and long work, the desk first and no tablet at another's cost."""

import asyncio
import contextlib
import json
import re
from collections.abc import AsyncIterator
from contextvars import Context, copy_context
from pathlib import Path

import pytest

from plateside.files.settings.one_writer import one_writer
from plateside.model.errors import CouldNotError
from plateside.tasks.serve.keeping import Keeping, cannot_keep
from plateside.web import live
from plateside.web.asker import DESK, asker
from plateside.web.server import make_tool
from plateside.web.workers import jobs, worker
from plateside.web.workers.worker import Worker, WorkError
from tests.browser.serving import SHOTS, copy_shoot
from tests.web import loops
from tests.web.paired import Paired


def _as(who: str) -> Context:
    context = copy_context()
    context.run(asker.set, who)
    return context


async def _opened(one: live.Live, who: str) -> AsyncIterator[bytes]:
    """A stream that has begun."""
    stream = one.stream(None)
    await asyncio.create_task(anext(stream), context=_as(who))
    return stream


async def _goes_on(stream: AsyncIterator[bytes]) -> bool:
    async for told in stream:
        if b"event: news" in told:
            return True
    return False


def test_a_tablets_many_streams_end_its_own_oldest_and_never_the_desks() -> None:
    async def run() -> None:
        one = live.Live()
        desk = await _opened(one, DESK)
        other = await _opened(one, "device 2")
        many = [await _opened(one, "device 1") for _ in range(140)]
        assert one.clients == 2 + live.MOST_OF_TABLET
        one.say("news", {})
        assert await _goes_on(desk)
        assert await _goes_on(other)
        assert await _goes_on(many[-1])
        assert not await _goes_on(many[0])
        # many tablets have together no more than their share; the one with most gives way
        for n in range(3, 60):
            await _opened(one, f"device {n}")
        assert one.clients <= 1 + live.MOST_OF_TABLETS
        one.say("news", {})
        assert await _goes_on(desk)

    loops.run(run())


def test_what_was_said_before_every_stream_ends_is_heard_before_it_ends() -> None:
    """As when another shoot is opened: the page goes there because it heard so, not because its stream broke."""

    async def run() -> None:
        one = live.Live()
        waits, reads = await _opened(one, DESK), await _opened(one, "device 1")
        heard = asyncio.create_task(_goes_on(waits))
        # it waits for what comes, as a page's stream does nearly always
        for _ in range(3):
            await asyncio.sleep(0)
        one.say("news", {})
        one.follow(None)
        assert await heard
        assert await _goes_on(reads)
        assert one.clients == 0

    loops.run(run())


def test_long_work_of_a_tablet_is_refused_when_it_has_enough_and_the_desks_is_not() -> None:
    async def run() -> None:
        one, all_jobs = Worker(), jobs.Jobs(lambda _kind, _data: None)
        try:

            async def ask(who: str, count: int) -> list[str]:
                kinds = []
                for n in range(count):
                    try:
                        all_jobs.begin(one, "no.such", {"who": who, "n": n})
                        kinds.append("begun")
                    except WorkError as error:
                        kinds.append(error.kind)
                return kinds

            got = await asyncio.create_task(ask("device 1", 600), context=_as("device 1"))
            assert got == ["begun"] * jobs.MOST_OF_TABLET + ["busy"] * (600 - jobs.MOST_OF_TABLET)
            # many tablets have together no more than their share
            for n in range(2, 10):
                await asyncio.create_task(ask(f"device {n}", 6), context=_as(f"device {n}"))
            assert sum(j.who != DESK for j in all_jobs.all()) == jobs.MOST_OF_TABLETS
            assert await asyncio.create_task(ask(DESK, 20), context=_as(DESK)) == ["begun"] * 20
            tasks = [job.task for job in all_jobs.all() if job.task]
            await asyncio.gather(*tasks)
            # what is over counts no more
            assert await asyncio.create_task(ask("device 1", 1), context=_as("device 1")) == ["begun"]
            await asyncio.gather(*[job.task for job in all_jobs.all() if job.task])
        finally:
            await one.close()

    loops.run(run())


def test_of_what_waits_the_desks_comes_first_and_the_tablets_take_turns(_made_shoot: Path) -> None:
    async def run() -> list[str]:
        one = Worker()
        done: list[str] = []

        async def ask(who: str, n: int) -> None:
            with contextlib.suppress(WorkError):
                await one.ask("frames.layers", {"root": str(_made_shoot), "shot": SHOTS[n % 2]})
            done.append(who)

        try:
            tasks = [asyncio.create_task(ask("device 1", n), context=_as("device 1")) for n in range(8)]
            tasks += [asyncio.create_task(ask("device 2", n), context=_as("device 2")) for n in range(2)]
            tasks += [asyncio.create_task(ask(DESK, n), context=_as(DESK)) for n in range(2)]
            await asyncio.gather(*tasks)
        finally:
            await one.close()
        return done

    done = loops.run(run())
    # one was under way when the others came
    assert done[1:3] == [DESK, DESK]
    assert sorted(done[3:7]) == ["device 1"] * 2 + ["device 2"] * 2


@pytest.mark.parametrize("is_there", [True, False])
def test_one_tablet_has_not_more_than_its_share_waiting_for_a_child(
    _made_shoot: Path, is_there: bool
) -> None:
    async def run() -> list[str]:
        one = Worker()
        kinds: list[str] = []

        async def ask() -> None:
            try:
                await one.ask("frames.layers", {"root": str(_made_shoot), "shot": SHOTS[0]})
            except WorkError as error:
                kinds.append(error.kind)

        try:
            # also while the child starts
            if is_there:
                await one.ask("frames.layers", {"root": str(_made_shoot), "shot": SHOTS[0]})
            await asyncio.gather(
                *[
                    asyncio.create_task(ask(), context=_as("device 1"))
                    for _ in range(worker.MOST_OF_TABLET + 30)
                ]
            )
        finally:
            await one.close()
        return kinds

    kinds = loops.run(run())
    assert kinds
    assert set(kinds) == {"busy"}


@pytest.fixture
def kept_shut(_made_shoot: Path, tmp_path: Path) -> Path:
    """A shoot in whose folder the tool can keep nothing: where its own folder would be, there is a file."""
    import shutil

    root = copy_shoot(_made_shoot, tmp_path / "shoot")
    shutil.rmtree(root / ".plateside")
    (root / ".plateside").write_text("")
    return root


def test_where_nothing_can_be_kept_the_server_starts_and_says_so(kept_shut: Path, _made_shoot: Path) -> None:
    tool = make_tool(kept_shut, kept_shut, watch=False)
    assert len(tool.keys.change_token) > 30
    tool.devices.set_open(True)
    tool.devices.pair(tool.devices.invite().secret, "T")
    assert str(kept_shut) in cannot_keep(kept_shut)
    with pytest.raises(CouldNotError), one_writer(kept_shut / "shoot.toml"):
        pass

    async def run() -> None:
        await tool.open(kept_shut)
        await tool.stop()

    loops.run(run())
    assert cannot_keep(_made_shoot) == ""
    assert not (_made_shoot / ".plateside" / "can-be-written").exists()


def test_a_page_that_stands_open_hears_when_nothing_can_be_kept_and_when_it_can_again(
    kept_shut: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("plateside.web.tool.LOOK_AT_DISK_S", 0.01)
    monkeypatch.setattr("plateside.web.tool.must_compile", lambda: False)
    monkeypatch.setattr(Keeping, "BAD_S", 0.0)
    monkeypatch.setattr(Keeping, "GOOD_S", 0.0)

    async def heard() -> list[str]:
        tool = make_tool(kept_shut, kept_shut, watch=False)
        await tool.start()
        told: list[str] = []
        async for event in tool.live.stream(None):
            if event.startswith(b"event: keeping"):
                told.append(json.loads(event.split(b"data: ")[1])["words"])
                if len(told) == 2:
                    break
                (kept_shut / ".plateside").unlink()
        await tool.stop()
        return told

    words, over = loops.run(heard())
    assert words
    assert over == ""


def test_every_page_says_when_nothing_can_be_kept_and_no_longer_once_it_can(
    kept_shut: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    now_s = [0.0]
    monkeypatch.setattr(Keeping.__init__, "__defaults__", (lambda: now_s[0],))
    tablet = Paired(kept_shut)

    def said() -> dict[str, bytes]:
        pages = ("/studio", "/light", "/plan", "/set", "/choose", "/finish", "/deliver")
        drawn = {path: tablet.ask("GET", path, accept="text/html")[1] for path in pages}
        found = {path: re.findall(b'<div id="not-kept".*?</div>', body, re.S) for path, body in drawn.items()}
        return {path: b"".join(strips) for path, strips in found.items()}

    for path, strip in said().items():
        assert b'role="status"' in strip, path
        # where the folder stands is nothing for a tablet
        assert str(kept_shut.parent).encode() not in strip
    (kept_shut / ".plateside").unlink()
    now_s[0] += 60
    assert {path: strip for path, strip in said().items() if strip} == {}
