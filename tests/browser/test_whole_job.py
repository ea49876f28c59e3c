"""The whole job in the browser, from an empty folder to a packed delivery: by keys alone, and by touch alone.

The first photograph is added on the Set page. What a camera on its cable does later (a frame lands in the folder) is
done by the test; everything else is done on the pages.
"""

import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from plateside.files.journal.journal import Journal
from plateside.files.settings.load import open_shoot
from tests.browser.gestures import Gestures, Keys, Touch
from tests.browser.resting import at_rest
from tests.browser.serving import PATIENT_MS, Served, frame_pixels, serve, until, write_frame

pytestmark = pytest.mark.browser

WORKED_MS = PATIENT_MS
"""Most that a hand's work may take on a loaded machine."""


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Served]:
    """A server that watches, in a folder where nothing lies."""
    home = tmp_path / "shoots"
    home.mkdir()
    server = serve(home)
    yield server
    server.stop()


@pytest.fixture(params=["keys", "touch"])
def hands(request: pytest.FixtureRequest, new_page: Callable[..., Page]) -> Gestures:
    if request.param == "keys":
        return Keys(new_page(quiet=True))
    return Touch(
        new_page(quiet=True, viewport={"width": 1180, "height": 820}, has_touch=True, is_mobile=True)
    )


def soon(true: Callable[[], Any]) -> None:
    """Wait until a thing on disk is so, as long as a loaded machine may need."""
    until(true, WORKED_MS / 1000)


def rows(root: Path, kind: str) -> list[dict[str, Any]]:
    return [dict(r.data) for r in Journal.open(root).rows() if r.kind == kind]


def go(hands: Gestures, stage: str) -> None:
    """To another stage by the links at the top."""
    hands.press(hands.page.get_by_role("navigation", name="Stages").get_by_role("link", name=stage))
    hands.page.wait_for_url(f"**/{stage.lower()}*", wait_until="domcontentloaded")


def begin(hands: Gestures, served: Served) -> Path:
    """The first run: eight questions, and the light of the shoot's day."""
    page = hands.page
    page.goto(served.url)
    hands.press(page.get_by_role("link", name="Begin with your kitchen"))
    page.wait_for_url("**/start/new")
    hands.write(page.locator("#a-place"), "Lisbon")
    for _ in range(7):
        hands.press(page.locator("#go"))
        at_rest(page)
        if page.locator("#a-dish").is_visible():
            break
    hands.write(page.locator("#a-dish"), "Plum cake")
    hands.write(page.locator("#a-creator"), "A. Baker")
    hands.press(page.locator("#go"))
    page.wait_for_url("**/light*", wait_until="domcontentloaded")
    return served.root / "plum-cake"


def light(hands: Gestures) -> None:
    expect(hands.page.locator("#lead")).to_contain_text("lx", timeout=WORKED_MS)
    slider = hands.page.get_by_role("slider").first
    before = slider.input_value()
    hands.move(slider)
    expect(slider).not_to_have_value(before)


def studio(hands: Gestures, root: Path) -> None:
    page = hands.page
    go(hands, "Studio")
    hands.press(page.locator("#to-room"))  # Tab through the plan has chosen what it passed
    hands.write(page.locator("#f-room-height_m"), "2,9")
    soon(lambda: open_shoot(root).studio.room.height_m == 2.9)
    at_rest(page)  # Undo is no stop of Tab before the page has heard that there is something to undo
    hands.press(page.locator("#undo"))
    soon(lambda: open_shoot(root).studio.room.height_m != 2.9)


def plan(hands: Gestures, root: Path) -> None:
    page = hands.page
    go(hands, "Plan")
    first = open_shoot(root).shoot.shots[0].name
    card = page.locator(f"#shot-{first}")
    expect(card.locator(".shot-brief")).to_contain_text("ISO", timeout=WORKED_MS)
    hands.press(card.locator(".shot-open"))
    hands.write(page.locator('[data-path="shots.0.title"] input'), "The cake, whole")
    soon(lambda: open_shoot(root).shoot.shots[0].title == "The cake, whole")
    at_rest(page)
    hands.press(page.locator("#channels > details > summary"))
    hands.press(page.get_by_text("Who makes the pictures"))
    hands.write(page.locator('[data-path="creator.name"] input'), "A. Cook")
    soon(lambda: open_shoot(root).shoot.creator.name == "A. Cook")


def add_photograph(hands: Gestures, path: Path) -> None:
    """By the page's own way in, which stands where the first frame will be."""
    page = hands.page
    way_in = "#add-files" if isinstance(hands, Keys) else "#ways .choose-files"
    with page.expect_file_chooser() as chosen:
        hands.press(page.locator(way_in))
    chosen.value.set_files(path)
    expect(page.locator("#arriving")).to_have_attribute("data-done", "1")


def on_set(hands: Gestures, root: Path) -> list[str]:
    """Two frames of two shots, each kept; gives their ids."""
    page = hands.page
    go(hands, "Set")
    expect(page.locator("#main[data-state]")).to_be_attached()
    taken = open_shoot(root).shoot.date.replace("-", ":") + " 11:40:00"
    frames: list[str] = []
    for number in range(2):
        name = f"cake-{number}.jpg"
        at = root / "frames" / name if number else root.parent.parent / "phone" / name
        write_frame(at, frame_pixels(0, 6 * number), taken)
        if not number:
            add_photograph(hands, at)
            assert (root / "frames" / name).read_bytes() == at.read_bytes()
        page.wait_for_function(
            """(seen) => { const f = document.querySelector('#picture').dataset.frame;
            return f && !seen.includes(f)
              && ['good', 'adjust', 'again'].includes(document.querySelector('#main').dataset.state) }""",
            arg=frames,
            timeout=WORKED_MS,
        )
        frames.append(str(page.locator("#picture").get_attribute("data-frame")))
        hands.press(page.get_by_role("button", name="Keep", exact=True))
        soon(lambda: {"frame": frames[-1]} in rows(root, "kept"))
        at_rest(page)
        if number == 0:
            hands.press(page.get_by_role("button", name="Next shot"))
            soon(lambda: rows(root, "shot current"))
    return frames


def choose(hands: Gestures, root: Path, frames: list[str]) -> list[str]:
    """Each frame the hero of its shot; gives the shots' names."""
    page = hands.page
    hands.press(page.locator("#about"))
    hands.press(page.locator("#sheet").get_by_role("link", name="Choose"))
    page.wait_for_url("**/choose", wait_until="domcontentloaded")
    for frame in frames:
        hands.pick(page.locator(f'button.frame[data-frame="{frame}"]'))
        hands.press(page.locator("#select"))
        soon(lambda: rows(root, "select") and rows(root, "select")[-1]["frame"] == frame)  # noqa: B023
        at_rest(page)
    return [str(row["shot"]) for row in rows(root, "select")]


def finish(hands: Gestures, root: Path, shots: list[str]) -> None:
    page = hands.page
    go(hands, "Finish")
    hands.choose(page.locator("#kind"), "JPEG")
    hands.press(page.get_by_role("button", name="Make the series"))
    expect(page.locator(".finished .divided")).to_have_count(len(shots), timeout=WORKED_MS)
    hands.move(page.get_by_role("slider").first)
    assert all((root / "finished" / f"{shot}.jpg").is_file() for shot in shots)


def deliver(hands: Gestures, root: Path, shots: list[str]) -> None:
    page = hands.page
    go(hands, "Deliver")
    for shot in shots:
        hands.write(page.locator(f"#alt_text-{shot}"), f"A plum cake on a grey board, {shot}.")
        soon(lambda: any(w["shot"] == shot and "plum" in w["text"] for w in rows(root, "words")))  # noqa: B023
    hands.write(page.locator("#usage_terms"), "Ask before you use a picture.")
    soon(lambda: open_shoot(root).shoot.creator.usage_terms)
    hands.press(page.get_by_role("button", name="Make the delivery"))
    expect(page.locator("#run .came")).to_contain_text("crops, ", timeout=WORKED_MS)
    hands.press(page.get_by_role("button", name="Check every file"))
    expect(page.locator("#verify .came")).to_contain_text("there and unchanged", timeout=WORKED_MS)
    hands.press(page.get_by_role("button", name="Pack", exact=True))
    expect(page.locator("#pack .came")).to_contain_text("read back and compared", timeout=WORKED_MS)


@pytest.mark.slow
def test_from_an_empty_folder_to_a_packed_delivery(empty: Served, hands: Gestures) -> None:
    hands.page.set_default_timeout(WORKED_MS)
    root = begin(hands, empty)
    light(hands)
    studio(hands, root)
    plan(hands, root)
    frames = on_set(hands, root)
    assert len(set(frames)) == 2
    shots = choose(hands, root, frames)
    assert len(set(shots)) == 2
    finish(hands, root, shots)
    deliver(hands, root, shots)
    # the package is a bag (RFC 8493): its own list holds every file of data/, each with its right sum
    package = next((root / "packages").iterdir())
    lines = (package / "manifest-sha512.txt").read_text("utf-8").splitlines()
    listed = {name: sum_ for sum_, name in (line.split(maxsplit=1) for line in lines)}
    there = {p.relative_to(package).as_posix(): p for p in (package / "data").rglob("*") if p.is_file()}
    assert listed == {name: hashlib.sha512(p.read_bytes()).hexdigest() for name, p in there.items()}
    assert all(any(f"/{shot}" in name or shot in name for name in there) for shot in shots)
