"""The set follows the day's clock: early, due, late and what that costs; other days folded; a shot added on the spot.

Expected minutes are arithmetic on ISO 8601 moments.
"""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from plateside.files.settings.write import Put, update_shoot
from tests.browser.layout import SIZES, faults
from tests.browser.resting import at_rest
from tests.browser.serving import SHOTS, Served, until
from tests.browser.set_page import TABLET, open_set

pytestmark = pytest.mark.browser

DAY = "2027-07-15T"
GOOD = [(DAY + "10:00:00+01:00", DAY + "14:40:00+01:00")]
EVENING = [(DAY + "16:00:00+01:00", DAY + "17:00:00+01:00")]
CASES = [
    (DAY + "11:00:00+01:00", GOOD, ("early", 90, "holds", "14:40")),
    (DAY + "12:10:00+01:00", GOOD, ("due", 20, "holds", "14:40")),
    (DAY + "12:30:30+01:00", GOOD, ("due", 0, "holds", "14:40")),
    (DAY + "12:42:00+01:00", GOOD, ("late", 12, "holds", "14:40")),
    # the same moment, as a tablet in another zone has it
    (DAY + "21:42:00+10:00", GOOD, ("late", 12, "holds", "14:40")),
    (DAY + "12:42:00+01:00", EVENING, ("late", 12, "again", "16:00")),
    (DAY + "15:00:00+01:00", GOOD, ("late", 150, "over", "")),
    (DAY + "12:42:00+01:00", None, ("late", 12, "unknown", "")),
    ("2027-07-16T12:42:00+01:00", GOOD, ("another day", 0, "unknown", "")),
    # still the kitchen's own day, although it is the next one in UTC or elsewhere
    ("2027-07-16T00:30:00+02:00", GOOD, ("late", 660, "over", "")),
]  # fmt: skip


def shot(good: list[tuple[str, str]] | None) -> dict[str, Any]:
    spans = None if good is None else {"good": [{"start_at": a, "end_at": b} for a, b in good]}
    slot = {"start_at": DAY + "12:00:00+01:00", "hero_at": DAY + "12:30:00+01:00"}
    return {"slot": slot, "light": spans}


@pytest.fixture(scope="module")
def _of_two_days(shoot_once: Path) -> Path:
    update_shoot(shoot_once / "shoot.toml", [Put(("shots", "pour", "date"), "2027-07-17")])
    return shoot_once


@pytest.fixture
def days(_of_two_days: Path, opened_on: Callable[[Path], Served]) -> Served:
    """A shoot of two days, the first of them its own."""
    return opened_on(_of_two_days)


def test_where_a_shot_is_in_the_timetable(days: Served, page: Page) -> None:
    open_set(page, days.url)
    for now, good, expected in CASES:
        found = page.evaluate(
            """async ([shot, now]) => (await own("js/set/clock.js")).standing(shot, Date.parse(now))""",
            [shot(good), now],
        )
        light = found["light"]
        assert (found["code"], found["minutes"], light["code"], light["at"][11:16]) == expected, now
    nothing = page.evaluate(
        """async () => (await own("js/set/clock.js")).standing({ slot: null, light: null }, 0)"""
    )
    assert nothing is None
    # answers of a server whose clock is 10 s ahead of the page's: [written, asked for, read] in seconds of each
    for answers, ahead in [
        ([[1011, 1000, 1002]], (9, 11)),
        ([[1011, 1000, 1002], [1060.1, 1050, 1050.2]], (9.9, 10.1)),
        # read 20 s late, as by a page that was held up: what is known better stays
        ([[1060.1, 1050, 1050.2], [1071, 1060, 1081]], (9.9, 10.1)),
        # the tablet's clock was put back by an hour
        ([[1060.1, 1050, 1050.2], [1065.1, -2545, -2544.8]], (3609.9, 3610.1)),
    ]:
        found = page.evaluate(
            """async (answers) => {
              const clock = new (await own("js/core/server_clock.js")).ServerClock();
              for (const [at, asked, read] of answers)
                clock.heard(new Date(1000 * at).toISOString(), 1000 * asked, 1000 * read);
              return clock.now(0) / 1000;
            }""",
            answers,
        )
        assert ahead[0] <= found <= ahead[1], answers


def late_by(minutes: int, first: str) -> Callable[[Route], None]:
    """The plan's own answer, its hours moved so that one shot's hero should have come in so long ago.

    In a kitchen where it is noon now: soon after midnight, so long ago would be another day.
    """
    noon = timezone(timedelta(hours=12 - datetime.now(UTC).hour))

    def answer(route: Route) -> None:
        body = json.loads(route.fetch().text())
        slots = [s["slot"] for s in body["day"]["shots"] if s["slot"]]
        [hero] = [s["slot"]["hero_at"] for s in body["day"]["shots"] if s["name"] == first]
        by = datetime.now(UTC) - timedelta(minutes=minutes, seconds=20) - datetime.fromisoformat(hero)
        spans = [span for s in body["day"]["shots"] if s["light"] for span in s["light"]["good"]]
        for each in (*slots, *spans):
            for name in ("start_at", "end_at", "hero_at"):
                if name in each:
                    each[name] = (datetime.fromisoformat(each[name]) + by).astimezone(noon).isoformat()
        route.fulfill(json=body)

    return answer


def test_late_is_on_the_page_and_other_days_are_folded(days: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET, quiet=True)
    given = [s for s in open_shoot(days.root).shoot.shots if s.name not in (*SHOTS, "pour")]
    late = given[0].name
    page.route("**/plan/day", late_by(12, late))
    open_set(page, days.url)
    Journal.open(days.root).append("shot current", shot=late)
    main = page.locator("#main")
    expect(main).to_have_attribute("data-standing", "late")
    expect(page.locator("#aside")).to_contain_text("12")
    # focus beside settings and place: five lines that are read from two metres
    expect(page.locator("#todo-lines p")).to_have_count(5)
    for wide, high in SIZES:
        page.set_viewport_size({"width": wide, "height": high})
        at_rest(page)
        assert faults(page) == [], wide
    page.set_viewport_size(TABLET)  # type: ignore[arg-type]
    page.locator("#about").click()
    folded = page.locator("#shots details")
    expect(folded).to_have_count(1)
    assert folded.get_attribute("open") is None
    folded.locator("summary").click()
    expect(folded.locator("li")).to_have_count(1)
    for wide, high in SIZES:
        page.set_viewport_size({"width": wide, "height": high})
        at_rest(page)
        assert faults(page) == [], wide


def test_a_shot_added_on_the_spot_is_the_current_one(served: Served, new_page: Callable[..., Page]) -> None:
    page = new_page(viewport=TABLET)
    open_set(page, served.url)
    before = [s.name for s in open_shoot(served.root).shoot.shots]
    page.locator("#about").click()
    page.locator("#new-shot summary").click()
    page.locator("#new-shot button").click()
    expect(page.locator("#new-shot [role=alert]")).not_to_be_empty()
    assert [s.name for s in open_shoot(served.root).shoot.shots] == before
    page.locator("#new-shot-what").fill("Spoon, close")
    page.locator("#new-shot-angle").select_option("overhead")
    page.locator("#new-shot-sharp").select_option("front")
    page.locator("#new-shot button").click()
    until(lambda: Journal.open(served.root).rows()[-1].data.get("shot") == "spoon-close")
    assert Journal.open(served.root).rows()[-1].kind == "shot current"
    shots = open_shoot(served.root).shoot.shots
    assert [s.name for s in shots] == [before[0], "spoon-close", *before[1:]]
    assert (shots[1].angle, shots[1].sharp) == ("overhead", "front")
    expect(page.locator("#shots")).to_contain_text("spoon close")
