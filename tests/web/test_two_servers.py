"""Two servers on one shoot, as when Plateside is started a second time by mistake: one judges, both are pressed."""

from collections import Counter
from pathlib import Path

from plateside.files.journal.journal import Journal
from plateside.files.journal.rows import Row
from tests.browser.serving import Served, frame_pixels, serve, until, write_frame
from tests.web.requests import change


def _rows(root: Path, kind: str) -> list[Row]:
    return [row for row in Journal.open(root).rows() if row.kind == kind]


def _press(served: Served, text: str) -> int:
    data = {"shot": "three-bowls", "field": "title", "text": text}
    return change(served, "/press", {"kind": "words", "data": data, "version": 10**9}).status


def test_each_frame_is_judged_once_and_each_press_kept_and_the_other_takes_over(shoot: Path) -> None:
    before = len(_rows(shoot, "verdict"))
    first, second = serve(shoot), serve(shoot)
    try:
        write_frame(shoot / "frames" / "new-1.jpg", frame_pixels(0.2, 12), "2027:07:15 12:01:00")
        until(lambda: len(_rows(shoot, "verdict")) == before + 1)
        texts = [f"title {n}" for n in range(6)]
        assert [_press((first, second)[n % 2], text) for n, text in enumerate(texts)] == [200] * len(texts)
        assert [row.data["text"] for row in _rows(shoot, "words")][-6:] == texts
        first.kill()
        write_frame(shoot / "frames" / "new-2.jpg", frame_pixels(0.3, 16), "2027:07:15 12:02:00")
        until(lambda: len(_rows(shoot, "verdict")) == before + 2)
    finally:
        for one in (first, second):
            one.stop()
    for kind in ("frame landed", "verdict"):
        assert set(Counter(row.data["frame"] for row in _rows(shoot, kind)).values()) == {1}, kind
    numbers = [row.number for row in Journal.open(shoot).rows()]
    assert numbers == sorted(set(numbers))
