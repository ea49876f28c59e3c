"""The pages' figures: memory, many pages at once, a long day's journal, and how soon a verdict is on the page.

Aims (issue of the pages): server under 150 MB idle; 50 pages live; 20,000 rows replayed in under 1 s; frame's
verdict on the page within 0.2 s of the verdict itself; 200 thumbnails visible in 1.5 s at 4 times throttled CPU.
"""

import importlib
import pkgutil
import subprocess
import tempfile
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import bench
from plateside.files.journal.journal import Journal
from plateside.files.journal.state import replay
from plateside.tasks.standing import standing
from tests.browser.serving import Served, serve
from tests.shoots.judged import make_judged_shoot
from tests.web.requests import change, get
from tests.web.streams import Stream

ROWS = 20_000
PAGES = 50


def resident_mb(pid: int) -> float:
    """Resident memory of a process [MB]."""
    told = subprocess.run(["ps", "-o", "rss=", "-p", str(pid)], capture_output=True, text=True, check=True)
    return int(told.stdout) / 1024


def memory(served: Served) -> None:
    """The server after every page was asked for once, and no work is under way."""
    for name in (
        "start",
        "studio",
        "light",
        "plan",
        "set",
        "choose",
        "finish",
        "deliver",
        "tablet",
        "standing",
    ):
        get(served, f"/{name}")
    time.sleep(2)
    print(
        f"server's resident memory, idle after every page: {resident_mb(served.process.pid):.0f} MB (aim 150)"
    )


def many_pages(served: Served) -> None:
    """One press, heard by 50 pages."""
    now = int(get(served, "/standing").json["row"])
    streams = [Stream(served, after=now) for _ in range(PAGES)]
    for stream in streams:
        stream.wait(lambda s=stream: bool(s.events))  # type: ignore[misc]
    begun = time.monotonic()
    change(served, "/press", {"kind": "shot current", "data": {"shot": "one-bowl"}, "version": now})
    for stream in streams:
        stream.wait(lambda s=stream: s.rows() == [now + 1])  # type: ignore[misc]
    heard = sorted(s.times[[k for k, _, _ in s.events].index("row")] - begun for s in streams)
    print(
        f"{PAGES} pages live: press to the last page's row {heard[-1] * 1000:.0f} ms, median {heard[25] * 1000:.0f} ms"
    )
    print(f"server's memory with them: {resident_mb(served.process.pid):.0f} MB")
    for stream in streams:
        stream.close()


def long_day(root: Path) -> None:
    """A journal of 20,000 rows: read and added up, made into a page's state, sent to a page."""
    journal = Journal.open(root)
    frames = [f"{k:032x}" for k in range(4000)]
    kinds = ("frame landed", "verdict", "kept", "again", "crop")
    data: list[dict[str, object]] = [
        {}, {"word": "good", "act": "Keep it.", "confidence": 0.9}, {}, {},
        {"shot": "one-bowl", "channel": "page-wide", "box": [0, 0, 1, 1]},
    ]  # fmt: skip
    journal.append_many(
        (kinds[k % 5], {"frame": frames[k // 5], "name": f"a{k // 5}.jpg", **data[k % 5]})
        for k in range(ROWS - len(journal.rows()))
    )
    begun = time.perf_counter()
    rows = Journal.open(root).rows()
    replay(rows)
    print(f"{len(rows)} rows read and replayed: {time.perf_counter() - begun:.2f} s (aim 1 s)")
    begun = time.perf_counter()
    standing(root)
    print(f"the whole standing of {len(frames)} frames from them: {time.perf_counter() - begun:.2f} s")
    served = serve(root, "--no-watch")
    try:
        begun = time.monotonic()
        stream = Stream(served, after=0)
        stream.wait(lambda: len(stream.events) >= ROWS, 30)
        print(f"sent to a page that has been away all day: {time.monotonic() - begun:.2f} s")
        stream.close()
    finally:
        served.stop()


def landing(root: Path) -> None:
    """Frames landing while a page listens: from the verdict's row to the page."""
    from tests.browser.serving import frame_pixels, write_frame

    served = serve(root)
    try:
        now = int(get(served, "/standing").json["row"])
        stream = Stream(served, after=now)
        stream.wait(lambda: bool(stream.events))
        time.sleep(6)
        late = []
        for k in range(8):
            write_frame(
                root / "frames" / f"late-{k}.jpg", frame_pixels(0.01 * k, k), f"2027:07:15 12:0{k}:00"
            )
            stream.wait(lambda n=k: _verdicts(stream) > n, 30)  # type: ignore[misc]
            at = [i for i, e in enumerate(stream.events) if e[0] == "row" and e[2]["kind"] == "verdict"][-1]
            heard = datetime.now(UTC) - timedelta(seconds=time.monotonic() - stream.times[at])
            late.append((heard - datetime.fromisoformat(stream.events[at][2]["at"])).total_seconds())
        ms = [1000 * s for s in sorted(late)]
        print(f"verdict's row to the page's stream: {ms[4]:.0f} ms median, {ms[-1]:.0f} ms longest (aim 200)")
        stream.close()
    finally:
        served.stop()


def _verdicts(stream: Stream) -> int:
    return sum(1 for e in list(stream.events) if e[0] == "row" and e[2]["kind"] == "verdict")


def main() -> None:
    """Print the table; the parts of single pages (bench/pages_*.py) follow."""
    with tempfile.TemporaryDirectory() as folder:
        root = make_judged_shoot(Path(folder) / "small")
        served = serve(root, "--no-watch")
        try:
            memory(served)
            many_pages(served)
        finally:
            served.stop()
        landing(root)
        long_day(root)
    for module in sorted(m.name for m in pkgutil.iter_modules(bench.__path__) if m.name.startswith("pages_")):
        importlib.import_module(f"bench.{module}").main()
