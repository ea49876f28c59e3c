"""The event stream misses no row and doubles none: reconnecting, killed server, many pages, other writers."""

import asyncio
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from plateside.files.journal.journal import Journal
from plateside.model.errors import CouldNotError
from plateside.tasks.set.journal_rows import JournalRows
from plateside.web.live import Live
from tests.browser.serving import PATIENT_MS, Served, come_in, copy_shoot, environment, serve
from tests.web import loops
from tests.web.requests import change, get
from tests.web.streams import Stream


def last_row(served: Served) -> int:
    return int(get(served, "/standing").json["row"])


def test_a_page_gets_every_row_after_the_one_it_was_drawn_at(served: Served) -> None:
    now = last_row(served)
    stream = Stream(served, after=now - 3)
    stream.wait(lambda: len(stream.rows()) == 3)
    change(served, "/press", {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": now})
    stream.wait(lambda: len(stream.rows()) == 4)
    assert stream.rows() == [now - 2, now - 1, now, now + 1]
    stream.close()


def test_last_event_id_wins_as_the_browser_sends_it_on_coming_back(served: Served) -> None:
    now = last_row(served)
    stream = Stream(served, after=1, last_event_id=now - 1)
    stream.wait(lambda: any(kind == "beat" for kind, _, _ in stream.events))
    assert stream.rows() == [now]
    stream.close()


def test_rows_written_by_a_command_arrive_too(served: Served) -> None:
    now = last_row(served)
    stream = Stream(served, after=now)
    Journal.open(served.root).append("shot current", shot="one-bowl")
    stream.wait(lambda: stream.rows() == [now + 1])
    stream.close()


def test_a_row_written_before_the_first_look_is_not_passed_over(shoot: Path) -> None:
    journal = Journal.open(shoot)
    now = journal.last_number()

    async def heard() -> list[str]:
        live = Live()
        live.follow(shoot)
        events = live.stream(now)
        got = [(await anext(events)).decode(), (await anext(events)).decode()]
        journal.append("shot current", shot="one-bowl")
        await live.start()
        got.append((await anext(events)).decode())
        await live.stop()
        return got

    assert loops.run(heard())[2].startswith(f"id: {now + 1}\n")


@pytest.mark.parametrize("reading", ["last", "after"])
@pytest.mark.parametrize("page_first", [True, False])
def test_rows_of_a_shoot_opened_while_another_ones_are_read_are_neither_passed_over_nor_mixed(
    shoot: Path, monkeypatch: pytest.MonkeyPatch, reading: str, page_first: bool
) -> None:
    old, now = copy_shoot(shoot, shoot.with_name("another")), Journal.open(shoot).last_number()
    begun, go_on, plain = threading.Event(), threading.Event(), getattr(JournalRows, reading)

    def held(rows: JournalRows, *given: int) -> object:
        got = plain(rows, *given)
        if not begun.is_set():
            begun.set()
            assert go_on.wait(PATIENT_MS / 1000)
        return got

    async def heard() -> str:
        live = Live()
        live.follow(old)
        if reading == "after":
            await live.start()
        Journal.open(old).append_many([("shot current", {"shot": "three-bowls"})] * 20)
        monkeypatch.setattr(JournalRows, reading, held)
        looking = asyncio.create_task(live.start() if reading == "last" else live._look())
        assert await asyncio.to_thread(begun.wait, PATIENT_MS / 1000)
        live.follow(shoot)
        if not page_first:
            go_on.set()
            await looking
        events = live.stream(now)
        assert [(await anext(events)).split(b"\n")[0] for _ in range(2)] == [b"retry: 1000", b"event: beat"]
        go_on.set()
        await looking
        Journal.open(shoot).append("shot current", shot="one-bowl")
        got = await asyncio.wait_for(anext(events), PATIENT_MS / 1000)
        await live.stop()
        return got.decode()

    row = loops.run(heard())
    assert row.startswith(f"id: {now + 1}\n")
    assert "one-bowl" in row


def test_rows_that_could_not_be_read_for_a_moment_are_told_without_another_row(
    shoot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal, now = Journal.open(shoot), Journal.open(shoot).last_number()
    plain = JournalRows.after
    refused: list[int] = []

    def after(rows: JournalRows, number: int) -> list[tuple[int, bytes]]:
        if number == now and len(refused) < 2 and journal.last_number() > now:
            refused.append(number)
            raise CouldNotError("held by another program")
        return plain(rows, number)

    async def heard() -> str:
        live = Live()
        live.follow(shoot)
        await live.start()
        events = live.stream(now)
        got = [await anext(events), await anext(events)]
        monkeypatch.setattr(JournalRows, "after", after)
        journal.append("shot current", shot="one-bowl")
        got.append(await asyncio.wait_for(anext(events), PATIENT_MS / 1000))
        await live.stop()
        return got[2].decode()

    assert loops.run(heard()).startswith(f"id: {now + 1}\n")
    assert len(refused) == 2


def test_rows_written_while_old_ones_are_read_come_once(served: Served) -> None:
    now = last_row(served)
    journal = Journal.open(served.root)
    streams = []
    for k in range(12):
        journal.append("shot current", shot=("one-bowl", "three-bowls")[k % 2])
        streams.append(Stream(served, after=0))
    for stream in streams:
        stream.wait(lambda s=stream: len(s.rows()) >= now + 12)  # type: ignore[misc]
        assert stream.rows() == list(range(1, now + 13))
        stream.close()


def test_a_killed_server_comes_back_with_the_same_rows(served: Served) -> None:
    now = last_row(served)
    stream = Stream(served, after=now)
    stream.wait(lambda: bool(stream.events))
    served.kill()
    Journal.open(served.root).append("shot current", shot="one-bowl")
    again = serve(served.root, "--no-watch", port=served.port)
    try:
        back = Stream(again, last_event_id=now)
        back.wait(lambda: back.rows() == [now + 1])
        back.close()
    finally:
        stream.close()
        again.stop()


def test_a_shoot_opened_once_more_sends_no_page_away(
    opened_on: Callable[[Path], Served], shoot: Path
) -> None:
    served = opened_on(shoot)
    now = last_row(served)
    stream = Stream(served, after=now)
    stream.wait(lambda: bool(stream.events))
    opened_on(shoot)
    change(served, "/press", {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": now})
    stream.wait(lambda: bool(stream.rows()))
    assert "opened" not in {kind for kind, _, _ in stream.events}
    stream.close()


def test_a_page_that_slept_while_another_shoot_was_opened_is_sent_to_it(
    opened_on: Callable[[Path], Served], shoot: Path
) -> None:
    served = opened_on(shoot)
    now = last_row(served)
    marks = re.findall(r'name="plateside-shoot" content="(\w+)"', get(served, "/set").body.decode())
    awake = Stream(served, after=now, of=marks[0])
    awake.wait(lambda: bool(awake.events))
    assert awake.events[0][0] == "beat"
    awake.close()
    opened_on(copy_shoot(shoot, shoot.with_name("another")))
    # it was drawn of the first, and asks again by the number of that one's last row
    back = Stream(served, after=now, of=marks[0])
    back.wait(lambda: bool(back.events))
    assert [kind for kind, _, _ in back.events] == ["opened"]
    back.close()


def test_fifty_pages_all_hear_a_press(served: Served) -> None:
    now = last_row(served)
    streams = [Stream(served, after=now) for _ in range(50)]
    for stream in streams:
        stream.wait(lambda s=stream: bool(s.events))  # type: ignore[misc]
    change(served, "/press", {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": now})
    for stream in streams:
        stream.wait(lambda s=stream: s.rows() == [now + 1])  # type: ignore[misc]
        stream.close()


def test_two_people_pressing_the_same_thing_are_told(served: Served) -> None:
    standing = get(served, "/standing").json
    frame, now = standing["frames"][0]["id"], standing["row"]
    kept = {"kind": "kept", "data": {"frame": frame}, "version": now}
    assert change(served, "/press", kept).json["row"] == now + 1
    other = change(served, "/press", {"kind": "again", "data": {"frame": frame}, "version": now})
    assert other.status == 409
    assert "another screen" in other.json["error"]
    assert other.json["row"]["kind"] == "kept"
    assert get(served, "/standing").json["frames"][0]["pressed"] == "kept", "not overwritten"
    # who has seen the other press may decide otherwise
    assert (
        change(served, "/press", {"kind": "again", "data": {"frame": frame}, "version": now + 1}).status
        == 200
    )
    assert change(served, "/press/undo", {"version": now}).status == 409, (
        "an undo must know what it takes back"
    )
    assert change(served, "/press/undo", {"version": now + 2}).status == 200
    assert get(served, "/standing").json["frames"][0]["pressed"] == "kept"


def test_presses_of_nonsense_write_nothing(served: Served) -> None:
    now = last_row(served)
    frame = get(served, "/standing").json["frames"][0]["id"]
    for kind, data in [
        ("undo", {"row": 1}), ("verdict", {"frame": frame, "word": "good"}), ("kept", {"frame": "../../etc"}),
        ("select", {"shot": "no-such", "frame": frame}),
        ("crop", {"shot": "one-bowl", "channel": "x", "box": [0, 0, 1, 1]}),
        ("crop", {"shot": "one-bowl", "channel": "page-wide", "box": [0.5, 0, 0.6, 1]}), ("kept", {}),
        ("words", {"shot": "one-bowl", "field": "creator", "text": "x"}),
        ("crop", {"shot": "one-bowl", "channel": "page-wide", "box": "all"}),
        ("camera clock", {"camera": "the camera", "offset_s": "soon"}), ("kept", {"frame": ["a"]}),
    ]:  # fmt: skip
        assert change(served, "/press", {"kind": kind, "data": data, "version": now}).status == 422, (
            kind,
            data,
        )
    for seen in (None, -1, "9", True, 1.5):
        assert (
            change(served, "/press", {"kind": "kept", "data": {"frame": frame}, "version": seen}).status
            == 422
        )
    for whole in ("[]", "x", 3, None):
        assert change(served, "/press", whole).status == 422
    assert last_row(served) == now


def test_ctrl_c_ends_it_without_a_complaint_while_pages_listen(shoot: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "plateside", "serve", str(shoot), "--no-browser", "--port", "0"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment(),
    )  # fmt: skip
    assert process.stdout is not None
    assert process.stderr is not None
    with process.stdout, process.stderr:
        served = come_in(shoot, process, process.stdout.readline())
        streams = [Stream(served, after=0) for _ in range(3)]
        for stream in streams:
            stream.wait(lambda s=stream: bool(s.events))  # type: ignore[misc]
        process.send_signal(signal.SIGINT)
        assert process.wait(PATIENT_MS / 1000) == 0
        for stream in streams:
            stream.close()
        assert process.stderr.read() == ""
