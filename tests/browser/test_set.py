"""The set page in use: frames land, presses are rows, a killed server comes back, others' presses are told."""

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import at_rest, told
from tests.browser.serving import Served, frame_pixels, lasting_port, serve, until, write_frame
from tests.browser.set_page import TABLET, judge, kinds, last, open_set, put_frame, shown, wait_word

pytestmark = pytest.mark.browser


JUDGED = ("frame belongs", "verdict", "burst")
"""Rows that the watcher writes when it sees fit."""


def presses(shoot: Path, start: int) -> list[str]:
    """Kinds of the rows that somebody's presses wrote."""
    return [kind for kind in kinds(shoot, start) if kind not in JUDGED]


def test_a_file_in_the_folder_becomes_a_word_and_presses_become_rows(
    shoot: Path, new_page: Callable[..., Page]
) -> None:
    server = serve(shoot)
    try:
        page = new_page(viewport=TABLET, quiet=True)
        open_set(page, server.url, measured=True)
        start = last(shoot)
        before = shown(page)["picture"]
        # far brighter than any light set for this dish: nothing but 'darker' can be said
        write_frame(shoot / "frames" / "plate-101.jpg", frame_pixels(3.0))
        page.wait_for_function(
            """(before) => document.querySelector('#picture').dataset.frame !== before
            && ['Adjust', 'Again'].includes(document.querySelector('#word').textContent)""",
            arg=before,
        )
        expect(page.locator("#act")).to_contain_text("darker")
        assert kinds(shoot, start)[:1] == ["frame landed"]
        # a word may be told before all is measured: the row comes with the last
        until(lambda: "verdict" in kinds(shoot, start))
        # what is gone is hatched where it is gone
        page.wait_for_selector("#drawn .mask.clipped", state="attached")
        page.click("#about")
        page.wait_for_selector("#told li")
        page.click("#close")

        frame = Journal.open(shoot).rows(start)[0].data["frame"]
        start = last(shoot)
        page.click("[data-press=keep]")
        wait_word(page, "Kept")
        until(
            lambda: (
                [(r.kind, r.data["frame"]) for r in Journal.open(shoot).rows(start) if r.kind not in JUDGED]
                == [("kept", frame)]
            )
        )
        at_rest(page)
        page.click("[data-press=undo]")
        page.wait_for_function(
            "() => ['Adjust', 'Again'].includes(document.querySelector('#word').textContent)"
        )
        at_rest(page)
        page.click("[data-press=next]")
        page.wait_for_function("() => document.querySelector('#shot').textContent.startsWith('one bowl')")
        until(lambda: presses(shoot, start)[:3] == ["kept", "undo", "shot current"])
        at_rest(page)
        start = last(shoot)
        page.click("#about")
        page.get_by_role("button", name="Keep as layer").click()
        until(lambda: presses(shoot, start) == ["layer"])
        page.click("#close")

        # it is started again after a few seconds: what the page said in between is written down as it is said
        page.evaluate(
            """() => { window.said = []; const text = (name) => document.querySelector(name).textContent;
            new MutationObserver(() => window.said.push([text('#word'), text('#act')]))
              .observe(document.body, { subtree: true, childList: true, characterData: true }); }"""
        )
        os.kill(_watcher_of(server), signal.SIGKILL)
        page.wait_for_function("() => window.said.some(([word, act]) => word === 'Not judging' && act)")
    finally:
        server.stop()


def test_a_killed_server_comes_back_with_the_same_screen(shoot: Path, new_page: Callable[..., Page]) -> None:
    server = serve(shoot, "--no-watch", port=lasting_port())
    page = new_page(viewport=TABLET, quiet=True)
    try:
        open_set(page, server.url)
        frame = put_frame(shoot, "killed.jpg")
        judge(shoot, frame, "good")
        wait_word(page, "Good", frame)
        before = shown(page)
        server.kill()
        wait_word(page, "Not connected")
        assert page.inner_text("#act").startswith("since ")
        # what is decided meanwhile, in a terminal, is not lost
        Journal.open(shoot).append("kept", frame=frame)
        server = serve(shoot, "--no-watch", port=server.port)
        wait_word(page, "Kept")
        assert shown(page)["picture"] == before["picture"]
        at_rest(page)
        page.click("[data-press=undo]")
        wait_word(page, "Good")
    finally:
        server.stop()


def test_somebody_elses_press_is_told_and_not_overwritten(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    frame = put_frame(served.root, "both.jpg")
    judge(served.root, frame, "good")
    wait_word(page, "Good", frame)

    def first(route: Route) -> None:
        Journal.open(served.root).append("again", frame=frame)  # the other tablet was a moment faster
        route.continue_()

    page.route("**/press", first)
    start = last(served.root)
    page.click("[data-press=keep]")
    told(page, "another screen")
    wait_word(page, "Again")
    assert kinds(served.root, start) == ["again"]


def _watcher_of(server: Served) -> int:
    """Process number of the server's child that judges."""
    own = Path(f"/proc/{server.process.pid}/task/{server.process.pid}/children").read_text().split()
    return next(int(pid) for pid in own if b"\0watch\0" in Path(f"/proc/{pid}/cmdline").read_bytes())
