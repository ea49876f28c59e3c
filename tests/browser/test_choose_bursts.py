"""Choose: the best of a burst shown and changed, a frame judged again, marked frames put into a shot together."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.journal.state import read_state
from tests.browser.resting import saved
from tests.browser.serving import Served, until
from tests.browser.set_page import TABLET, judge, put_frame

pytestmark = pytest.mark.browser


def test_bursts_judging_again_and_marked_frames(
    served: Served, new_page: Callable[..., Page], axe: Callable[[Page], list[str]]
) -> None:
    root = served.root
    journal = Journal.open(root)
    frames = [put_frame(root, f"burst-{n}.jpg") for n in range(3)]
    for frame in frames:
        journal.append("frame belongs", frame=frame, shot="three-bowls", guess=False)
        judge(root, frame, "adjust")
    journal.append("burst", shot="three-bowls", frames=frames, best=frames[1], reason="sharpest")
    page = new_page(viewport=TABLET, quiet=True)
    page.goto(served.url + "choose")
    panel = page.locator("#chosen")

    def at(frame: str) -> None:
        page.locator(f'button.frame[data-frame="{frame}"]').click()

    at(frames[1])
    expect(panel.locator(".verdict")).to_contain_text("best of its burst")
    expect(page.locator("#best")).to_have_count(0)
    at(frames[2])
    page.locator("#best").click()
    expect(panel.locator(".verdict")).to_contain_text("best of its burst, by you")
    saved(page, lambda: read_state(root).best_by_her(frames) == frames[2])
    page.locator("#undo").click()
    expect(page.locator("#best")).to_have_count(1)
    page.locator("#judge-again").click()
    expect(page.locator("#judge-again")).to_have_text("Being judged")
    saved(page, lambda: read_state(root).to_judge() == [frames[2]])
    judge(root, frames[2], "good")
    expect(panel.locator(".verdict")).to_contain_text("good")
    # what is marked moves together, also one that was not looked at last
    page.locator("#tick").click()
    at(frames[0])
    page.locator("#tick").click()
    expect(panel.locator("label")).to_have_text("The 2 marked belong to")
    panel.locator("#belongs").select_option("one-bowl")
    until(lambda: [read_state(root).shot_of[f] for f in frames] == ["one-bowl", "three-bowls", "one-bowl"])
    assert axe(page) == []
