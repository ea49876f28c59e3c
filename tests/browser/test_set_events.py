"""What the set says beside the word: the shot or a guess of it, the light of this shot and day, the watcher."""

import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from plateside.files.journal.journal import Journal
from tests.browser.resting import told
from tests.browser.serving import Served, until
from tests.browser.set_page import NO_LIGHT, TABLET, judge, kinds, last, open_set, put_frame, wait_word

pytestmark = pytest.mark.browser
PHONE, SIDEWAYS = {"width": 390, "height": 844}, {"width": 844, "height": 390}


GAP = """async (words) => {
  const m = await own("js/set/sizes.js"), of = (s) => document.querySelector(s);
  of("#age").textContent = words;
  m.fit(of("#main"), of("#word"), of("#act"), of("#noted"));
  const range = document.createRange();
  const lines = (s) => { range.selectNodeContents(of(s)); return [...range.getClientRects()]; };
  const age = lines("#age")[0];
  const same = lines("#light").filter((l) => l.top < age.bottom - 1 && l.bottom > age.top + 1);
  return Math.min(999, ...same.map((l) => l.left - age.right)) / parseFloat(getComputedStyle(of("#age")).fontSize);
}"""
"""How far the light's words stand behind the age's on its line, in letters' heights."""


def with_light(
    page: Page, url: str, light: Callable[[str], dict[str, Any] | None], *, muted: bool = True
) -> None:
    """The set page with the light that `light` tells of a shot; None: it never comes."""

    def answer(route: Route) -> None:
        now = light(route.request.url.rsplit("/", 1)[1])
        if now is not None:
            route.fulfill(json=NO_LIGHT | now)

    if muted:
        page.add_init_script('localStorage.setItem("plateside.set.mute", "yes")')
    open_set(page, url, light=answer)


def soon(minutes: float) -> str:
    """A moment that many minutes from now."""
    return (datetime.now(UTC) + timedelta(minutes=minutes)).isoformat()


def test_the_old_shots_light_does_not_stand_for_the_next(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    Journal.open(served_once.root).append("shot current", shot="three-bowls")
    page = new_page(viewport=TABLET)

    def light(shot: str) -> dict[str, Any] | None:
        return {"shot": shot, "until": soon(40.5)} if shot == "three-bowls" else None

    with_light(page, served_once.url, light)
    expect(page.locator("#light")).to_contain_text("min light")
    page.click("[data-press=next]")
    expect(page.locator("#shot")).to_contain_text("one bowl")
    expect(page.locator("#light")).to_have_text("")
    Journal.open(served_once.root).append("shot current", shot="three-bowls")
    expect(page.locator("#light")).to_contain_text("min light")


def test_a_plan_for_another_day_is_said_with_the_light_of_today(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    day = {
        "planned_for": "Thursday 15 July 2027",
        "planned_notice": "Planned for 15 July.",
        "lines": ["The plan is for Thursday 15 July 2027."],
    }
    with_light(page, served_once.url, lambda shot: {"shot": shot, "predicted_until": soon(50.5), **day})
    told(page, "Planned for 15 July.")
    # a minute less where half a minute went by before it was looked at
    expect(page.locator("#light")).to_have_text(re.compile("^today: (50|49) min light$"))
    page.click("#about")
    expect(page.locator("#lights")).to_have_text("The plan is for Thursday 15 July 2027.")


def test_no_sound_yet_is_a_sign_beside_the_light_and_goes_with_the_first_press(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    falls = {"until": soon(40.5)}
    with_light(page, served_once.url, lambda shot: {"shot": shot, **falls}, muted=False)
    expect(page.locator("#light")).to_contain_text("min light")
    sign = page.get_by_role("img", name="No sound yet: touch anywhere")
    expect(sign).to_be_visible()
    words, drawn = page.locator("#light").bounding_box(), sign.bounding_box()
    assert words
    assert drawn
    assert drawn["y"] + drawn["height"] <= words["y"] + words["height"] + 1
    page.keyboard.press("Escape")
    expect(sign).to_be_hidden()


def test_a_guessed_shot_is_named_as_guessed_until_she_says(
    served: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    frame = put_frame(served.root, "guess.jpg")
    Journal.open(served.root).append("frame belongs", frame=frame, shot="three-bowls", guess=True)
    judge(served.root, frame, "good")
    wait_word(page, "Good", frame)
    expect(page.locator("#shot")).to_contain_text("three bowls?")
    page.click("#about")
    start = last(served.root)
    page.get_by_role("button", name="Yes, three bowls").click()
    until(lambda: kinds(served.root, start) == ["frame belongs"])
    assert Journal.open(served.root).rows(start)[0].data["guess"] is False
    expect(page.locator("#told")).to_contain_text("It is of another shot")
    page.click("#close")
    expect(page.locator("#shot")).to_contain_text("three bowls,")
    # and another shot may be the right one
    page.click("#about")
    page.get_by_text("It is of another shot").click()
    page.locator("#whose").get_by_role("button", name="one bowl", exact=True).click()
    until(
        lambda: [r.data["shot"] for r in Journal.open(served.root).rows(start)] == ["three-bowls", "one-bowl"]
    )


def test_it_is_told_when_nothing_watches_for_frames(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    told(page, "Not watching for new frames")
    expect(page.locator("#aside")).to_contain_text("not watching")
    page.click("#about")
    expect(page.locator("#told")).to_contain_text("New frames are not judged")


def test_age_and_light_never_run_together_on_a_telephone(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=PHONE, screen=PHONE)
    with_light(page, served_once.url, lambda shot: {"shot": shot, "predicted_until": soon(50.5)})
    expect(page.locator("#light")).to_have_text(re.compile("^(50|49) min light$"))
    for words in ("12 min ago", "now"):
        gap = page.evaluate(
            GAP,
            words,
        )
        assert gap > 0.5


def test_a_telephone_held_sideways_shows_word_and_presses_at_once(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    judge(served_once.root, put_frame(served_once.root, "sideways.jpg"), "adjust")
    page = new_page(viewport=SIDEWAYS, screen=SIDEWAYS)
    open_set(page, served_once.url)
    wait_word(page, "Adjust")
    assert page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]") == [
        844,
        390,
    ]
    for part in (
        "#shape",
        "#word",
        "#act",
        "#age",
        "#shot",
        "#look",
        *(f"[data-press={p}]" for p in ("keep", "again", "undo", "next")),
    ):
        box = page.locator(part).bounding_box()
        assert box, part
        assert min(box["x"], box["y"]) >= 0, part
        assert box["x"] + box["width"] <= 845, part
        assert box["y"] + box["height"] <= 391, part
    for press in page.locator("[data-press]").all():
        box = press.bounding_box()
        assert box
        assert box["height"] >= 64


def test_keep_again_and_undo_have_the_same_keys_served_once_and_choose(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport={"width": 1440, "height": 900}, quiet=True)
    open_set(page, served_once.url)
    keys = page.evaluate("own('js/set/keys.js').then((m) => m.keysNow())")
    page.goto(served_once.url + "choose", wait_until="domcontentloaded")
    for name in ("keep", "again", "undo"):
        letter = page.locator(f"#{name}").get_attribute("aria-keyshortcuts") or ""
        assert {k.lower() for k in letter.split()} & {k.lower() for k in keys[name]}, name
    start = last(served_once.root)
    page.keyboard.press("a")
    until(lambda: kinds(served_once.root, start) == ["again"])


def test_the_best_of_a_burst_is_told_as_it_is_found(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    open_set(page, served.url)
    frames = [put_frame(served.root, f"burst-{n}.jpg") for n in range(3)]
    for frame in frames:
        judge(served.root, frame, "good")
    wait_word(page, "Good", frame)
    Journal.open(served.root).append(
        "burst", shot="three-bowls", frames=frames, best=frames[1], reason="Sharpest."
    )
    expect(page.locator("#aside")).to_contain_text("best of 3: 2nd")
    page.click("#about")
    expect(page.locator("#told")).to_contain_text("Of a burst, best of 3: 2nd. Sharpest.")


def test_a_file_that_cannot_be_used_is_said_once_by_its_row(
    served_once: Served, new_page: Callable[..., Page]
) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served_once.url)
    told(page, "Not watching")
    row = {"name": "torn.jpg", "code": "torn", "reason": "torn.jpg ends in its middle."}
    Journal.open(served_once.root).append("file set aside", **row, stamp="")
    told(page, row["reason"])


@pytest.mark.parametrize("kind", ["waiting", "copy"])
def test_news_of_no_row_is_said(served_once: Served, new_page: Callable[..., Page], kind: str) -> None:
    page = new_page(viewport=TABLET)
    news = f'retry: 600000\n\nevent: {kind}\ndata: {{"words": "b.jpg: still coming in."}}\n\n'
    page.route("**/events**", lambda route: route.fulfill(content_type="text/event-stream", body=news))
    open_set(page, served_once.url)
    told(page, "b.jpg: still coming in.")
